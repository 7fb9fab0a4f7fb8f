"""Outlines grown by a margin: exactly where lines and arcs allow it, with GEOS (shapely) where they do not."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.path import Path

_STEPS_PER_QUARTER = 32
_SIMPLIFY = 0.002
"""mm: points nearer than this to the straight line between their neighbours are left out."""


def grow_points(points: ArrayLike, distance: float) -> NDArray[np.float64]:
    """Return the ring (m, 2), mm, that lies `distance` mm outside a closed ring (n, 2); negative goes inside.

    Corners become round. GEOS buffer, through shapely.

    Raises:
        Refusal: nothing is left, or the ring falls into several.

    """
    grown = shapely.Polygon(np.asarray(points, dtype=np.float64)).buffer(distance, quad_segs=_STEPS_PER_QUARTER)
    if grown.geom_type != "Polygon" or grown.is_empty:
        raise Refusal(f"An outline cannot be moved by {distance:.6g} mm: nothing in one piece is left.")
    ring = shapely.get_coordinates(grown.simplify(_SIMPLIFY).exterior)
    return np.asarray(ring[:-1], dtype=np.float64)


def grow_half(half: Path, distance: float) -> Path:
    """Return the closed whole of a half draft, grown outwards by `distance` mm, its halves exact mirrors.

    Args:
        half: open, clockwise, from the centre line x = 0 at the top to the centre line at the bottom.
        distance: mm, 0 or more.

    """
    try:
        return unfold(half.grown(distance), closed=True)
    except ValueError:
        return _grow_with_geos(half, distance)


def _grow_with_geos(half: Path, distance: float) -> Path:
    ring = grow_points(unfold(half, closed=True).flatten(), distance)
    right = shapely.Polygon(ring).intersection(
        shapely.box(0.0, ring[:, 1].min() - 1, ring[:, 0].max() + 1, ring[:, 1].max() + 1)
    )
    points = shapely.get_coordinates(shapely.orient_polygons(right, exterior_cw=False).exterior)[:-1]
    on_axis = np.flatnonzero(points[:, 0] <= 0.0)
    first = on_axis[np.argmin(points[on_axis, 1])]
    turned = [(float(x), float(y)) for x, y in np.roll(points, -int(first), axis=0)]
    return unfold(polyline(turned), closed=True)
