"""Areas and distances of flat shapes given as rings of points in mm. GEOS (shapely) does the work."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray


def solid(ring: ArrayLike) -> shapely.Geometry:
    """Return what a closed ring (n, 2) encloses; one that crosses itself, as drawings from elsewhere may, is mended first."""
    shape = shapely.Polygon(_ring(ring))
    return shape if shape.is_valid else shapely.make_valid(shape)


def area(ring: ArrayLike) -> float:
    """Return the area in mm^2 of a closed ring (n, 2), whichever way round it runs."""
    return float(solid(ring).area)


def overlap(first: ArrayLike, second: ArrayLike) -> float:
    """Return the area in mm^2 that two closed rings (n, 2) share; 0 when they only touch."""
    return float(solid(first).intersection(solid(second)).area)


def contains(outer: ArrayLike, inner: ArrayLike) -> bool:
    """Return whether the closed ring `inner` lies wholly inside `outer` (touching is inside)."""
    return bool(solid(outer).covers(solid(inner)))


def inside(ring: ArrayLike, points: ArrayLike) -> NDArray[np.bool_]:
    """Return, for each of the points (n, 2), whether it lies inside the closed ring or on it."""
    given = _ring(points)
    return np.asarray(shapely.intersects_xy(solid(ring), given[:, 0], given[:, 1]), dtype=np.bool_)


def distance_between(first: ArrayLike, second: ArrayLike) -> float:
    """Return the least distance in mm between the lines of two closed rings (n, 2)."""
    return float(shapely.LinearRing(_ring(first)).distance(shapely.LinearRing(_ring(second))))


def nearest_points(first: ArrayLike, second: ArrayLike) -> tuple[float, int, int]:
    """Return the least distance in mm between two sets of points, (n, 2) and (m, 2), and the index of each."""
    a, b = _ring(first), _ring(second)
    apart = np.hypot(a[:, None, 0] - b[None, :, 0], a[:, None, 1] - b[None, :, 1])
    i, j = np.unravel_index(int(np.argmin(apart)), apart.shape)
    return float(apart[i, j]), int(i), int(j)


def merged(rings: Sequence[ArrayLike]) -> tuple[NDArray[np.float64], ...]:
    """Return the outlines, and the outlines of the holes, of what closed rings (n, 2) cover together; none repeats its start."""
    whole = shapely.union_all([shapely.Polygon(_ring(ring)) for ring in rings])
    lines = [line for part in shapely.get_parts(whole) for line in (part.exterior, *part.interiors)]
    return tuple(np.asarray(line.coords, dtype=np.float64)[:-1] for line in lines)


def thinned(points: ArrayLike, closed: bool, tolerance: float) -> NDArray[np.float64]:
    """Return a polyline (n, 2) with fewer points, nowhere farther than ``tolerance`` mm from the one given.

    Douglas and Peucker, 1973, as GEOS has it; a closed line keeps its ends, and never loses so much that it would cross itself.
    """
    given = _ring(points)
    line = shapely.LinearRing(given) if closed else shapely.LineString(given)
    found = np.asarray(line.simplify(tolerance, preserve_topology=True).coords, dtype=np.float64)
    return found[:-1] if closed else found


def _ring(points: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(points, dtype=np.float64).reshape(-1, 2)
