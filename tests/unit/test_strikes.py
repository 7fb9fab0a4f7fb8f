"""The plan of blows: fewest by exhaustive search on small lines, lawful in order, rigid rows near the line."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.geometry.build import polyline, rounded_rectangle
from server.geometry.curve import through
from server.geometry.path import Arc, Path
from server.leather.stitch import StitchLine, stitch_line
from server.leather.strike import Strike, plan, row_fits, straight_strikes

TOLERANCE = 0.25


def fewest(count: int, rows: Sequence[tuple[int, tuple[int, ...]]]) -> int:
    """Try every order of blows, breadth first: rows are (tines, holes). Only the very first row needs no hole made before."""
    blows = [(tines, sum(1 << hole for hole in holes)) for tines, holes in rows]
    every, seen, layer, blow = (1 << count) - 1, {0}, [0], 0
    while every not in seen:
        blow += 1
        following = []
        for made in layer:
            for tines, mask in blows:
                if (tines == 1 or made == 0 or made & mask) and made | mask not in seen:
                    seen.add(made | mask)
                    following.append(made | mask)
        layer = following
    return blow


def rigid_rows(
    line: StitchLine, irons: Sequence[int], row_pitch: float | None = None
) -> list[tuple[int, tuple[int, ...]]]:
    """Every row that stays within the tolerance, worked out anew from the definition, tine by tine."""
    count, found = len(line.holes), []
    for tines in {1, *irons}:
        starts = range(count if count >= tines else 0) if line.path.closed else range(count - tines + 1)
        for first in starts:
            holes = tuple((first + i) % count for i in range(tines))
            if tines == 1 or off(line, holes, row_pitch) <= TOLERANCE:
                found.append((tines, holes))
    return found


def off(line: StitchLine, holes: tuple[int, ...], row_pitch: float | None = None) -> float:
    points = [np.array((line.holes[i].x, line.holes[i].y)) for i in holes]
    along = (points[-1] - points[0]) / np.linalg.norm(points[-1] - points[0])
    step = row_pitch or float(np.linalg.norm(points[1] - points[0]))
    middle_of_row = (points[0] + points[-1]) / 2.0
    first = middle_of_row - along * step * (len(points) - 1) / 2.0
    worst = max(float(np.linalg.norm(first + i * step * along - p)) for i, p in enumerate(points))
    for i, j in itertools.pairwise(holes):
        a, b = line.positions[i], line.positions[j]
        middle = np.array(line.path.point_at(((a + (b if b > a else b + line.path.length)) / 2) % line.path.length))
        for p in (middle, np.array((line.holes[j].x, line.holes[j].y))):
            across = p - points[0]
            worst = max(worst, abs(float(along[0] * across[1] - along[1] * across[0])))
    return worst


def check_lawful(line: StitchLine, strikes: Sequence[Strike], row_pitch: float | None = None) -> None:
    made: set[int] = set()
    for strike in strikes:
        assert strike.holes[0] == strike.first
        assert len(strike.holes) == strike.tines
        assert set(strike.made) == set(strike.holes) - made
        assert set(strike.kept) == set(strike.holes) & made
        assert strike.made, "a blow that makes nothing"
        assert not made or strike.tines == 1 or strike.kept
        if strike.tines > 1:
            assert off(line, strike.holes, row_pitch) <= TOLERANCE + 1e-9
        made |= set(strike.holes)
    assert made == set(range(len(line.holes)))


bends = st.lists(st.floats(-7, 7), min_size=3, max_size=5)
sets = st.sampled_from([(6, 4, 2), (4, 2), (6, 2), (6,), (5, 3), (3,), (10, 6, 2)])


@settings(deadline=None, max_examples=60)
@given(bends, st.floats(3, 5), sets)
def test_no_plan_has_fewer_blows_on_a_small_line(heights: list[float], pitch: float, irons: tuple[int, ...]) -> None:
    line = stitch_line(through([(11.0 * i, y) for i, y in enumerate(heights)]), pitch, "s")
    strikes = plan(line, irons)
    check_lawful(line, strikes)
    assert len(strikes) == fewest(len(line.holes), rigid_rows(line, irons))


@settings(deadline=None, max_examples=40)
@given(st.floats(12, 22), st.floats(8, 16), st.floats(1.5, 4), sets)
def test_no_plan_has_fewer_blows_on_a_small_ring(
    width: float, height: float, radius: float, irons: tuple[int, ...]
) -> None:
    line = stitch_line(rounded_rectangle(0, 0, width, height, radius), 5.0, "ring")
    strikes = plan(line, irons)
    check_lawful(line, strikes)
    assert len(strikes) == fewest(len(line.holes), rigid_rows(line, irons))


@settings(deadline=None, max_examples=60)
@given(bends, st.floats(3, 5), st.floats(-0.2, 0.2), sets)
def test_no_plan_has_fewer_blows_with_irons_of_their_own_pitch(
    heights: list[float], pitch: float, apart: float, irons: tuple[int, ...]
) -> None:
    """Real irons have the pitch they were made with; the seam's is eased, and a wide row may miss its last hole."""
    line = stitch_line(through([(11.0 * i, y) for i, y in enumerate(heights)]), pitch, "s")
    own = line.pitch + apart
    strikes = plan(line, irons, row_pitch=own)
    check_lawful(line, strikes, own)
    assert len(strikes) == fewest(len(line.holes), rigid_rows(line, irons, own))


