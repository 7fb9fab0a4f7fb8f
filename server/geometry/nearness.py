"""How near points, lines and outlines come to each other, and whether a piece goes into a picture. GEOS (shapely) works it out.

Rings and lines are (n, 2) mm; a ring does not repeat its first point.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from server.geometry.path import Path, Point
from server.geometry.region import solid

FINE = 0.002
"""mm: how finely a path is flattened before it is measured."""


def distances(points: ArrayLike, path: Path) -> NDArray[np.float64]:
    """Return the distance, mm, of each of the points (n, 2) from the line of a path."""
    return np.asarray(shapely.distance(shapely.points(_given(points)), _line(path)), dtype=np.float64)


def gap(first: Path, second: Path) -> tuple[float, Point]:
    """Return the least distance, mm, between the lines of two paths, and the place of the first where it is."""
    one, two = _line(first), _line(second)
    near = shapely.get_coordinates(shapely.shortest_line(one, two))
    return float(one.distance(two)), (float(near[0, 0]), float(near[0, 1]))


def crossing(line: Path, ring: Path) -> tuple[float, Point] | None:
    """Return how many mm of a line run inside a closed ring and a place there, or None when it stays out."""
    shared = _line(line).intersection(solid(ring.flatten(FINE)))
    if shared.is_empty or shared.length <= FINE:
        return None
    place = shared.interpolate(0.5, normalized=True) if shared.geom_type == "LineString" else shared.centroid
    return float(shared.length), (float(place.x), float(place.y))


def fits_in(ring: ArrayLike, room: ArrayLike, step_degrees: float = 1.0) -> tuple[float, Point] | None:
    """Return a turn (degrees) and a move (mm) that bring a ring wholly into a room, or None when none is found.

    Turns are tried in steps from 0 to 180 degrees. For each, the places where the ring's hull stays inside the sides of
    the room's hull are the room's sides shifted inwards by how far the ring reaches; their middle is tried against the room itself.
    """
    hull = _hull(ring)
    outer = solid(room)
    normals, limits = _sides(_hull(room))
    shapely.prepare(outer)
    for turn in np.arange(0.0, 180.0, step_degrees):
        turned = hull @ _rotation(turn)
        place = _middle(normals, limits - (turned @ normals.T).max(axis=0))
        if place is not None and outer.covers(shapely.Polygon(turned + place)):
            return float(turn), (float(place[0]), float(place[1]))
    return None


def _rotation(degrees: float) -> NDArray[np.float64]:
    """For row vectors: clockwise as seen, y down."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return np.array([[cos, sin], [-sin, cos]])


def _hull(ring: ArrayLike) -> NDArray[np.float64]:
    points = shapely.get_coordinates(shapely.MultiPoint(_given(ring)).convex_hull)[:-1]
    return np.asarray(points, dtype=np.float64)


def _sides(hull: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The outward unit normals (n, 2) of a convex ring's sides, and how far out each side lies along its own."""
    ring = shapely.get_coordinates(shapely.orient_polygons(shapely.Polygon(hull)).exterior)
    steps = np.diff(ring, axis=0)
    normals = np.column_stack((steps[:, 1], -steps[:, 0])) / np.hypot(*steps.T)[:, None]
    return normals, np.einsum("ij,ij->i", normals, ring[:-1])


def _middle(normals: NDArray[np.float64], limits: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """The middle of all places p with normals p <= limits, by clipping a large square side by side; None when there are none."""
    size = 4.0 * float(np.abs(limits).max()) + 1.0
    ring = np.array([[-size, -size], [size, -size], [size, size], [-size, size]])
    for normal, limit in zip(normals, limits, strict=True):
        ring = _clipped(ring, normal, float(limit) + 1e-9)
        if len(ring) == 0:
            return None
    return np.asarray((ring.min(axis=0) + ring.max(axis=0)) / 2.0, dtype=np.float64)


def _clipped(ring: NDArray[np.float64], normal: NDArray[np.float64], limit: float) -> NDArray[np.float64]:
    """A convex ring cut off beyond a line (Sutherland and Hodgman)."""
    over = ring @ normal - limit
    kept = []
    for i in range(len(ring)):
        a, b = over[i - 1], over[i]
        if (a <= 0.0) != (b <= 0.0):
            kept.append(ring[i - 1] + (ring[i] - ring[i - 1]) * (a / (a - b)))
        if b <= 0.0:
            kept.append(ring[i])
    return np.array(kept).reshape(-1, 2)


def _line(path: Path) -> shapely.LineString:
    points = path.flatten(FINE)
    return shapely.LinearRing(points) if path.closed else shapely.LineString(points)


def _given(points: ArrayLike) -> NDArray[np.float64]:
    return np.asarray(points, dtype=np.float64).reshape(-1, 2)
