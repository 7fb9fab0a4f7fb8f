"""Lines, arcs and paths: ends, lengths, mirrors, corners, flattening, path data."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle, unfold
from server.geometry.path import Arc, Line, Path, number, path_data
from server.geometry.placement import Placement, wrap_degrees

QUARTER = Arc.of((0, 0), 10.0, 0.0, 90.0)
angles = st.floats(-360, 360)
sweeps = st.floats(5, 350).flatmap(lambda size: st.sampled_from((size, -size)))
arcs = st.builds(Arc.of, st.tuples(st.floats(-50, 50), st.floats(-50, 50)), st.floats(0.5, 80), angles, sweeps)


def test_an_arc_turns_clockwise_as_seen_with_y_down() -> None:
    assert QUARTER.start == pytest.approx((10, 0))
    assert QUARTER.end == pytest.approx((0, 10))
    assert QUARTER.length == pytest.approx(5 * math.pi)
    assert QUARTER.direction(0.0) == pytest.approx((0, 1))


@settings(deadline=None)
@given(arcs, st.floats(0, 1))
def test_arc_points_lie_on_the_circle_and_its_directions_are_tangents(arc: Arc, share: float) -> None:
    s = share * arc.length
    (x, y), (dx, dy) = arc.at(s), arc.direction(s)
    radial = (x - arc.centre[0], y - arc.centre[1])
    assert math.hypot(*radial) == pytest.approx(arc.radius)
    assert radial[0] * dx + radial[1] * dy == pytest.approx(0, abs=1e-9)
    ahead = arc.at(min(s + 1e-6, arc.length))
    assert (ahead[0] - x) * dx + (ahead[1] - y) * dy >= -1e-12


@settings(deadline=None)
@given(arcs)
def test_mirror_and_reverse_keep_every_bit(arc: Arc) -> None:
    points = np.array(arc.flatten(0.02))
    assert np.array_equal(np.array(arc.mirrored().flatten(0.02)), points * (-1, 1))
    assert np.array_equal(np.array(arc.reversed().flatten(0.02)), points[::-1])


@settings(deadline=None)
@given(arcs, st.floats(0.001, 1))
def test_flattening_stays_within_tolerance(arc: Arc, tolerance: float) -> None:
    points = np.array(arc.flatten(tolerance))
    middles = (points[1:] + points[:-1]) / 2
    sagitta = arc.radius - np.hypot(*(middles - arc.centre).T)
    assert np.all(sagitta <= tolerance + 1e-9)


@settings(deadline=None)
@given(arcs, st.floats(0.1, 60), st.floats(0, 1))
def test_first_at_finds_a_point_at_that_distance_and_none_nearer_along_the_way(
    arc: Arc, chord: float, share: float
) -> None:
    after = share * arc.length
    centre = arc.at(after)
    found = arc.first_at(centre, chord, after)
    far = max(math.dist(arc.at(after + (arc.length - after) * i / 50), centre) for i in range(51))
    if found is None:
        assert far <= chord + 1e-6
    else:
        assert math.dist(arc.at(found), centre) == pytest.approx(chord, abs=1e-9)
        assert all(math.dist(arc.at(after + (found - after) * i / 20), centre) <= chord + 1e-9 for i in range(21))


def test_a_path_refuses_a_gap_and_nothing() -> None:
    with pytest.raises(Refusal, match=r"gap of 1 mm"):
        Path((Line((0, 0), (1, 0)), Line((2, 0), (3, 0))))
    with pytest.raises(Refusal):
        Path((Line((0, 0), (1, 0)),), closed=True)
    with pytest.raises(Refusal):
        Path(())
    with pytest.raises(Refusal):
        Path((Line((0, 0), (math.nan, 0)), Line((math.nan, 0), (3, 0))))


def test_points_directions_and_corners_along_a_path() -> None:
    path = polyline([(0, 0), (10, 0), (10, 10)])
    assert path.length == 20
    assert path.point_at(15) == (10, 5)
    assert path.corners() == (10,)
    assert path.direction_at(5) == 0
    assert path.direction_at(10) == pytest.approx(45)
    assert path.direction_at(15) == 90
    square = polyline([(0, 0), (10, 0), (10, 10), (0, 10)], closed=True)
    assert square.corners() == (0, 10, 20, 30)
    assert square.direction_at(0) == pytest.approx(-45)
    assert rounded_rectangle(0, 0, 30, 20, 4).corners() == ()


def test_a_closed_path_repeats_no_point() -> None:
    points = rounded_rectangle(0, 0, 30, 20, 4).flatten()
    assert len(np.unique(points.round(9), axis=0)) == len(points)


def test_a_rounded_rectangle_refuses_a_radius_that_does_not_fit() -> None:
    for radius in (0.0, 10.1, math.nan):
        with pytest.raises(Refusal):
            rounded_rectangle(0, 0, 30, 20, radius)


@pytest.mark.parametrize(
    ("radius", "sweep"), [(0.0, 90.0), (-1.0, 90.0), (math.nan, 90.0), (5.0, 361.0), (5.0, math.nan)]
)
def test_an_arc_that_is_none_is_refused(radius: float, sweep: float) -> None:
    with pytest.raises(Refusal):
        Arc.of((0, 0), radius, 0.0, sweep)


def test_unfold_joins_the_halves_without_a_seam_on_the_centre_line() -> None:
    half = chain((0, 0), (Arc.of((20, 10), 5.0, -90.0, 90.0),), (25, 40))
    whole = unfold(Path((*half.segments, Line((25, 40), (0, 40)))), closed=True)
    assert [type(segment).__name__ for segment in whole.segments].count("Line") == 4
    points = whole.flatten()
    mirrored = {(x, y) for x, y in (points * (-1, 1)).tolist()}
    assert mirrored == {(x, y) for x, y in points.tolist()}


@settings(deadline=None)
@given(arcs, st.floats(0.01, 20))
def test_growing_moves_every_point_by_the_distance_to_the_left(arc: Arc, distance: float) -> None:
    path = Path((arc,))
    if arc.half < 0 and arc.radius <= distance + 1e-6:
        with pytest.raises(ValueError, match="vanishes"):
            path.grown(distance + 1e-5)
        return
    grown = path.grown(distance)
    (x, y), (gx, gy) = arc.start, grown.start
    dx, dy = arc.direction(0.0)
    assert (gx - x, gy - y) == pytest.approx((dy * distance, -dx * distance), abs=1e-9)


@settings(deadline=None)
@given(st.floats(-500, 500), st.floats(-500, 500), angles, st.booleans(), arcs)
def test_a_transformed_path_is_the_transformed_points(x: float, y: float, turn: float, mirror: bool, arc: Arc) -> None:
    placement = Placement(x, y, turn, mirror)
    moved = Path((arc,)).transformed(placement)
    assert moved.flatten() == pytest.approx(placement.apply(Path((arc,)).flatten()), abs=1e-9)
    before, after = Path((arc,)).direction_at(0.0), moved.direction_at(0.0)
    assert wrap_degrees(placement.angle(before) - after) == pytest.approx(0, abs=1e-6) or abs(
        wrap_degrees(placement.angle(before) - after)
    ) == pytest.approx(360, abs=1e-6)


def test_placement_mirrors_then_turns_clockwise_then_moves() -> None:
    assert Placement(1, 2, 90, mirror=True).apply([(3, 0)]).tolist() == [[1, -1]]
    assert Placement(turn_degrees=90).apply([(3, 0)]).tolist() == [[0, 3]]
    assert Placement(turn_degrees=90).angle(0) == 90
    assert Placement(turn_degrees=-90, mirror=True).angle(0) == 90
    with pytest.raises(Refusal):
        Placement(math.nan)


def test_path_data_is_exact_and_splits_arcs_of_half_a_turn() -> None:
    assert path_data(Path((Line((0, 0), (1.5, 2)),)), 10, 20) == "M10 20 L11.5 22"
    half_turn = path_data(Path((Arc.of((0, 0), 5.0, 180.0, 180.0),)))
    assert half_turn == "M-5 0 A5 5 0 0 1 0 -5 A5 5 0 0 1 5 0"
    assert path_data(rounded_rectangle(0, 0, 30, 20, 4)).endswith(" Z")
    assert number(-1e-9) == "0"
    assert number(2.50) == "2.5"