def test_an_iron_of_another_pitch_takes_more_blows_than_one_of_the_seam_s_own() -> None:
    line = stitch_line(polyline([(0, 0), (60, 0)]), 4.0, "s")
    blows = {own: len(plan(line, (6,), row_pitch=own)) for own in (4.0, 4.05, 4.3)}
    assert blows == {4.0: 3, 4.05: 3, 4.3: 16}


@pytest.mark.parametrize("tolerance", [0.05, 0.25, 1.0])
def test_a_row_fits_where_its_definition_says(tolerance: float) -> None:
    line = stitch_line(through([(0, 0), (20, 9), (40, -9), (60, 0)]), 4.0, "s")
    for tines in (2, 4, 6):
        said = row_fits(line, tines, tolerance).tolist()
        assert said == [off(line, tuple(range(i, i + tines))) <= tolerance for i in range(len(said))]


def test_a_ring_is_gone_round_and_closed_on_its_first_hole() -> None:
    line = stitch_line(Path((Arc.of((0, 0), 90.0, 0.0, 360.0),), closed=True), 4.0, "ring")
    strikes = plan(line, (4,))
    check_lawful(line, strikes)
    count = len(line.holes)
    assert len(strikes) == straight_strikes(count, 4)
    assert sum(strike.tines for strike in strikes) - count == sum(len(strike.kept) for strike in strikes)


def test_no_row_goes_round_a_sharp_corner() -> None:
    line = stitch_line(polyline([(0, 0), (40, 0), (40, 40)]), 4.0, "s")
    assert all(max(s.holes) <= 10 or min(s.holes) >= 10 for s in plan(line))


def test_irons_with_another_pitch_than_the_seam_are_shorter_rows() -> None:
    line = stitch_line(polyline([(0, 0), (198, 0)]), 4.0, "s")
    assert line.pitch == pytest.approx(198 / 50)
    assert max(s.tines for s in plan(line, (10, 6, 2))) == 10
    # Set by its middle, a row of k misses by (k - 1) x 0.09 / 2 mm at its ends: 0.41 mm for ten tines, 0.23 mm for six.
    assert max(s.tines for s in plan(line, (10, 6, 2), row_pitch=4.05)) == 6
    eased = stitch_line(polyline([(0, 0), (198, 0)]), 4.0, "s", ease="last")
    wide = plan(eased, (10, 6, 2), row_pitch=4.0)
    assert sum(s.tines == 10 for s in wide) == 5


def test_a_blow_says_what_it_does() -> None:
    strikes = plan(stitch_line(polyline([(0, 0), (40, 0)]), 4.0, "s"), (6,))
    assert [s.words for s in strikes] == [
        "6 tines; makes 1 to 6.",
        "6 tines, first tine in hole 6; makes 7 to 11.",
    ]
    assert (strikes[1].holes, strikes[1].made, strikes[1].kept) == ((5, 6, 7, 8, 9, 10), (6, 7, 8, 9, 10), (5,))
