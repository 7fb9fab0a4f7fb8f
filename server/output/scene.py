"""A scene: what is drawn, in what order, in millimetres. Made once; every way out draws the same scene."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import Literal, cast

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.svg_reading import Drawing, Shape
from server.leather.pattern import Step
from server.leather.piece import ROLES, Piece, Role

Array = NDArray[np.float64]
WorkKind = Literal["strike", "register", "pricked", "later", "card"]
"""In guided work: a tine's new hole, a tine in an old hole, a hole already made, one yet to come, and the step card."""
Kind = Literal["cut", "slot", "stitch", "hole", "fold", "mark", "cross", "chosen", "check", "frame"] | WorkKind

LONGEST_CHORD = 10.0
"""mm: straight lines are cut into chords no longer than this, because the lens bends them."""
MOST_POINTS = 1_000_000
"""Chords of one line: ten kilometres of it."""
HOLE_TICK = 2.0
"""mm: a stitch hole is shown as a tick this long, slanted as a diamond chisel slants."""
HOLE_SLANT = -45.0
"""Degrees from the direction of the stitch line: a chisel's slits rise to the right (common practice, no source)."""
CHECK_SIZES = (20.0, 3000.0)
"""mm: least and greatest side of the check figure."""


@dataclass(frozen=True)
class Item:
    """A line to draw: points (n, 2) mm, closed or open, with the piece and the line it belongs to."""

    kind: Kind
    points: Array
    closed: bool = False
    piece: str = ""
    name: str = ""


@dataclass(frozen=True)
class Words:
    """A few words to draw, centred on (x, y) mm, ``size`` mm high."""

    text: str
    x: float
    y: float
    size: float
    kind: Kind = "mark"


@dataclass(frozen=True)
class Scene:
    """Lines and words, in the order in which they are drawn."""

    items: tuple[Item, ...]
    words: tuple[Words, ...] = ()

    @cached_property
    def points(self) -> Array:
        """Return every point of every line, (n, 2) mm."""
        return np.concatenate([item.points for item in self.items]) if self.items else np.zeros((0, 2))

    @cached_property
    def ends(self) -> list[int]:
        """Return after how many of ``points`` each line ends."""
        return list(accumulate(len(item.points) for item in self.items))


def of_piece(piece: Piece, roles: Iterable[Role] = ROLES, step: Step | None = None) -> Scene:
    """Return the scene of one piece in its own mm: the ``roles`` asked for, of those a ``step`` shows (all without one)."""
    wanted = set(roles)
    drawn = [d for d in piece.drawn if d.role in wanted and (step is None or step.shows(d))]
    holes = [h for h in piece.holes if "hole" in wanted and (step is None or step.shows(h))]
    labels = [w for w in piece.labels if "mark" in wanted and (step is None or step.shows(w))]
    items = [Item(d.role, dense(d.path.flatten(), d.path.closed), d.path.closed, piece.name, d.name) for d in drawn]
    items += [Item("hole", hole_tick(h.x, h.y, h.angle, h.slant), False, piece.name, h.seam) for h in holes]
    return Scene(tuple(items), tuple(Words(w.text, w.x, w.y, w.size) for w in labels))


def of_drawing(drawing: Drawing) -> Scene:
    """Return the scene of a pattern file in the page's mm, in the file's order."""
    words = tuple(Words(w.text, w.x, w.y, w.size) for w in drawing.labels)
    return Scene(tuple(map(_shape_item, drawing.shapes)), words)


def _shape_item(shape: Shape) -> Item:
    kind = cast(Role, shape.role)
    if kind == "hole":
        x, y = shape.points[0].tolist()
        return Item(kind, hole_tick(x, y, shape.angle or 0.0, _hand(shape)), False, shape.piece, shape.name)
    return Item(kind, dense(shape.points, shape.closed), shape.closed, shape.piece, shape.name)


def _hand(shape: Shape) -> int:
    return -1 if shape.attributes.get("slant") == "-1" else 1


def hole_tick(x: float, y: float, angle: float, hand: int = 1) -> Array:
    """Return the ends (2, 2) mm of the tick for a hole at (x, y) mm on a line that runs at ``angle`` degrees.

    ``hand`` is 1, or -1 on a ply that is sewn face down to its mate, where the slit slants the other way.
    """
    slant = math.radians(angle + hand * HOLE_SLANT)
    half = np.array([math.cos(slant), math.sin(slant)]) * HOLE_TICK / 2
    return np.stack([np.array([x, y]) - half, np.array([x, y]) + half])


def dense(points: Array, closed: bool = False, longest: float = LONGEST_CHORD) -> Array:
    """Return the polyline (n, 2) with points added so that no chord is longer than ``longest`` mm.

    A closed polyline repeats no point; its closing chord is cut too.

    Raises:
        Refusal: points that are not finite, or lines too long to be drawn (``MOST_POINTS``).

    """
    ends = np.vstack([points[1:], points[:1]]) if closed else points[1:]
    starts = points[: len(ends)]
    needed = np.maximum(1.0, np.ceil(np.linalg.norm(ends - starts, axis=1) / longest))
    if not needed.sum() <= MOST_POINTS:
        raise Refusal("A line of the drawing is too long to be shown: check its numbers.")
    counts = needed.astype(int)
    index = np.repeat(np.arange(len(starts)), counts)
    share = (np.arange(len(index)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[index]
    filled = starts[index] + share[:, None] * (ends - starts)[index]
    return np.asarray(filled if closed else np.vstack([filled, points[-1:]]))


def check_figure(size: float) -> Scene:
    """Return a square of ``size`` mm about the origin with its diagonals, and a rule of the same length below it.

    Raises:
        Refusal: a size outside ``CHECK_SIZES``.

    """
    if not (math.isfinite(size) and CHECK_SIZES[0] <= size <= CHECK_SIZES[1]):
        low, high = CHECK_SIZES
        raise Refusal(f"The check figure is {size:g} mm; choose a side from {low:g} to {high:g} mm.", field="size")
    corners = check_corners(size)
    lines: list[tuple[Sequence[Sequence[float]] | Array, bool, str]] = [
        (corners, True, "square"),
        (corners[[0, 2]], False, "diagonal down"),
        (corners[[3, 1]], False, "diagonal up"),
        *[(tick, False, "rule") for tick in _rule_ticks(size)],
    ]
    items = [Item("check", dense(np.asarray(points), closed), closed, name=name) for points, closed, name in lines]
    return Scene(tuple(items), (Words(f"{size:g} mm", 0.0, -size / 2 + 12.0, 10.0, "check"),))


def check_corners(size: float) -> Array:
    """Return the corners (4, 2) mm of the check square: top left, top right, bottom right, bottom left."""
    half = size / 2
    return np.array([[-half, -half], [half, -half], [half, half], [-half, half]])


def _rule_ticks(size: float) -> list[list[list[float]]]:
    """Return ticks inside the square along its bottom edge: 3 mm long each mm, 5 mm at fives, 8 mm at tens."""
    bottom = size / 2
    return [
        [[-size / 2 + mm, bottom], [-size / 2 + mm, bottom - (8.0 if mm % 10 == 0 else 5.0 if mm % 5 == 0 else 3.0)]]
        for mm in range(math.floor(size) + 1)
    ]
