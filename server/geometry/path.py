"""Exact paths of straight lines and circular arcs, in millimetres, x right and y down."""

from __future__ import annotations

import bisect
import itertools
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.placement import Placement
from server.geometry.segment import Arc, Line, Point, Segment, placed, turn_between

__all__ = ["Arc", "Line", "Path", "Point", "Segment", "number", "path_data"]

JOIN_TOLERANCE = 1e-6
"""mm: ends of neighbouring segments nearer than this are one point."""
CORNER_DEGREES = 1e-3
"""Degrees: a turn larger than this between neighbouring segments is a sharp corner."""
_EDGE = 1e-9


@dataclass(frozen=True)
class Path:
    """Segments end to end, mm.

    Attributes:
        segments: at least one, each starting where the one before ends.
        closed: the last ends where the first starts.

    Raises:
        Refusal: no segments, a number that is not finite, or a gap.

    """

    segments: tuple[Segment, ...]
    closed: bool = False

    def __post_init__(self) -> None:
        if not self.segments:
            raise Refusal("A path needs at least one line or arc.")
        neighbours = list(zip(self.segments, self.segments[1:], strict=False))
        if self.closed:
            neighbours.append((self.segments[-1], self.segments[0]))
        for before, after in neighbours:
            gap = math.dist(before.end, after.start)
            if not gap <= JOIN_TOLERANCE:
                raise Refusal(f"A path has a gap of {gap:.6g} mm at {after.start[0]:.3f}, {after.start[1]:.3f}.")

    @cached_property
    def starts(self) -> tuple[float, ...]:
        """Distance along the path, mm, at which each segment starts."""
        sums = [0.0]
        for segment in self.segments[:-1]:
            sums.append(sums[-1] + segment.length)
        return tuple(sums)

    @cached_property
    def length(self) -> float:
        """Length in mm."""
        return self.starts[-1] + self.segments[-1].length

    @property
    def start(self) -> Point:
        """Return the first point, mm."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Return the last point, mm."""
        return self.segments[-1].end

    @cached_property
    def knots(self) -> tuple[Point, ...]:
        """Return the points where segments begin and end, one more than segments, mm.

        Where two meet it is the middle of the two ends, which may differ in the last bit: so it is the same point
        whichever way the path is walked or mirrored.
        """
        inner = [_middle(a.end, b.start) for a, b in itertools.pairwise(self.segments)]
        if self.closed:
            join = _middle(self.end, self.start)
            return (join, *inner, join)
        return (self.start, *inner, self.end)

    def locate(self, s: float) -> tuple[int, float]:
        """Return which segment lies s mm along the path, and how far along that segment."""
        s = min(max(s, 0.0), self.length)
        index = bisect.bisect_right(self.starts, s) - 1
        return index, min(s - self.starts[index], self.segments[index].length)

    def point_at(self, s: float) -> Point:
        """Return the point s mm along the path (held to its ends)."""
        index, rest = self.locate(s)
        return self.segments[index].at(rest)

    def direction_at(self, s: float) -> float:
        """Return the direction of the path s mm along it, degrees, clockwise from x; at a sharp corner the bisector."""
        index, rest = self.locate(s)
        segment = self.segments[index]
        here, other = segment.direction(rest), None
        if rest <= _EDGE and (index > 0 or self.closed):
            before = self.segments[index - 1]
            other = before.direction(before.length)
        elif segment.length - rest <= _EDGE and (index + 1 < len(self.segments) or self.closed):
            other = self.segments[(index + 1) % len(self.segments)].direction(0.0)
        if other is not None and turn_between(other, here) > CORNER_DEGREES:
            here = (here[0] + other[0], here[1] + other[1]) if turn_between(other, here) < 179.9 else here
        return math.degrees(math.atan2(here[1], here[0]))

    def corners(self, least: float = CORNER_DEGREES) -> tuple[float, ...]:
        """Return the distances along the path, mm, of its corners inside it (and at the join when closed).

        A corner turns by more than `least` degrees.
        """
        found = [
            start
            for before, after, start in zip(self.segments, self.segments[1:], self.starts[1:], strict=False)
            if turn_between(before.direction(before.length), after.direction(0.0)) > least
        ]
        last = self.segments[-1]
        if self.closed and turn_between(last.direction(last.length), self.segments[0].direction(0.0)) > least:
            found.insert(0, 0.0)
        return tuple(found)

    def flatten(self, tolerance: float = 0.02) -> NDArray[np.float64]:
        """Return points (n, 2), mm, whose chords stay within `tolerance` of the path; a closed path repeats no point."""
        points: list[Point] = [self.knots[0]]
        for segment, knot in zip(self.segments, self.knots[1:], strict=True):
            points.extend(segment.flatten(tolerance)[1:-1])
            points.append(knot)
        return np.array(points[:-1] if self.closed else points, dtype=np.float64)

    def reversed(self) -> Path:
        """Return the path walked the other way."""
        return Path(tuple(segment.reversed() for segment in reversed(self.segments)), self.closed)

    def mirrored(self) -> Path:
        """Return the path with x turned to -x, walked in the same order."""
        return Path(tuple(segment.mirrored() for segment in self.segments), self.closed)

    def transformed(self, placement: Placement) -> Path:
        """Return the path mirrored, turned and moved by a placement."""
        return Path(tuple(placed(segment, placement) for segment in self.segments), self.closed)

    def grown(self, distance: float) -> Path:
        """Return the exact parallel path, `distance` mm to the left of the walk (outwards for a clockwise outline).

        Raises:
            ValueError: a sharp corner, or an arc too tight for it; use ``offset.grown`` then.

        """
        if self.corners():
            raise ValueError("the path has sharp corners")
        return Path(tuple(segment.grown(distance) for segment in self.segments), self.closed)


