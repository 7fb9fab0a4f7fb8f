"""Equal chords between fixed points, on any path."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle
from server.geometry.path import Arc, Path
from server.geometry.spacing import SHARP_DEGREES, Spacing, equal_chords, step_off


def chords(spacing: Spacing, closed: bool = False) -> NDArray[np.float64]:
    points = np.concatenate((spacing.points, spacing.points[:1])) if closed else spacing.points
    return np.asarray(np.hypot(*np.diff(points, axis=0).T), dtype=np.float64)


def s_curve(first: float, second: float, turn: float, lead: float) -> Path:
    """A line, an arc one way, an arc the other way, all tangent."""
    one = Arc.of((lead, first), first, -90.0, turn)
    dx, dy = one.direction(one.length)
    centre = (one.end[0] + second * dy, one.end[1] - second * dx)
    return chain(
        (0.0, 0.0), (one, Arc.of(centre, second, 90.0 + turn, -turn)), Arc.of(centre, second, 90.0 + turn, -turn).end
    )


@settings(deadline=None)
@given(st.floats(8, 90), st.floats(8, 90), st.floats(10, 120), st.floats(0.5, 70), st.floats(1.5, 6))
def test_chords_are_equal_to_a_billionth_of_a_millimetre(
    first: float, second: float, turn: float, lead: float, pitch: float
) -> None:
    path = s_curve(first, second, turn, lead)
    assume(path.corners() == ())
    spacing = step_off(path, pitch)
    assert np.ptp(chords(spacing)) < 1e-9
    assert spacing.chords[0] == pytest.approx(float(chords(spacing).mean()), abs=1e-10)
    assert spacing.points[0] == pytest.approx(path.start, abs=1e-12)
    assert spacing.points[-1] == pytest.approx(path.end, abs=1e-12)
    assert len(spacing.points) == max(1, round(path.length / pitch)) + 1
    assert np.all(np.diff(spacing.positions) > 0)


@settings(deadline=None)
@given(st.floats(20, 90), st.floats(20, 90), st.floats(3, 9), st.floats(1.5, 6))
def test_a_ring_closes_with_the_same_chord(width: float, height: float, radius: float, pitch: float) -> None:
    path = rounded_rectangle(0, 0, width, height, radius)
    spacing = step_off(path, pitch)
    assert np.ptp(chords(spacing, closed=True)) < 1e-9
    assert len(spacing.points) == round(path.length / pitch)
    mirrored = spacing.points[1:][::-1] * (1, -1) + (0, height)
    assert spacing.points[1:] == pytest.approx(mirrored, abs=1e-8)


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.floats(-100, 100), st.floats(-100, 100)), min_size=2, max_size=6, unique=True),
    st.floats(1, 5),
)
def test_sharp_corners_get_a_hole_and_whole_numbers_between(points: list[tuple[float, float]], pitch: float) -> None:
    assume(all(math.dist(a, b) > 2 * pitch for a, b in itertools.pairwise(points)))
    path = polyline(points)
    spacing = step_off(path, pitch)
    for index, s in zip(spacing.fixed, path.corners(SHARP_DEGREES), strict=True):
        assert spacing.positions[index] == pytest.approx(s, abs=1e-9)
    bounds = [0, *spacing.fixed, len(spacing.points) - 1]
    for begin, end, chord in zip(bounds, bounds[1:], spacing.chords, strict=False):
        assert chords(spacing)[begin:end] == pytest.approx(chord, abs=1e-9)


def test_chords_are_eased_not_arc_lengths() -> None:
    circle = Path((Arc.of((0, 0), 20.0, 0.0, 360.0),), closed=True)
    count = 25
    chord, positions = equal_chords(circle, 0.0, circle.length, count)
    assert chord == pytest.approx(2 * 20 * math.sin(math.pi / count), abs=1e-12)
    assert np.diff(positions) == pytest.approx(circle.length / count, abs=1e-9)
    assert chord < circle.length / count - 0.01


def test_the_same_chord_across_a_line_and_a_tight_arc() -> None:
    path = chain((0.0, 0.0), (Arc.of((10, 3), 3.0, -90.0, 180.0),), (0.0, 6.0))
    spacing = step_off(path, 2.0)
    assert np.ptp(chords(spacing)) < 1e-9
    assert np.ptp(np.diff(spacing.positions)) > 0.03


def test_directions_follow_the_line() -> None:
    spacing = step_off(polyline([(0, 0), (20, 0), (20, 20)]), 5.0)
    assert spacing.angles.tolist() == pytest.approx([0, 0, 0, 0, 45, 90, 90, 90, 90])


@pytest.mark.parametrize("pitch", [0.0, -1.0, math.nan, math.inf, 0.001])
def test_a_pitch_that_is_no_pitch_is_refused(pitch: float) -> None:
    with pytest.raises(Refusal) as caught:
        step_off(polyline([(0, 0), (20, 0)]), pitch)
    assert caught.value.field == "pitch"


def test_a_pitch_too_long_for_a_ring_or_a_hairpin_is_refused() -> None:
    with pytest.raises(Refusal, match="ring"):
        step_off(rounded_rectangle(0, 0, 6, 6, 2), 15.0)
    hairpin = chain((0.0, 0.0), (Arc.of((10, 0.5), 0.5, -90.0, 180.0),), (0.0, 1.0))
    with pytest.raises(Refusal, match="too tight"):
        equal_chords(hairpin, 0.0, hairpin.length, 3)
    bent = step_off(hairpin, 7.0)
    assert bent.points[bent.fixed[0]] == pytest.approx((10.5, 0.5), abs=0.3)
    with pytest.raises(Refusal, match="more than"):
        step_off(polyline([(0, 0), (5000, 0)]), 0.1)
