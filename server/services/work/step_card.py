"""The step card in the light: the step in words, beside the leather, the right way up for the maker, never on a piece."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal, TypeAlias, get_args

import numpy as np

from calibration.arrays import Array
from server.geometry.free_place import FreeRoom, hull
from server.geometry.path import Point
from server.geometry.placement import Placement
from server.output import projected
from server.output.lettering import LEADING, strokes, wrapped
from server.output.lettering import width as width_of
from server.output.projected import Picture
from server.output.scene import Item, Scene, dense
from server.practice.workshop import PANEL
from server.services.light.stage import BenchInUse, Laid, Stage
from server.services.work.card_words import Block, brief, full
from server.store.records import Lie

Side = Literal["bottom", "left", "top", "right"]
SIDES: tuple[Side, ...] = get_args(Side)
TURNS = {"bottom": 0.0, "left": 90.0, "top": 180.0, "right": -90.0}
"""Degrees clockwise that words are turned for a maker who stands at that edge and looks over the table."""

LARGEST_MM = 12.0
"""Height of a capital where there is room: 41 minutes of arc from a metre away."""
LEAST_MM, LEAST_PX = 6.0, 11.0
"""No letter is smaller: 20 minutes of arc from a metre (ISO 9241-303 asks for 16 at least; from memory), and eleven pixels."""
STEP = 0.9
"""From one size that is tried to the next."""
WIDTHS = (22.0, 28.0, 36.0, 17.0, 50.0, 70.0)
"""Widths that a card may have, in heights of a capital."""
LEATHER_MM, OUTLINE_MM = 25.0, 8.0
"""Free of the leather that the pieces are taken to lie on, and free of a piece's outline where that is all there is room for."""

NO_ROOM = (
    "There is no room beside the pieces for a step card with letters that can be read: move the pieces closer together."
)
MOVING = "The step card is back when the piece lies still."
NOTHING_LIT = "The step card comes with the light."


Row: TypeAlias = tuple[str, float, float]
"""A row of words, the line it stands on (mm down from the top), and the height of its capitals, mm."""


@dataclass(frozen=True)
class Setting:
    """A card's words set in rows, a rule below the title, and how much room they take, mm."""

    rows: tuple[Row, ...]
    rule_at: float
    width: float
    height: float


@dataclass(frozen=True)
class Card:
    """A step card on the table.

    Args:
        setting: its words.
        size: height of a capital, mm.
        placement: where it lies on the table; x right and y down from its upper left corner.
        short: whether the step's words were left out for want of room.

    """

    setting: Setting
    size: float
    placement: Placement
    short: bool

    @property
    def width(self) -> float:
        """Return how wide it is, mm."""
        return self.setting.width

    @property
    def height(self) -> float:
        """Return how high it is, mm."""
        return self.setting.height

    @cached_property
    def lines(self) -> tuple[Array, ...]:
        """Return its letters and its rule as polylines (n, 2) in its own mm."""
        rule = np.array([[0.0, self.setting.rule_at], [self.width, self.setting.rule_at]])
        letters = (line for text, y, size in self.setting.rows for line in strokes(text, 0.0, y, size))
        return (*letters, dense(rule))

    def corners(self) -> Array:
        """Return its corners (4, 2) on the table, mm, from the upper left one as the maker reads it, clockwise."""
        return self.placement.apply([[0.0, 0.0], [self.width, 0.0], [self.width, self.height], [0.0, self.height]])

    def scene(self) -> Scene:
        """Return its lines to be drawn, in its own mm."""
        return Scene(tuple(Item("card", line, name="step card") for line in self.lines))


def picture(stage: Stage, bench: BenchInUse) -> Picture:
    """Return the step card as the projector must draw it on the table; nothing where there is none."""
    card = of_stage(stage)
    return Picture() if card is None else projected.project(card.scene(), bench.optics, card.placement, 0.0)


def of_stage(stage: Stage) -> Card | None:
    """Return the step card of what is shown; None without a job, while a piece is being moved, or without room."""
    if stage.work is None or stage.laid is None or stage.bench is None or stage.moves:
        return None
    work, side = stage.work, stage.work.job.state.side
    return _found(full(work), brief(work), side, _table(stage.bench, _outlines(stage.laid, stage.lies())))


def sentence(stage: Stage, card: Card | None) -> str | None:
    """Return why there is no card, or None when there is one."""
    if card is not None:
        return None
    return MOVING if stage.moves else NO_ROOM


def _outlines(laid: Laid, lies: Mapping[str, Lie]) -> list[Array]:
    """The pieces' outlines where they lie, (n, 2) mm each."""
    return [_placed(lies[piece.name]).apply(piece.outline.flatten()) for piece in laid.drafted.pieces]


