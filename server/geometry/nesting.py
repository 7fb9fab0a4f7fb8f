"""Which closed lines lie inside which, and how far lines run from each other. GEOS (shapely) does the work."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from calibration.refusal import Refusal

Array = NDArray[np.float64]
_SAMPLES = 48
MOST_TESTS = 100_000
"""Whether one ring lies in another is asked at most this often."""


def parents(rings: Sequence[Array]) -> list[int]:
    """Return, for each closed ring (n, 2), the number of the smallest ring round it, or -1.

    A ring is round another when it is larger and nearly all of the other's points lie in it; rings that touch or cross
    themselves are no trouble. Of two equal rings the earlier counts as the larger.

    Raises:
        Refusal: rings that lie over each other in too many ways to be sorted out in a moment.

    """
    if not rings:
        return []
    shapes = np.array([shapely.Polygon(ring) for ring in rings])
    boxes = shapely.box(*np.array([_box(ring) for ring in rings]).T)
    areas = np.array([ring_area(ring) for ring in rings])
    ranks = np.empty(len(rings), dtype=int)
    ranks[np.lexsort((-np.arange(len(rings)), areas))] = np.arange(len(rings))
    tree = shapely.STRtree(boxes)
    shapely.prepare(shapes)
    found, tests = [], 0
    for index, ring in enumerate(rings):
        around = tree.query(boxes[index], predicate="covered_by")
        tests += len(around) // 5
        if tests > MOST_TESTS:
            raise Refusal("Too many closed lines lie over each other: leave some out of what is cut.")
        larger = sorted((i for i in around.tolist() if ranks[i] > ranks[index]), key=lambda i: int(ranks[i]))
        few, parent = sampled(ring), -1
        for i in larger:
            tests += 1
            if float(np.mean(shapely.intersects_xy(shapes[i], few[:, 0], few[:, 1]))) > 0.9:
                parent = i
                break
        found.append(parent)
    return found


def share_inside(ring: Array, points: Array, reach: float = 0.0) -> float:
    """Return the share (0 to 1) of a line's points (n, 2) that lie in a ring, or within `reach` mm of it."""
    few = sampled(points)
    shape = shapely.Polygon(ring)
    shapely.prepare(shape)
    within = shapely.intersects_xy(shape, few[:, 0], few[:, 1])
    if reach > 0.0:
        within |= distances(ring, few) <= reach
    return float(np.mean(within))


def distances(ring: Array, points: Array) -> Array:
    """Return how far each of the points (n, 2) is from the line of a closed ring, mm."""
    return np.asarray(shapely.distance(shapely.points(points), shapely.LinearRing(ring)), dtype=np.float64)


def along(line: Array, closed: bool, points: Array) -> tuple[Array, Array]:
    """Return how far along a line (n, 2) each of some points (m, 2) is nearest to it, and how far it is from it, mm."""
    shape = shapely.LinearRing(line) if closed else shapely.LineString(line)
    places = shapely.points(points)
    s, apart = shapely.line_locate_point(shape, places), shapely.distance(shape, places)
    return np.asarray(s, dtype=np.float64), np.asarray(apart, dtype=np.float64)


def sampled(points: Array, most: int = _SAMPLES) -> Array:
    """Return at most `most` of the points, evenly taken, with the middles between those of a line of few."""
    if len(points) < most // 2:
        points = np.concatenate((points, (points[:-1] + points[1:]) / 2.0))
    return np.asarray(points[np.linspace(0, len(points) - 1, min(most, len(points))).astype(int)], dtype=np.float64)


def ring_area(ring: Array) -> float:
    """Return the area of a ring (n, 2), mm^2."""
    return abs(_shoelace(ring))


def _shoelace(ring: Array) -> float:
    x, y = (ring - ring[0]).T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def _box(ring: Array) -> tuple[float, float, float, float]:
    left, top = ring.min(axis=0).tolist()
    right, bottom = ring.max(axis=0).tolist()
    return left, top, right, bottom
