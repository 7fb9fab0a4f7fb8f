"""Builders of paths: through points, through arcs, round rectangles, and the whole of a half draft."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

from calibration.refusal import Refusal
from server.geometry.path import Path
from server.geometry.segment import Arc, Line, Point, Segment

_EDGE = 1e-9


def polyline(points: Sequence[Point], *, closed: bool = False) -> Path:
    """Return the path of straight lines through the points; neighbours that coincide are one point."""
    ring = [*points, points[0]] if closed else list(points)
    lines = (Line(a, b) for a, b in itertools.pairwise(ring) if math.dist(a, b) > 0.0)
    return Path(tuple(lines), closed)


def chain(start: Point, arcs: Iterable[Arc], end: Point) -> Path:
    """Return the open path from start through the arcs to end, with straight lines wherever the arcs do not touch."""
    segments: list[Segment] = []
    here = start
    for arc in arcs:
        if math.dist(here, arc.start) > _EDGE:
            segments.append(Line(here, arc.start))
        segments.append(arc)
        here = arc.end
    if math.dist(here, end) > _EDGE:
        segments.append(Line(here, end))
    return Path(tuple(segments))


def unfold(half: Path, *, closed: bool = False) -> Path:
    """Return the whole of a half draft: the mirrored half, walked back to the centre line, then the half itself.

    Args:
        half: an open path that starts on the centre line x = 0; for a closed whole it also ends there.
        closed: whether the whole is an outline.

    Both halves are exact mirrors: their numbers differ in the sign of x only.

    """
    segments = list(half.mirrored().reversed().segments) + list(half.segments)
    middle = len(half.segments)
    first, second = segments[middle - 1], segments[middle]
    if isinstance(first, Line) and isinstance(second, Line) and first.start[1] == second.end[1]:
        segments[middle - 1 : middle + 1] = [Line(first.start, second.end)]
    first, last = segments[0], segments[-1]
    if closed and isinstance(first, Line) and isinstance(last, Line) and first.end[1] == last.start[1]:
        segments = [*segments[1:-1], Line(last.start, first.end)]
    return Path(tuple(segments), closed)


def rounded_rectangle(left: float, top: float, right: float, bottom: float, radius: float) -> Path:
    """Return a closed clockwise rectangle with round corners (mm), starting in the middle of its left side.

    Raises:
        Refusal: a radius of 0 or less, or more than half the shorter side.

    """
    if not 0.0 < radius <= min(right - left, bottom - top) / 2.0:
        raise Refusal(
            f"A corner radius of {radius:.6g} mm does not fit a rectangle {right - left:.6g} x {bottom - top:.6g}."
        )
    corners = ((left, top, 180.0), (right, top, 270.0), (right, bottom, 0.0), (left, bottom, 90.0))
    arcs = [
        Arc.of(
            (x + math.copysign(radius, left + right - 2 * x), y + math.copysign(radius, top + bottom - 2 * y)),
            radius,
            a,
            90.0,
        )
        for x, y, a in corners
    ]
    middle = (left, (top + bottom) / 2.0)
    return Path(chain(middle, arcs, middle).segments, closed=True)