def _placed(lie: Lie) -> Placement:
    return Placement(lie.x, lie.y, lie.turn, lie.mirror)


@dataclass(frozen=True)
class _Table:
    """What lies on the table and what the light reaches of it: the footprint and the outlines, (n, 2) mm, as bytes."""

    edge: bytes
    outlines: tuple[bytes, ...]
    least: float
    practice: bool


def _table(bench: BenchInUse, pieces: Iterable[Array]) -> _Table:
    edge = np.ascontiguousarray(bench.optics.footprint(0.0), dtype=np.float64)
    pixel = float(np.max(bench.optics.pixel(edge.mean(axis=0)[None, :])))
    outlines = tuple(np.ascontiguousarray(outline, dtype=np.float64).tobytes() for outline in pieces)
    return _Table(edge.tobytes(), outlines, max(LEAST_MM, LEAST_PX * pixel), bench.record.practice)


@lru_cache(maxsize=32)
def _found(whole: tuple[Block, ...], short: tuple[Block, ...], side: str, table: _Table) -> Card | None:
    """The largest card that finds a place: in full beside the leather at best, short and between the pieces at worst."""
    for room in _rooms(table):
        for blocks, is_short in ((whole, False), (short, True)):
            card = _largest(room, blocks, _sizes(table.least), (side, is_short))
            if card is not None:
                return card
    return None


@lru_cache(maxsize=8)
def _rooms(table: _Table) -> tuple[FreeRoom, FreeRoom]:
    """First the table beside the leather, as far as that is known; then all that no piece's outline covers."""
    edge, outlines = _points(table.edge), [_points(outline) for outline in table.outlines]
    leather = [hull(np.concatenate(outlines)), *([_panel()] if table.practice else [])]
    return FreeRoom(edge, leather, LEATHER_MM), FreeRoom(edge, outlines, OUTLINE_MM)


def _points(kept: bytes) -> Array:
    return np.frombuffer(kept, dtype=np.float64).reshape(-1, 2)


def _panel() -> Array:
    left, top, right, bottom = PANEL.x, PANEL.y, PANEL.x + PANEL.width, PANEL.y + PANEL.height
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])


def _sizes(least: float) -> list[float]:
    """The heights of a capital that are tried, mm, the largest first."""
    sizes = [max(LARGEST_MM, least)]
    while sizes[-1] * STEP > least:
        sizes.append(sizes[-1] * STEP)
    return [*sizes, least] if sizes[-1] > least else sizes


def _largest(room: FreeRoom, blocks: tuple[Block, ...], sizes: Iterable[float], how: tuple[str, bool]) -> Card | None:
    for size in sizes:
        cards = [card for wide in WIDTHS if (card := _laid(room, blocks, (size, wide), how)) is not None]
        if cards:
            near = _near(room, how[0])
            return min(cards, key=lambda card: float(np.hypot(*(card.corners().mean(axis=0) - np.array(near)))))
    return None


def _laid(room: FreeRoom, blocks: tuple[Block, ...], size: tuple[float, float], how: tuple[str, bool]) -> Card | None:
    """A card of this size and width where it finds a place, or None."""
    done, (side, short) = _set(blocks, *size), how
    lying = side in ("left", "right")
    wide, high = (done.height, done.width) if lying else (done.width, done.height)
    middle = room.place(wide, high, _near(room, side))
    if middle is None:
        return None
    off = Placement(0.0, 0.0, TURNS[side]).apply([[done.width / 2, done.height / 2]])[0]
    x, y = (np.array(middle) - off).tolist()
    return Card(done, size[0], Placement(x, y, TURNS[side]), short)


def _near(room: FreeRoom, side: str) -> Point:
    """The middle of the room's edge on the maker's side."""
    edge = np.asarray(room.room)
    (left, top), (right, bottom) = edge.min(axis=0).tolist(), edge.max(axis=0).tolist()
    across, down = (left + right) / 2, (top + bottom) / 2
    return {"bottom": (across, bottom), "top": (across, top), "left": (left, down), "right": (right, down)}[side]


@lru_cache(maxsize=64)
def _set(blocks: tuple[Block, ...], size: float, wide: float) -> Setting:
    """Words set in rows no wider than ``wide`` capitals, under each other, with a rule below the first block."""
    rows: list[Row] = []
    y, across, rule_at = 0.0, 0.0, 0.0
    for block in blocks:
        high = size * block.scale
        for text in wrapped(block.text, high, wide * size):
            y += high * (LEADING if rows else 1.0)
            rows.append((text, y, high))
            across = max(across, width_of(text, high))
        y += size * (0.35 if rule_at else 0.7)
        rule_at = rule_at or y
    return Setting(tuple(rows), rule_at, across, y)
