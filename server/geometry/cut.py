"""Parts of a path, rings that start elsewhere, and the place on a path that is nearest to a point. Millimetres."""

from __future__ import annotations

import math

from calibration.refusal import Refusal
from server.geometry.path import Arc, Line, Path, Point, Segment

_EDGE = 1e-9


def part(path: Path, begin: float, end: float) -> Path:
    """Return the open part of a path from `begin` to `end` mm along it.

    Raises:
        Refusal: an empty part, or one beyond the path's ends.

    """
    if not -_EDGE <= begin < end <= path.length + _EDGE:
        raise Refusal(f"There is no part of a {path.length:.6g} mm line from {begin:.6g} to {end:.6g} mm.")
    segments = []
    for start, segment in zip(path.starts, path.segments, strict=True):
        low, high = max(begin - start, 0.0), min(end - start, segment.length)
        if high - low > _EDGE:
            segments.append(_piece(segment, low, high))
    return Path(tuple(segments))


def started_at(path: Path, s: float) -> Path:
    """Return the same closed path, walked the same way, starting `s` mm (0 to its length) along it.

    Raises:
        Refusal: an open path.

    """
    if not path.closed:
        raise Refusal("Only a closed line can start elsewhere.")
    s = math.fmod(s, path.length)
    if s <= _EDGE or path.length - s <= _EDGE:
        return path
    segments = part(path, s, path.length).segments + part(path, 0.0, s).segments
    return Path(segments, closed=True)


def project(path: Path, point: Point) -> tuple[float, float]:
    """Return where on the path (mm along it) a point is nearest, and how far it is from it, mm."""
    best = (0.0, math.inf)
    for start, segment in zip(path.starts, path.segments, strict=True):
        s = _foot(segment, point)
        apart = math.dist(segment.at(s), point)
        if apart < best[1] - 1e-12:
            best = (start + s, apart)
    return best


def _piece(segment: Segment, low: float, high: float) -> Segment:
    if low <= _EDGE and segment.length - high <= _EDGE:
        return segment
    if isinstance(segment, Line):
        return Line(segment.start if low <= 0.0 else segment.at(low), segment.at(high))
    turn = math.copysign(1.0, segment.half) * (low + high - segment.length) / (2.0 * segment.radius)
    cos, sin = math.cos(turn), math.sin(turn)
    mx, my = segment.middle
    half = math.copysign((high - low) / (2.0 * segment.radius), segment.half)
    return Arc(segment.centre, segment.radius, (mx * cos - my * sin, mx * sin + my * cos), half)


def _foot(segment: Segment, point: Point) -> float:
    """How far along the segment its nearest point is."""
    if isinstance(segment, Line):
        ux, uy = segment.unit
        along = (point[0] - segment.start[0]) * ux + (point[1] - segment.start[1]) * uy
        return min(max(along, 0.0), segment.length)
    vx, vy = point[0] - segment.centre[0], point[1] - segment.centre[1]
    mx, my = segment.middle
    turn = math.copysign(1.0, segment.half) * math.atan2(mx * vy - my * vx, mx * vx + my * vy)
    if abs(turn) <= abs(segment.half):
        return segment.radius * (turn + abs(segment.half))
    return min((0.0, segment.length), key=lambda s: math.dist(segment.at(s), point))
