"""Where a rectangle finds a free place: inside a room and clear of what lies in it. GEOS (shapely) decides, on a grid of cells."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from server.geometry.path import Point


@dataclass(frozen=True)
class FreeRoom:
    """A room with things in it.

    Args:
        room: outline (n, 2) mm of where the rectangle may lie.
        things: outlines (m, 2) mm that it must not touch.
        clear: mm that it keeps from them, and from the room's edge.
        cell: mm, side of the cells. A place is found at most this much farther from the things than it must be.

    """

    room: ArrayLike
    things: Sequence[ArrayLike]
    clear: float = 0.0
    cell: float = 8.0

    def place(self, width: float, height: float, near: Point) -> Point | None:
        """Return the middle (mm) of the free place for a rectangle along x and y that is nearest to a point, or None."""
        free, left, top = self._cells
        across, down = math.ceil(width / self.cell), math.ceil(height / self.cell)
        rows, columns = free.shape
        if across > columns or down > rows or across < 1 or down < 1:
            return None
        sums = np.zeros((rows + 1, columns + 1), dtype=np.int64)
        sums[1:, 1:] = np.cumsum(np.cumsum(free, axis=0), axis=1)
        inside = sums[down:, across:] - sums[:-down, across:] - sums[down:, :-across] + sums[:-down, :-across]
        found = np.argwhere(inside == across * down)
        if len(found) == 0:
            return None
        middles = np.array([left, top]) + (found[:, ::-1] + np.array([across, down]) / 2.0) * self.cell
        x, y = middles[int(np.argmin(np.hypot(*(middles - np.array(near)).T)))].tolist()
        return x, y

    @cached_property
    def _cells(self) -> tuple[NDArray[np.bool_], float, float]:
        """Which cells are wholly free (rows, columns), and where the first one begins."""
        room = shapely.Polygon(np.asarray(self.room, dtype=np.float64))
        left, top, right, bottom = room.bounds
        columns, rows = (max(1, int(long // self.cell)) for long in (right - left, bottom - top))
        x, y = np.meshgrid(
            left + (np.arange(columns) + 0.5) * self.cell, top + (np.arange(rows) + 0.5) * self.cell, indexing="xy"
        )
        corner = self.cell / math.sqrt(2.0)
        allowed = room.buffer(-self.clear - corner)
        taken = shapely.union_all([self._shape(thing).buffer(self.clear + corner) for thing in self.things])
        shapely.prepare([allowed, taken])
        free = shapely.contains_xy(allowed, x, y) & ~shapely.intersects_xy(taken, x, y)
        return np.asarray(free, dtype=np.bool_), left, top

    @staticmethod
    def _shape(thing: ArrayLike) -> shapely.Polygon:
        return shapely.make_valid(shapely.Polygon(np.asarray(thing, dtype=np.float64)))


def hull(points: ArrayLike) -> NDArray[np.float64]:
    """Return the outline (n, 2) mm of the convex hull of points (m, 2) mm that do not lie on one line."""
    around = shapely.MultiPoint(np.asarray(points, dtype=np.float64).reshape(-1, 2)).convex_hull
    return np.asarray(around.exterior.coords, dtype=np.float64)[:-1]


def meets(first: ArrayLike, second: ArrayLike) -> bool:
    """Tell whether the closed rings (n, 2) and (m, 2) touch or overlap, one inside the other too."""
    rings = [shapely.Polygon(np.asarray(ring, dtype=np.float64)) for ring in (first, second)]
    return bool(rings[0].intersects(rings[1]))
