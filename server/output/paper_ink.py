"""What is printed on paper: lines and words in millimetres. The PDF and the page's preview draw the same."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from server.geometry.build import polyline
from server.geometry.path import Arc, Line, Path, Point
from server.leather.piece import Drawn, Hole, Piece
from server.output.paper_plan import Box, Laid
from server.output.scene import hole_tick

Look = Literal["cut", "slot", "stitch", "hole", "fold", "mark", "grain", "rule", "joint", "trim", "lap", "map"]
HOLE_RADIUS = 0.4
"""mm: the ring round a stitch hole's place."""


@dataclass(frozen=True)
class Pen:
    """Width in mm, grey from 0 (black) to 1, dash in mm (on, off, ...; empty is solid)."""

    width: float
    grey: float = 0.0
    dash: tuple[float, ...] = ()


PENS: MappingProxyType[Look, Pen] = MappingProxyType(
    {
        "cut": Pen(0.35),
        "slot": Pen(0.35),
        "stitch": Pen(0.18, 0.25, (1.5, 1.0)),
        "hole": Pen(0.15),
        "fold": Pen(0.25, 0.0, (6.0, 2.0, 1.0, 2.0)),
        "mark": Pen(0.18, 0.45, (4.0, 1.5)),
        "grain": Pen(0.3, 0.3),
        "rule": Pen(0.15),
        "joint": Pen(0.18, 0.3),
        "trim": Pen(0.18, 0.4),
        "lap": Pen(0.18, 0.4, (2.0, 2.0)),
        "map": Pen(0.2, 0.35),
    }
)
"""Kinds are told by weight and dash, not by colour, so that any printer will do."""


@dataclass(frozen=True)
class Ink:
    """Lines drawn in one go; ``box`` is round all of them, mm."""

    look: Look
    paths: tuple[Path, ...]
    box: Box


@dataclass(frozen=True)
class Words:
    """A line of words, ``size`` mm high.

    Attributes:
        text: the words.
        x: mm, where it begins, has its middle or ends, as ``align`` says.
        y: mm, the line the letters stand on.
        size: mm.
        align: "start", "middle" or "end".
        turn: degrees clockwise about (x, y).
        grey: 0 black to 1 white.
        bold: heavy letters.

    """

    text: str
    x: float
    y: float
    size: float
    align: Literal["start", "middle", "end"] = "start"
    turn: float = 0.0
    grey: float = 0.0
    bold: bool = False

    @property
    def box(self) -> Box:
        """Return a box that is round the words, mm, on the large side."""
        reach = self.size * (len(self.text) + 1)
        return self.x - reach, self.y - reach, self.x + reach, self.y + reach


Mark = Ink | Words


