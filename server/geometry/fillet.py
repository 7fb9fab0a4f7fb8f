"""Outlines with round corners: straight lines through points, each corner an arc tangent to both; and pointed arches."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from calibration.refusal import Refusal
from server.geometry.path import Path
from server.geometry.segment import Arc, Line, Point, Segment

_EDGE = 1e-9
_LEAST_TURN = 1e-6
"""Radians: a bend smaller than this is no corner."""


def rounded(points: Sequence[Point], radii: Sequence[float], *, field: str | None = None) -> Path:
    """Return the open path from the first point to the last, its inner corners round.

    Args:
        points: n >= 2, mm; neighbours that coincide are one point and the later radius holds.
        radii: mm, one for each point; the first and the last are not used, and 0 keeps a corner sharp.
        field: the measure a refusal is about.

    Raises:
        Refusal: two corners that overlap on the line between them.

    """
    kept = [i for i in range(len(points)) if i + 1 == len(points) or math.dist(points[i], points[i + 1]) > _EDGE]
    spots, bends = [points[i] for i in kept], [radii[i] for i in kept]
    inner = (_cut(a, b, c, r) for a, b, c, r in zip(spots, spots[1:], spots[2:], bends[1:], strict=False))
    cuts = [0.0, *inner, 0.0]
    for i, (a, b) in enumerate(itertools.pairwise(spots)):
        if cuts[i] + cuts[i + 1] > math.dist(a, b) + 1e-7:
            raise Refusal(
                f"Round corners of {bends[i]:.4g} and {bends[i + 1]:.4g} mm do not fit an edge of {math.dist(a, b):.4g} mm: "
                "make them smaller.",
                field=field,
            )
    return Path(tuple(_segments(spots, bends, cuts)))


def _segments(spots: list[Point], bends: list[float], cuts: list[float]) -> list[Segment]:
    found: list[Segment] = []
    here = spots[0]
    for i in range(1, len(spots)):
        arc = _arc(spots[i - 1], spots[i], spots[i + 1], bends[i]) if cuts[i] > 0.0 else None
        until = spots[i] if arc is None else arc.start
        if math.dist(here, until) > _EDGE:
            found.append(Line(here, until))
        if arc is not None:
            found.append(arc)
        here = until if arc is None else arc.end
    return found


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def _turn(before: Point, corner: Point, after: Point) -> float:
    (ux, uy), (vx, vy) = _unit(before, corner), _unit(corner, after)
    return math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)


def _cut(before: Point, corner: Point, after: Point, radius: float) -> float:
    """How far before and after the corner its arc begins and ends: r tan(turn / 2)."""
    turn = abs(_turn(before, corner, after))
    return radius * math.tan(turn / 2.0) if radius > 0.0 and turn > _LEAST_TURN else 0.0


def _arc(before: Point, corner: Point, after: Point, radius: float) -> Arc:
    turn, (ux, uy) = _turn(before, corner, after), _unit(before, corner)
    side, back = math.copysign(1.0, turn), radius * math.tan(abs(turn) / 2.0)
    start = (corner[0] - ux * back, corner[1] - uy * back)
    centre = (start[0] - side * uy * radius, start[1] + side * ux * radius)
    begin = math.degrees(math.atan2(start[1] - centre[1], start[0] - centre[0]))
    return Arc.of(centre, radius, begin, math.degrees(turn))


def arch(half_width: float, top: float, radius: float, apex: float) -> tuple[Arc, Arc]:
    """Return the right half of a pointed arch that closes a strip downwards: a long arc, then a small one at the apex.

    The long arc (`radius` mm, at least the half width) leaves the side x = half_width straight down at y = top and is
    tangent to the small arc (`apex` mm, below the half width), whose centre lies on the centre line and which ends there.
    With a as `apex`, w as half width and R as radius the small centre lies sqrt((R - a)^2 - (R - w)^2) below `top`. Derived.
    """
    drop = math.sqrt(max((radius - apex) ** 2 - (radius - half_width) ** 2, 0.0))
    turn = math.degrees(math.atan2(drop, radius - half_width)) if radius > half_width or drop > 0.0 else 0.0
    long = Arc.of((half_width - radius, top), radius, 0.0, max(turn, 1e-9))
    small = Arc.of((0.0, top + drop), apex, turn, 90.0 - turn)
    return long, small


def scoop(half_width: float, depth: float, lip: float) -> tuple[Arc, Arc]:
    """Return the right half of a thumb notch below the line y = 0: the hollow arc, then the round lip.

    It starts at (0, depth), runs along a hollow of radius S - lip and ends with a lip of radius `lip` tangent to y = 0 at
    x = half_width, where S = (w^2 + d^2) / (2 d): the two radii together. Derived.

    Raises:
        Refusal: a notch deeper than half its width, or a lip that leaves no hollow.

    """
    both = (half_width * half_width + depth * depth) / (2.0 * depth)
    if depth > half_width or lip >= both:
        raise Refusal(
            f"A notch {depth:.4g} mm deep does not fit a width of {2 * half_width:.4g} mm: make it at most half as deep as wide.",
            field="notch-depth",
        )
    hollow = both - lip
    turn = math.degrees(math.atan2(half_width, both - depth))
    return (
        Arc.of((0.0, depth - hollow), hollow, 90.0, -turn),
        Arc.of((half_width, lip), lip, 270.0 - turn, turn),
    )


def between(path: Path, begin: float, end: float) -> Path:
    """Return the part of an open path from `begin` to `end`, mm along it.

    Raises:
        Refusal: nothing is left.

    """
    kept: list[Segment] = []
    for segment, start in zip(path.segments, path.starts, strict=True):
        low, high = max(begin - start, 0.0), min(end - start, segment.length)
        if high - low > _EDGE:
            kept.append(_part(segment, low, high))
    if not kept:
        raise Refusal(f"Nothing of a path of {path.length:.4g} mm lies from {begin:.4g} to {end:.4g} mm.")
    return Path(tuple(kept))


def _part(segment: Segment, low: float, high: float) -> Segment:
    if low == 0.0 and high == segment.length:
        return segment
    if isinstance(segment, Line):
        return Line(segment.at(low), segment.at(high))
    x, y = segment.at((low + high) / 2.0)
    middle = ((x - segment.centre[0]) / segment.radius, (y - segment.centre[1]) / segment.radius)
    return Arc(
        segment.centre, segment.radius, middle, math.copysign((high - low) / (2.0 * segment.radius), segment.half)
    )
