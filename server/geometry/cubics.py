"""Runs of cubic Bezier curves, the one form every curve of a foreign file is brought to before it is made into points.

A straight line is a cubic with its controls on it; an arc is several short cubics. A run is an array (n, 4, 2): start, two
controls, end; each starts where the one before ends. Affine maps may be applied to the controls.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calibration.refusal import Refusal

Array = NDArray[np.float64]
FINE = 0.01
"""mm: how far the points' chords may leave a curve."""
STEP_DEGREES = 6.0
"""Degrees a curve may turn between two of its points: far below what counts as a sharp corner of a stitch line."""
_ARC_STEP = math.pi / 8.0
"""Radians one cubic of an arc spans: it then stays within 7e-8 of the radius (4/3 tan(a/4) controls)."""
_MOST_PIECES = 2000
MOST_POINTS = 1_000_000


def lines(points: ArrayLike) -> Array:
    """Return the run (n - 1, 4, 2) of straight lines through n points; in space when the points are."""
    given = np.asarray(points, dtype=np.float64)
    start, end = given[:-1], given[1:]
    return np.stack((start, start + (end - start) / 3.0, end - (end - start) / 3.0, end), axis=1)


def arc(centre: ArrayLike, across: ArrayLike, along: ArrayLike, start: float, sweep: float) -> Array:
    """Return the run of an elliptical arc: centre + across cos t + along sin t, t from start through sweep (radians).

    In space when centre, across and along are.
    """
    count = max(1, math.ceil(abs(sweep) / _ARC_STEP - 1e-9))
    t = start + sweep * np.arange(count + 1) / count
    c, u, v = (np.asarray(p, dtype=np.float64) for p in (centre, across, along))
    point = c + np.outer(np.cos(t), u) + np.outer(np.sin(t), v)
    slope = (np.outer(np.cos(t), v) - np.outer(np.sin(t), u)) * (4.0 / 3.0 * math.tan(sweep / count / 4.0))
    return np.stack((point[:-1], point[:-1] + slope[:-1], point[1:] - slope[1:], point[1:]), axis=1)


def bulge(start: ArrayLike, end: ArrayLike, value: float) -> Array:
    """Return the run of a polyline's circular arc; its bulge is the tangent of a quarter of its sweep (DXF reference)."""
    a, b = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    if abs(value) < 1e-9 or np.array_equal(a, b):
        return lines([a, b])
    half = (b - a) / 2.0
    centre = (a + b) / 2.0 + np.array([-half[1], half[0]]) * ((1.0 - value * value) / (2.0 * value))
    out = a - centre
    return arc(centre, out, [-out[1], out[0]], 0.0, 4.0 * math.atan(value))


def moved(run: Array, matrix: Array) -> Array:
    """Return the run after a 3 x 3 affine matrix."""
    return np.asarray(run @ matrix[:2, :2].T + matrix[:2, 2], dtype=np.float64)


def flatten(run: Array, tolerance: float = FINE, most: int = MOST_POINTS) -> Array:
    """Return the points (m, 2) of a run, first and last included, neighbours that coincide once.

    Each curve is cut at even parameters, as often as Wang's bound n^2 = 6 max|second difference| / (8 tolerance) and the
    turn of its control polygon ask for.

    Raises:
        Refusal: a number that is not finite, or more than `most` points.

    """
    if not np.isfinite(run).all():
        raise Refusal("A line has a number that is not finite: draw it again.")
    counts = _counts(run, tolerance)
    if int(counts.sum()) > most:
        raise Refusal(f"The file has more than {MOST_POINTS} points: simplify its curves.")
    which = np.repeat(np.arange(len(run)), counts)
    step = np.arange(1, len(which) + 1) - np.repeat(np.cumsum(counts) - counts, counts)
    t = (step / counts[which])[:, None]
    s = 1.0 - t
    a, b, c, d = (run[which, k] for k in range(4))
    flat = s * s * s * a + 3.0 * s * s * t * b + 3.0 * s * t * t * c + t * t * t * d
    ends = step == counts[which]
    flat[ends] = run[:, 3]
    points = np.concatenate((run[:1, 0], flat))
    keep = np.ones(len(points), dtype=bool)
    keep[1:] = np.any(np.abs(np.diff(points, axis=0)) > 1e-9, axis=1)
    return np.asarray(points[keep], dtype=np.float64)


def _counts(run: Array, tolerance: float) -> NDArray[np.intp]:
    legs = np.diff(run, axis=1)
    bends = np.diff(legs, axis=1)
    second = np.hypot(bends[..., 0], bends[..., 1]).max(axis=1)
    wang = np.sqrt(0.75 * second / tolerance)
    size = np.hypot(legs[..., 0], legs[..., 1])
    heading = np.arctan2(legs[..., 1], legs[..., 0])
    turns = np.abs(np.angle(np.exp(1j * np.diff(heading, axis=1))))
    turns[(size[:, :-1] < 1e-9) | (size[:, 1:] < 1e-9)] = 0.0
    turned = turns.sum(axis=1) / math.radians(STEP_DEGREES)
    straight = second <= 1e-9 * (1.0 + size.sum(axis=1))
    wanted = np.where(straight, 1.0, np.ceil(np.maximum(wang, turned)))
    return np.clip(wanted, 1.0, _MOST_PIECES).astype(np.intp)
