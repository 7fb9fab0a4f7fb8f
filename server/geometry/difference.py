"""How far two outlines lie apart, measured along the outline. GEOS (shapely) works the distances out.

The largest distance is Hausdorff's: of all places of either outline, the one that is farthest from the other outline
(F. Hausdorff, Grundzuege der Mengenlehre, 1914, chapter VIII, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

STEP = 0.1
"""mm: how densely the outlines are looked at. A distance changes by no more than one goes along, so at most half is missed."""

TIE = 1e-6
"""mm: places that are this near to being the farthest are as far; the middle one is named, as where a side moved as a whole."""


@dataclass(frozen=True)
class Apart:
    """The largest distance between two outlines, mm, from a place on one of them to the nearest place of the other."""

    distance: float
    start: tuple[float, float]
    end: tuple[float, float]


def farthest(first: Sequence[ArrayLike], second: Sequence[ArrayLike]) -> Apart:
    """Return where two outlines lie farthest apart, within half of STEP.

    Args:
        first: closed rings (n, 2) mm; the first point is not repeated.
        second: the same of the other outline; both have at least one ring.

    """
    one, other = _lines(first), _lines(second)
    return max(_from(one, other), _from(other, one), key=lambda apart: apart.distance)


def _from(line: shapely.MultiLineString, other: shapely.MultiLineString) -> Apart:
    """Return the place of a line that is farthest from the other, and the nearest place there."""
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(line, STEP)))
    distances: NDArray[np.float64] = np.asarray(shapely.distance(points, other), dtype=np.float64)
    ties = np.flatnonzero(distances > distances.max() - TIE)
    at = int(ties[len(ties) // 2])
    (x, y), (u, v) = shapely.get_coordinates(shapely.shortest_line(points[at], other)).tolist()
    return Apart(float(distances[at]), (x, y), (u, v))


def _lines(rings: Sequence[ArrayLike]) -> shapely.MultiLineString:
    return shapely.multilinestrings([shapely.LinearRing(np.asarray(ring, dtype=np.float64)) for ring in rings])
