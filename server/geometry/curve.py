"""Free curves, flattened so finely that no maker sees a corner. Millimetres, x right and y down."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from calibration.refusal import Refusal
from server.geometry.build import polyline
from server.geometry.path import Path, Point

FINE = 0.005
"""mm: how far the flattened curve may stand off the true one; a stitch's chord is then right to a thousandth."""
_MOST_DEGREES = 6.0
"""Degrees two neighbouring lines of a flattened curve may differ by: far below what counts as a sharp corner."""


def bezier(start: Point, first: Point, second: Point, end: Point, tolerance: float = FINE) -> Path:
    """Return the open path of a cubic Bezier curve from start to end with two control points (mm).

    Flattened at even parameters, as many as Wang's bound asks for: n = sqrt(6 max|second difference| / (8 tolerance)).

    Raises:
        Refusal: a number that is not finite, or all four points the same.

    """
    control = _finite([start, first, second, end])
    bend = np.hypot(*(control[2:] - 2.0 * control[1:-1] + control[:-2]).T).max()
    count = max(2, math.ceil(math.sqrt(0.75 * bend / tolerance)))
    while True:
        t = np.linspace(0.0, 1.0, count + 1)[:, None]
        weights = np.hstack(((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3))
        points = weights @ control
        if _smooth(points) or count > 4096:
            return _path(points, closed=False)
        count *= 2


def through(points: Sequence[Point], *, closed: bool = False, tolerance: float = FINE) -> Path:
    """Return the smooth curve through the points (n >= 2, mm): a cubic spline over the lengths of its chords.

    Natural at open ends, periodic when closed (scipy CubicSpline).

    Raises:
        Refusal: fewer than two points (three when closed), neighbours that coincide, or a number that is not finite.

    """
    given = _finite([*points, points[0]] if closed else points)
    steps = np.hypot(*np.diff(given, axis=0).T) if len(given) > 1 else np.zeros(0)
    if len(given) < (4 if closed else 2) or steps.min() <= 0.0:
        raise Refusal("A curve needs at least two points (three for a ring), and no two neighbours may coincide.")
    knots = np.concatenate(([0.0], np.cumsum(steps)))
    spline = CubicSpline(knots, given, bc_type="periodic" if closed else "natural")
    bend = np.hypot(*spline(knots, 2).T).max()
    count = max(1, math.ceil(knots[-1] * math.sqrt(bend / (8.0 * tolerance))))
    while True:
        flat = spline(_parameters(knots, count))
        if _smooth(flat) or count > 65536:
            return _path(flat[:-1] if closed else flat, closed=closed)
        count *= 2


def _parameters(knots: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Every knot, and between neighbours as many even parameters as their share of `count` asks for."""
    share = np.maximum(1, np.ceil(np.diff(knots) / knots[-1] * count)).astype(int)
    spans = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(knots, knots[1:], share, strict=False)]
    return np.concatenate((*spans, knots[-1:]))


def _smooth(points: NDArray[np.float64]) -> bool:
    steps = np.diff(points, axis=0)
    angles = np.arctan2(steps[:, 1], steps[:, 0])
    turns = np.abs(np.angle(np.exp(1j * np.diff(angles))))
    return bool(turns.size == 0 or turns.max() <= math.radians(_MOST_DEGREES))


def _path(points: NDArray[np.float64], *, closed: bool) -> Path:
    return polyline([(x, y) for x, y in points.tolist()], closed=closed)


def _finite(points: Sequence[Point]) -> NDArray[np.float64]:
    given = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    if not np.isfinite(given).all() or np.ptp(given, axis=0).max(initial=0.0) == 0.0:
        raise Refusal("A curve needs finite points that are not all the same.")
    return given
