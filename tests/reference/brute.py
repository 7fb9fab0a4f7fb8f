"""Dividers by brute force: no geometry of the project, only a curve as a function of t from 0 to 1 and bisection."""

from __future__ import annotations

import math
from collections.abc import Callable

Point = tuple[float, float]
Curve = Callable[[float], Point]
FINENESS = 40
"""Samples a step when looking for where the dividers first reach."""


def step_once(curve: Curve, t: float, chord: float, coarse: float) -> float | None:
    """Return the first t after this one where the curve is `chord` away, or None beyond its end."""
    here = curve(t)
    low = t
    while low < 1.0:
        high = min(low + coarse, 1.0)
        if math.dist(here, curve(high)) >= chord:
            for _ in range(60):
                middle = (low + high) / 2.0
                low, high = (low, middle) if math.dist(here, curve(middle)) >= chord else (middle, high)
            return high
        low = high
    return None


def steps(curve: Curve, chord: float, count: int) -> list[float] | None:
    """Return the places of `count` steps, or None when they do not all fit on the curve."""
    places = [0.0]
    for _ in range(count):
        following = step_once(curve, places[-1], chord, 1.0 / (FINENESS * count))
        if following is None:
            return None
        places.append(following)
    return places


def equal_steps(curve: Curve, count: int, most: float) -> tuple[float, list[Point]]:
    """Return the longest chord of which `count` steps fit, by bisection below `most`, and the points they mark."""
    low, high = 0.3 * most, most * (1.0 + 1e-6)
    for _ in range(56):
        middle = (low + high) / 2.0
        low, high = (low, middle) if steps(curve, middle, count) is None else (middle, high)
    places = steps(curve, low, count)
    assert places is not None
    return low, [curve(t) for t in places]


def joined(*parts: tuple[float, Curve]) -> Curve:
    """Return curves end to end, each with its share of t."""
    total = sum(share for share, _ in parts)

    def curve(t: float) -> Point:
        rest = t * total
        for share, part in parts:
            if rest <= share:
                return part(rest / share)
            rest -= share
        return parts[-1][1](1.0)

    return curve


def straight(a: Point, b: Point) -> Curve:
    """Return the straight line from a to b."""
    return lambda t: (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))


def round_about(centre: Point, radius: float, start: float, sweep: float) -> Curve:
    """Return an arc; degrees."""

    def curve(t: float) -> Point:
        turn = math.radians(start + t * sweep)
        return (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))

    return curve
