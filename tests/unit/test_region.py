"""Areas, overlaps and grown outlines."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry import region
from server.geometry.build import chain, polyline, rounded_rectangle, unfold
from server.geometry.offset import grow_half, grow_points
from server.geometry.path import Arc

SQUARE = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], dtype=float)


def moved(x: float, y: float) -> NDArray[np.float64]:
    return np.asarray(SQUARE + np.array((x, y)), dtype=np.float64)


def test_area_overlap_inside_and_distances() -> None:
    assert region.area(SQUARE) == 100
    assert region.area(SQUARE[::-1]) == 100
    assert region.overlap(SQUARE, moved(4, 0)) == pytest.approx(60)
    assert region.overlap(SQUARE, moved(10, 0)) == 0
    assert region.contains(SQUARE, SQUARE * 0.5)
    assert not region.contains(SQUARE, moved(0.001, 0))
    assert region.inside(SQUARE, [(5, 5), (10, 5), (11, 5)]).tolist() == [True, True, False]
    assert region.distance_between(SQUARE, moved(13, 14)) == 5
    assert region.nearest_points([(0, 0), (9, 9)], [(9, 8), (50, 50)]) == (1.0, 1, 0)


def test_a_grown_square_has_the_area_of_steiners_formula() -> None:
    grown = grow_points(SQUARE, 3.0)
    assert region.area(grown) == pytest.approx(100 + 40 * 3 + math.pi * 9, rel=2e-4)
    with pytest.raises(Refusal):
        grow_points(SQUARE, -6.0)


def test_an_exact_and_a_geos_outline_agree() -> None:
    half = chain((0.0, 0.0), (Arc.of((20, 10), 10.0, -90.0, 90.0), Arc.of((15, 40), 15.0, 0.0, 90.0)), (0.0, 55.0))
    exact, points = grow_half(half, 8.0), grow_points(unfold(half, closed=True).flatten(0.001), 8.0)
    assert region.area(exact.flatten(0.001)) == pytest.approx(region.area(points), rel=2e-4)
    assert region.distance_between(exact.flatten(), unfold(half, closed=True).flatten()) == pytest.approx(8.0, abs=0.05)


def test_where_arcs_vanish_the_grown_outline_is_still_symmetric() -> None:
    half = polyline([(0, 0), (40, 0), (40, 30), (20, 30), (20, 90), (0, 90)])
    points = grow_half(half, 8.0).flatten()
    assert {(x, y) for x, y in (points * (-1, 1)).tolist()} == {(x, y) for x, y in points.tolist()}
    ring = grow_points(unfold(half, closed=True).flatten(), 8.0)
    assert region.area(points) == pytest.approx(region.area(ring), rel=1e-6)


def test_growing_by_nothing_changes_nothing() -> None:
    ring = rounded_rectangle(0, 0, 30, 20, 4)
    assert np.array_equal(ring.grown(0.0).flatten(), ring.flatten())
