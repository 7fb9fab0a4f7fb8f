"""The two exact segments a path is made of: the straight line and the circular arc. Millimetres, x right, y down.

An arc is kept by its middle and its half sweep, so that mirroring and reversing it changes signs only:
a mirrored or reversed segment has the same points as its original to the last bit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from calibration.refusal import Refusal
from server.geometry.placement import Placement

Point = tuple[float, float]
_EDGE = 1e-9
"""mm: how far past either end of a segment rounding may put a point that lies on the end."""


@dataclass(frozen=True)
class Line:
    """A straight line from start to end, mm."""

    start: Point
    end: Point

    @cached_property
    def length(self) -> float:
        """Length in mm."""
        return math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @cached_property
    def unit(self) -> Point:
        """Unit vector from start to end; (1, 0) for a line without length."""
        if self.length == 0.0:
            return (1.0, 0.0)
        return ((self.end[0] - self.start[0]) / self.length, (self.end[1] - self.start[1]) / self.length)

    def at(self, s: float) -> Point:
        """Return the point s mm from the start; the ends are exact."""
        if s == self.length:
            return self.end
        return (self.start[0] + self.unit[0] * s, self.start[1] + self.unit[1] * s)

    def direction(self, s: float) -> Point:  # noqa: ARG002 - the same everywhere on a line
        """Return the unit vector along the line, s mm from the start."""
        return self.unit

    def reversed(self) -> Line:
        """Return the line from end to start."""
        return Line(self.end, self.start)

    def mirrored(self) -> Line:
        """Return the line with x turned to -x."""
        return Line(_mirror(self.start), _mirror(self.end))

    def grown(self, distance: float) -> Line:
        """Return the line shifted to its left as one walks it, with y down: outwards for a clockwise outline."""
        shift = (self.unit[1] * distance, -self.unit[0] * distance)
        return Line(_add(self.start, shift), _add(self.end, shift))

    def flatten(self, tolerance: float) -> list[Point]:  # noqa: ARG002 - a line is already flat
        """Return both ends."""
        return [self.start, self.end]

    def first_at(self, centre: Point, radius: float, after: float) -> float | None:
        """Return the first s >= after (mm) where the line is `radius` away from `centre`, or None."""
        wx, wy = self.start[0] - centre[0], self.start[1] - centre[1]
        along = wx * self.unit[0] + wy * self.unit[1]
        across = wx * self.unit[1] - wy * self.unit[0]
        rest = radius * radius - across * across
        if rest < 0.0:
            return None
        half = math.sqrt(rest)
        return _first((-along - half, -along + half), after, self.length)


@dataclass(frozen=True)
class Arc:
    """A circular arc.

    Attributes:
        centre: mm.
        radius: mm, more than 0.
        middle: unit vector from the centre to the middle of the arc.
        half: half the sweep in radians, positive clockwise as seen (y down), at most pi in size.

    Raises:
        Refusal: a radius that is not above 0, or a sweep of more than a full turn.

    """

    centre: Point
    radius: float
    middle: Point
    half: float

    def __post_init__(self) -> None:
        if not (self.radius > 0.0 and abs(self.half) <= math.pi + _EDGE):
            degrees = math.degrees(2.0 * self.half)
            raise Refusal(f"There is no arc of radius {self.radius:.6g} mm and {degrees:.6g} degrees.")

    @staticmethod
    def of(centre: Point, radius: float, start_angle: float, sweep: float) -> Arc:
        """Return the arc that starts at `start_angle` and turns by `sweep` (degrees, clockwise as seen is positive)."""
        turn = start_angle + sweep / 2.0
        return Arc(centre, radius, Placement(turn_degrees=turn).cos_sin, math.radians(sweep / 2.0))

    @cached_property
    def length(self) -> float:
        """Length in mm."""
        return 2.0 * self.radius * abs(self.half)

    @property
    def sweep(self) -> float:
        """Whole sweep in radians, positive clockwise as seen."""
        return 2.0 * self.half

    @cached_property
    def start(self) -> Point:
        """Return the first point, mm."""
        return self._turned(-self.half)

    @cached_property
    def end(self) -> Point:
        """Return the last point, mm."""
        return self._turned(self.half)

    def _turned(self, angle: float) -> Point:
        cos, sin = math.cos(angle), math.sin(angle)
        mx, my = self.middle
        return (
            self.centre[0] + self.radius * (mx * cos - my * sin),
            self.centre[1] + self.radius * (mx * sin + my * cos),
        )

    def _angle(self, s: float) -> float:
        return math.copysign(s / self.radius, self.half) - self.half

    def at(self, s: float) -> Point:
        """Return the point s mm along the arc; the ends are exact."""
        return self.end if s == self.length else self._turned(self._angle(s))

    def direction(self, s: float) -> Point:
        """Return the unit tangent s mm along the arc."""
        angle = self._angle(s)
        cos, sin, sign = math.cos(angle), math.sin(angle), math.copysign(1.0, self.half)
        mx, my = self.middle
        return (-sign * (mx * sin + my * cos), sign * (mx * cos - my * sin))

    def reversed(self) -> Arc:
        """Return the same arc walked from end to start."""
        return Arc(self.centre, self.radius, self.middle, -self.half)

    def mirrored(self) -> Arc:
        """Return the arc with x turned to -x."""
        return Arc(_mirror(self.centre), self.radius, _mirror(self.middle), -self.half)

    def grown(self, distance: float) -> Arc:
        """Return the concentric arc shifted to its left as one walks it: outwards for a clockwise outline.

        Raises:
            ValueError: an arc that bends the other way with a radius of `distance` or less.

        """
        radius = self.radius + math.copysign(distance, distance * self.half)
        if radius <= 0.0:
            raise ValueError("the arc vanishes")
        return Arc(self.centre, radius, self.middle, self.half)

    def flatten(self, tolerance: float) -> list[Point]:
        """Return points on the arc whose chords stay within `tolerance` mm of it (sagitta r (1 - cos(step / 2)))."""
        step = 2.0 * math.acos(max(-1.0, 1.0 - tolerance / self.radius)) if tolerance < 2.0 * self.radius else math.pi
        count = max(1, math.ceil(2.0 * abs(self.half) / step))
        return [self._turned(self.half * ((2 * i - count) / count)) for i in range(count + 1)]

    def first_at(self, centre: Point, radius: float, after: float) -> float | None:
        """Return the first s >= after (mm) where the arc is `radius` away from `centre`, or None.

        Half-angle form of the law of cosines in the triangle of arc centre, given centre and the point sought; the plain
        form would lose half the digits for short chords.
        """
        vx, vy = centre[0] - self.centre[0], centre[1] - self.centre[1]
        apart = math.hypot(vx, vy)
        if apart < 1e-12:
            return None
        gap = apart - self.radius
        square = (radius - gap) * (radius + gap) / (4.0 * apart * self.radius)
        if not 0.0 <= square <= 1.0:
            return None
        mx, my = self.middle
        towards = math.atan2(mx * vy - my * vx, mx * vx + my * vy)
        open_by, sign = 2.0 * math.asin(math.sqrt(square)), math.copysign(1.0, self.half)
        turns = (sign * (towards - open_by) + abs(self.half), sign * (towards + open_by) + abs(self.half))
        return _first([self.radius * _wrap(turn) for turn in turns], after, self.length)


Segment = Line | Arc


def turn_between(a: Point, b: Point) -> float:
    """Return the angle between two unit vectors, degrees, 0 to 180."""
    return math.degrees(abs(math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])))


def placed(segment: Segment, placement: Placement) -> Segment:
    """Return the segment mirrored, turned and moved by a placement."""

    def move(point: Point, by: Placement = placement) -> Point:
        x, y = by.apply([point])[0].tolist()
        return (x, y)

    if isinstance(segment, Line):
        return Line(move(segment.start), move(segment.end))
    turned = move(segment.middle, Placement(0.0, 0.0, placement.turn_degrees, placement.mirror))
    half = -segment.half if placement.mirror else segment.half
    return Arc(move(segment.centre), segment.radius, turned, half)


def _mirror(point: Point) -> Point:
    return (-point[0] if point[0] else 0.0, point[1])


def _add(a: Point, b: Point) -> Point:
    return (a[0] + b[0], a[1] + b[1])


def _wrap(angle: float) -> float:
    """Return the angle in [0, 2 pi), rounding dust just below 0 counted as 0."""
    wrapped = math.fmod(angle, 2.0 * math.pi)
    if wrapped < 0.0:
        wrapped = 0.0 if wrapped > -1e-12 else wrapped + 2.0 * math.pi
    return wrapped


def _first(candidates: Iterable[float], after: float, length: float) -> float | None:
    """Return the least candidate within [after, length], forgiving 1e-9 mm at either end.

    What is forgiven at the far end is not cut off: a root finder needs the exact overshoot.
    """
    fit = [s for s in candidates if after - _EDGE <= s <= length + _EDGE]
    return max(min(fit), after) if fit else None