def path_data(path: Path, x: float = 0.0, y: float = 0.0, decimals: int = 6) -> str:
    """Return the SVG path data of a path moved by (x, y) mm; lines and arcs stay exact lines and arcs.

    Coordinates are rounded before they are moved, so a mirrored path moved by whole numbers keeps its last decimal.
    """

    def write(point: Point) -> str:
        return f"{number(x + round(point[0], decimals), decimals)} {number(y + round(point[1], decimals), decimals)}"

    words = [f"M{write(path.knots[0])}"]
    for segment, knot in zip(path.segments, path.knots[1:], strict=True):
        parts = _svg_parts(segment)
        for part, end in zip(parts, [*(part.end for part in parts[:-1]), knot], strict=True):
            if isinstance(part, Line):
                words.append(f"L{write(end)}")
            else:
                radius = number(part.radius, decimals)
                words.append(f"A{radius} {radius} 0 0 {int(part.half > 0)} {write(end)}")
    return " ".join(words) + (" Z" if path.closed else "")


def number(value: float, decimals: int = 6) -> str:
    """Write a number with at most `decimals` decimals, without trailing zeros and without -0."""
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".") if decimals else f"{value:.0f}"
    return "0" if text == "-0" else text


def _svg_parts(segment: Segment) -> list[Segment]:
    """An arc of half a turn or more is two arcs in SVG: one alone would be ambiguous after rounding."""
    if isinstance(segment, Line) or abs(segment.half) < math.pi / 2 - 1e-6:
        return [segment]
    quarter, middle = segment.half / 2, segment.middle
    cos, sin = math.cos(quarter), math.sin(quarter)
    before = (middle[0] * cos + middle[1] * sin, middle[1] * cos - middle[0] * sin)
    after = (middle[0] * cos - middle[1] * sin, middle[1] * cos + middle[0] * sin)
    return [Arc(segment.centre, segment.radius, turned, quarter) for turned in (before, after)]


def _middle(a: Point, b: Point) -> Point:
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
