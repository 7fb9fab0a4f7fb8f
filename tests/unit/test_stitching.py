"""Stitch lines, strikes, seams, thread, bends and norms: their cases, symmetries and refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle
from server.geometry.path import Arc, Path
from server.leather import bend, thread
from server.leather.norms import Norm
from server.leather.seam import mate
from server.leather.stitch import stitch_line, symmetric_line
from server.leather.strike import irons_used, plan, sagitta, straight_strikes

U_HALF = chain((0.0, 100.0), (Arc.of((30, 80), 20.0, 90.0, -90.0),), (50.0, 0.0))


def test_both_halves_of_a_stitch_line_are_the_same_to_the_last_bit() -> None:
    line = symmetric_line(U_HALF, 4.0, "u")
    assert len(line.holes) % 2 == 1
    for left, right in zip(line.holes, reversed(line.holes), strict=True):
        assert (left.x, left.y) == (-right.x, right.y)
        assert left.angle == -right.angle
    middle = line.holes[len(line.holes) // 2]
    assert (middle.x, middle.y, middle.angle) == (0.0, 100.0, 0.0)
    assert line.holes[0].angle == pytest.approx(90)
    assert line.stitches == len(line.holes) - 1


def test_positions_are_places_on_the_path() -> None:
    line = symmetric_line(U_HALF, 4.0, "u")
    for s, hole in zip(line.positions, line.holes, strict=True):
        assert line.path.point_at(s) == pytest.approx((hole.x, hole.y), abs=1e-9)


def test_a_ring_has_as_many_stitches_as_holes_and_mirrors() -> None:
    ring = stitch_line(rounded_rectangle(50, 5, 66, 45, 5), 4.0, "right")
    assert ring.stitches == len(ring.holes)
    left = ring.mirrored("left")
    for a, b in zip(left.holes, ring.holes, strict=True):
        assert (a.x, a.y, a.seam) == (-b.x, b.y, "left")
        assert math.cos(math.radians(a.angle)) == pytest.approx(-math.cos(math.radians(b.angle)))
        assert math.sin(math.radians(a.angle)) == pytest.approx(math.sin(math.radians(b.angle)))


@settings(deadline=None)
@given(st.integers(1, 200), st.integers(2, 10))
def test_a_plan_of_a_straight_row_is_the_formula(stitches: int, tines: int) -> None:
    line = stitch_line(polyline([(0, 0), (4.0 * stitches, 0)]), 4.0, "s")
    holes = stitches + 1
    if holes < tines:
        return
    strikes = plan(line, irons=(tines, 1))
    assert len(strikes) == straight_strikes(holes, tines)
    made = {strike.first + i for strike in strikes for i in range(strike.tines)}
    assert made == set(range(holes))


def test_irons_get_narrower_as_curves_get_tighter() -> None:
    def widest(radius: float) -> int:
        line = stitch_line(Path((Arc.of((0, 0), radius, 0.0, 180.0),)), 4.0, "s")
        return irons_used(plan(line))[0][0]

    assert widest(1000) == 6
    assert widest(90) == 4
    assert widest(20) == 2
    assert widest(7) == 1


@settings(deadline=None)
@given(st.floats(5, 400), st.floats(3, 6))
def test_every_tine_stays_within_a_quarter_of_a_millimetre(radius: float, pitch: float) -> None:
    line = stitch_line(Path((Arc.of((0, 0), radius, 0.0, 200.0),)), pitch, "s")
    made: set[int] = set()
    for strike in plan(line):
        if made and strike.tines > 1:
            assert strike.first in made
        made |= {strike.first + i for i in range(strike.tines)}
        first, last = line.holes[strike.first], line.holes[strike.first + strike.tines - 1]
        chord = math.dist((first.x, first.y), (last.x, last.y))
        if strike.tines > 1:
            assert sagitta(radius, chord) <= 0.25 + 1e-9
    assert made == set(range(len(line.holes)))


def test_strike_refusals() -> None:
    with pytest.raises(Refusal):
        straight_strikes(4, 6)
    with pytest.raises(Refusal):
        straight_strikes(4, 0)
    with pytest.raises(Refusal):
        sagitta(5, 11)


def test_a_mating_seam_that_is_off_is_said() -> None:
    assert mate(200, 203, 4).sentence is None
    assert mate(200, 209.9, 4).sentence is None
    sentence = mate(200, 212, 4).sentence
    assert sentence is not None
    assert "12.0 mm (6 %)" in sentence
    for bad in ((0, 1, 1), (1, -1, 1), (1, 1, math.nan)):
        with pytest.raises(Refusal):
            mate(*bad)


def test_thread_refuses_nothing_to_sew() -> None:
    for stitches, pitch in ((0, 4.0), (5, 0.0), (5, math.nan)):
        with pytest.raises(Refusal):
            thread.saddle_stitch(stitches, pitch, 3.0)


@settings(deadline=None)
@given(st.floats(0.1, 3.1), st.floats(0, 50), st.floats(0.5, 6), st.floats(0, 1))
def test_a_measured_strip_gives_back_its_neutral_axis(
    angle: float, radius: float, thickness: float, neutral: float
) -> None:
    length = bend.allowance(angle, radius, thickness, neutral)
    inner, outer = angle * radius, angle * (radius + thickness)
    assert inner - 1e-9 <= length <= outer + 1e-9
    try:
        assert bend.neutral_from_strip(length, angle, radius, thickness) == pytest.approx(neutral, abs=1e-9)
    except Refusal:
        assert min(neutral, 1 - neutral) < 1e-9


def test_a_strip_that_cannot_be_is_refused() -> None:
    with pytest.raises(Refusal, match="between 0 and 1"):
        bend.neutral_from_strip(100, 1.0, 5.0, 3.0)
    with pytest.raises(Refusal):
        bend.neutral_from_strip(10, 0.0, 5.0, 3.0)


def test_a_norm_needs_a_reference_and_its_own_range() -> None:
    with pytest.raises(ValueError, match="reference"):
        Norm(1.0, "mm", 0.0, 2.0, "")
    with pytest.raises(ValueError, match="outside"):
        Norm(3.0, "mm", 0.0, 2.0, "common practice")