def ink(look: Look, *paths: Path) -> Ink:
    """Return the ink of some paths, with the box round them."""
    points = np.concatenate([path.flatten() for path in paths])
    (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Ink(look, paths, (left, top, right, bottom))


def lines(look: Look, *ends: tuple[Point, Point]) -> Ink:
    """Return the ink of some straight lines, each given by its ends."""
    xs, ys = [p[0] for line in ends for p in line], [p[1] for line in ends for p in line]
    return Ink(look, tuple(Path((Line(*line),)) for line in ends), (min(xs), min(ys), max(xs), max(ys)))


def overlap(one: Box, other: Box) -> bool:
    """Return whether two boxes (mm) share a point."""
    return one[0] <= other[2] and one[2] >= other[0] and one[1] <= other[3] and one[3] >= other[1]


def of_laid(laid: Laid) -> list[Mark]:
    """Return everything that is printed of a piece where it lies: its lines and holes, its labels or else its title."""
    piece, at = laid.piece, laid.placement
    found: list[Mark] = [*lines_of(laid)]
    for label in piece.labels:
        x, y = at.apply([(label.x, label.y)])[0].tolist()
        found.append(_centred(label.text, x, y, label.size, at.turn_degrees))
    if not piece.labels:
        left, top, right, bottom = laid.box
        found.append(_centred(piece.title, (left + right) / 2.0, (top + bottom) / 2.0, 3.0, at.turn_degrees))
    return found


def lines_of(laid: Laid) -> list[Ink]:
    """Return the lines and the holes of a piece where it lies."""
    drawn = [ink(_look(one), one.path.transformed(laid.placement)) for one in laid.piece.drawn]
    return [*drawn, *_holes(laid)]


def _look(drawn: Drawn) -> Look:
    if drawn.name == "grain":
        return "grain"
    return "cut" if drawn.role == "hole" else drawn.role


def _centred(text: str, x: float, y: float, size: float, turn: float) -> Words:
    """Words whose letters have their middle at (x, y): capitals are about 0.72 of the size high."""
    down, angle = 0.36 * size, math.radians(turn)
    return Words(text, x - down * math.sin(angle), y + down * math.cos(angle), size, "middle", turn, 0.35)


def _holes(laid: Laid) -> list[Ink]:
    """A ring on each hole, and the tick that shows how the chisel's slit lies."""
    holes = laid.piece.holes
    if not holes:
        return []
    places = laid.placement.apply([(hole.x, hole.y) for hole in holes]).tolist()
    return [_hole(x, y, laid.placement.turn_degrees, hole) for (x, y), hole in zip(places, holes, strict=True)]


def _hole(x: float, y: float, turn: float, hole: Hole) -> Ink:
    start, end = hole_tick(x, y, hole.angle + turn, hole.slant).tolist()
    tick = Path((Line((start[0], start[1]), (end[0], end[1])),))
    return Ink("hole", (ring(x, y, HOLE_RADIUS), tick), (x - 1.0, y - 1.0, x + 1.0, y + 1.0))


def ring(x: float, y: float, radius: float) -> Path:
    """Return a circle, mm."""
    return Path((Arc((x, y), radius, (1.0, 0.0), math.pi),), closed=True)


def rule(x: float, y: float, length: float, upright: bool, inches: bool = True) -> list[Mark]:
    """Return a check rule that starts at (x, y) mm, lying or upright, marked each 5 mm, and in inches on the other side.

    Ticks of millimetres stand above a lying rule and left of an upright one, those of inches (each quarter) opposite.
    """
    marks = [(mm, -2.4 if mm % 10 == 0 else -1.4) for mm in _steps(length, 5.0)]
    end = length
    if inches:
        marks += [(quarter, 2.4 if i % 4 == 0 else 1.4) for i, quarter in enumerate(_steps(length + 2.0, 25.4 / 4.0))]
        end = max(length, 25.4 * math.floor((length + 2.0) / 25.4))

    def at(along: float, off: float) -> Point:
        return (x + off, y + along) if upright else (x + along, y + off)

    return [lines("rule", (at(0.0, 0.0), at(end, 0.0)), *((at(s, 0.0), at(s, off)) for s, off in marks))]


def _steps(length: float, step: float) -> list[float]:
    return [i * step for i in range(math.floor(length / step + 1e-9) + 1)]


def diamond(x: float, y: float, reach: float) -> Path:
    """Return a square standing on its corner, its corners ``reach`` mm from (x, y)."""
    corners = [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]
    return polyline(corners, closed=True)


def outline_box(left: float, top: float, right: float, bottom: float) -> Path:
    """Return a rectangle, mm."""
    return polyline([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True)


def outlines(laid: Iterable[Laid]) -> Sequence[Path]:
    """Return the cut outlines of pieces where they lie on their sheet."""
    return [one.piece.outline.transformed(one.placement) for one in laid]


def piece_words(piece: Piece) -> str:
    """Return a piece's title, with what its labels say beside it, such as "cut 2"."""
    more = [label.text for label in piece.labels if label.text != piece.title]
    return ", ".join((piece.title, *more))
