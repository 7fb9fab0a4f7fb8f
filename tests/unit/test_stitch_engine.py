"""The stitch engine: any line, fixed points, corners, eased ends, rings beside seams, plies that meet."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle
from server.geometry.curve import bezier, through
from server.geometry.cut import part, project, started_at
from server.geometry.path import Arc, Path
from server.geometry.placement import Placement
from server.geometry.spacing import SHARP_DEGREES
from server.leather.ring import ring_line
from server.leather.seam import meet
from server.leather.stitch import StitchLine, count_words, crowded, nearest_holes, stitch_line, symmetric_line

U_HALF = chain((0.0, 100.0), (Arc.of((30, 80), 20.0, 90.0, -90.0),), (50.0, 0.0))
RING = rounded_rectangle(53, 5, 69, 45, 5)

wiggles = st.lists(st.floats(-12, 12), min_size=4, max_size=7)
"""Heights of a curve that is walked from left to right, 25 mm apart: it bends, and never comes back to itself."""


def free(heights: list[float]) -> Path:
    return through([(25.0 * i, y) for i, y in enumerate(heights)])


# ---- random curves


@settings(deadline=None, max_examples=40)
@given(wiggles, st.floats(2, 6))
def test_random_curves_get_equal_chords_both_ends_and_no_crowded_holes(heights: list[float], pitch: float) -> None:
    path = free(heights)
    assert path.corners(SHARP_DEGREES) == ()
    line = stitch_line(path, pitch, "s")
    assert np.ptp(line.steps) < 1e-6
    assert line.points[0] == pytest.approx(path.start, abs=1e-9)
    assert line.points[-1] == pytest.approx(path.end, abs=1e-9)
    assert crowded(line, pitch) is None
    assert line.stitches == round(path.length / pitch)
    for hole in line.holes[:: max(1, len(line.holes) // 7)]:
        assert project(path, (hole.x, hole.y))[1] < 1e-9


@settings(deadline=None, max_examples=25)
@given(wiggles, st.floats(2, 6))
def test_a_curve_that_is_its_own_mirror_has_mirrored_holes(heights: list[float], pitch: float) -> None:
    path = free([*heights, *reversed(heights)])
    line = stitch_line(path, pitch, "s")
    width = path.end[0]
    assert line.points == pytest.approx((line.points[::-1]) * (-1, 1) + (width, 0), abs=1e-6)
    back = stitch_line(path.reversed(), pitch, "s")
    assert back.points[::-1] == pytest.approx(line.points, abs=1e-6)


@settings(deadline=None, max_examples=25)
@given(st.lists(st.floats(25, 40), min_size=6, max_size=9), st.floats(2, 5))
def test_a_random_ring_closes_with_equal_chords(radii: list[float], pitch: float) -> None:
    count = len(radii)
    turns = [2 * math.pi * i / count for i in range(count)]
    path = through([(r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, turns, strict=True)], closed=True)
    assume(path.corners(SHARP_DEGREES) == ())
    line = stitch_line(path, pitch, "ring")
    assert np.ptp(line.steps) < 1e-6
    assert crowded(line, pitch) is None


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.floats(8, 45), st.floats(0.4, 30)), min_size=2, max_size=6), st.floats(2, 6))
def test_corners_however_near_to_each_other_never_crowd_holes(legs: list[tuple[float, float]], pitch: float) -> None:
    points, side = [(0.0, 0.0), (15.0, 0.0)], 1.0
    for turn, length in legs:
        x, y = points[-1]
        points.append((x + length * math.cos(math.radians(turn)), y + side * length * math.sin(math.radians(turn))))
        side = -side
    points.append((points[-1][0] + 15.0, points[-1][1]))
    line = stitch_line(polyline(points), pitch, "s")
    assert line.steps.min() >= 0.6 * pitch - 1e-9
    assert crowded(line, pitch) is None
    assert line.points[-1] == pytest.approx(points[-1], abs=1e-9)


# ---- corners and fixed points


def test_a_sharp_corner_has_a_hole_and_a_fine_curve_has_none() -> None:
    bent = stitch_line(polyline([(0, 0), (41, 0), (41, 23)]), 4.0, "s")
    assert (41.0, 0.0) in [(h.x, h.y) for h in bent.holes]
    assert len(bent.chords) == 2
    curve = bezier((0, 0), (30, 0), (40, 10), (40, 40))
    assert len(curve.segments) > 10
    assert len(stitch_line(curve, 4.0, "s").chords) == 1


def test_two_corners_nearer_than_sixty_per_cent_share_one_hole_between_them() -> None:
    nicked = stitch_line(polyline([(0, 0), (40, 0), (41, 1), (41, 40)]), 4.0, "s")
    assert min(np.hypot(*(nicked.points - (40.5, 0.5)).T)) == pytest.approx(0.0, abs=1e-9)
    assert crowded(nicked, 4.0) is None


def test_further_fixed_points_get_holes() -> None:
    line = stitch_line(polyline([(0, 0), (100, 0)]), 4.0, "s", fixed=(33.0,))
    assert 33.0 in line.positions
    assert line.chords == pytest.approx((33 / 8, 67 / 17))
    with pytest.raises(Refusal):
        stitch_line(polyline([(0, 0), (100, 0)]), 4.0, "s", fixed=(120.0,))


def test_a_square_ring_keeps_a_hole_in_every_corner() -> None:
    square = stitch_line(polyline([(0, 0), (9, 0), (9, 9), (0, 9)], closed=True), 4.0, "s")
    assert len(square.holes) == 8
    moved = polyline([(1, 0), (9, 0), (9, 9), (0, 9), (0, 0)], closed=True)
    started_beside = stitch_line(moved, 4.0, "s")
    assert {(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)} <= {(h.x, h.y) for h in started_beside.holes}
    assert len(started_beside.holes) == 8


def test_only_the_last_few_are_eased_when_asked() -> None:
    line = stitch_line(U_HALF, 4.0, "s", ease="last")
    kept = np.isclose(line.steps, 4.0, atol=1e-9)
    few = int(np.count_nonzero(~kept))
    assert 3 <= few <= 6
    assert kept[:-few].all()
    assert np.ptp(line.steps[-few:]) < 1e-9
    assert abs(line.steps[-1] / 4.0 - 1) <= 0.1
    assert line.points[-1] == pytest.approx(U_HALF.end, abs=1e-9)
    whole = stitch_line(U_HALF, 4.0, "s")
    assert len(whole.holes) == len(line.holes)


@settings(deadline=None, max_examples=40)
@given(st.floats(9, 200), st.floats(2, 6))
def test_the_last_few_take_up_whatever_is_left(length: float, pitch: float) -> None:
    line = stitch_line(polyline([(0, 0), (length, 0)]), pitch, "s", ease="last")
    assert line.stitches == max(1, round(length / pitch))
    assert line.points[-1, 0] == pytest.approx(length, abs=1e-9)
    eased = line.steps[np.abs(line.steps - pitch) > 1e-9]
    assert line.steps.min() > 0.6 * pitch
    if line.stitches > 5:
        assert np.all(np.abs(eased / pitch - 1) <= 0.1 + 1e-9)


# ---- symmetry


@pytest.mark.parametrize("centre", ["hole", "stitch", "nearest"])
def test_a_symmetrical_line_is_the_same_on_both_sides(centre: str) -> None:
    line = symmetric_line(U_HALF, 4.0, "u", centre=centre)  # type: ignore[arg-type]
    for left, right in zip(line.holes, reversed(line.holes), strict=True):
        assert (left.x, left.y) == (-right.x, right.y)
    assert np.ptp(line.steps) < 1e-9
    assert line.points[-1] == pytest.approx(U_HALF.end, abs=1e-9)
    if centre == "stitch":
        assert len(line.holes) % 2 == 0
        middle = line.holes[len(line.holes) // 2]
        assert middle.x == pytest.approx(line.pitch / 2, abs=1e-9)
    for s, hole in zip(line.positions, line.holes, strict=True):
        assert line.path.point_at(s) == pytest.approx((hole.x, hole.y), abs=1e-8)


def test_the_nearest_start_is_eased_least() -> None:
    half = polyline([(0, 0), (18.0, 0)])
    on, astride = symmetric_line(half, 4.0, "s"), symmetric_line(half, 4.0, "s", centre="stitch")
    near = symmetric_line(half, 4.0, "s", centre="nearest")
    assert (on.stitches, astride.stitches) == (8, 9)
    assert near.stitches == 9
    assert near.pitch == pytest.approx(4.0)


def test_corners_beyond_a_stitch_astride_the_centre() -> None:
    line = symmetric_line(polyline([(0, 0), (30, 0), (30, -41)]), 4.0, "s", centre="stitch")
    points = {(round(x, 9), round(y, 9)) for x, y in line.points.tolist()}
    assert {(30.0, 0.0), (-30.0, 0.0), (30.0, -41.0), (-30.0, -41.0)} <= points
    assert (0.0, 0.0) not in points


# ---- the ply behind


def test_the_back_ply_has_mirrored_holes_and_slant() -> None:
    line = symmetric_line(U_HALF, 4.0, "front")
    back = line.behind("back")
    for front_hole, back_hole in zip(line.holes, back.holes, strict=True):
        assert (back_hole.x, back_hole.y) == (-front_hole.x, front_hole.y)
        assert (back_hole.slant, front_hole.slant) == (-1, 1)
        # seen through the leather the two slits are one: turn the back over and its slit lies on the front's
        slit = math.radians(front_hole.angle - 45 * front_hole.slant)
        turned = math.radians(180 - (back_hole.angle - 45 * back_hole.slant))
        assert math.sin(slit - turned) == pytest.approx(0, abs=1e-9)
    again = back.behind("front")
    assert again.points == pytest.approx(line.points)
    assert {hole.slant for hole in again.holes} == {1}


def test_a_mirrored_ring_on_the_same_face_keeps_the_slant() -> None:
    assert {hole.slant for hole in stitch_line(RING, 4.0, "right").mirrored("left").holes} == {1}


@settings(deadline=None, max_examples=20)
@given(st.floats(-200, 200), st.floats(-200, 200), st.floats(-180, 180), st.booleans())
def test_holes_carried_to_another_ply_keep_their_places(x: float, y: float, turn: float, mirror: bool) -> None:
    line = stitch_line(U_HALF, 4.0, "front")
    placement = Placement(x, y, turn, mirror)
    other = line.carried(placement, "welt")
    assert other.points == pytest.approx(placement.apply(line.points), abs=1e-9)
    assert other.steps == pytest.approx(line.steps, abs=1e-9)
    for s, hole in zip(other.positions, other.holes, strict=True):
        assert other.path.point_at(s) == pytest.approx((hole.x, hole.y), abs=1e-7)


# ---- rings


@settings(deadline=None, max_examples=30)
@given(st.floats(0, 4), st.floats(2.6, 4.0))
def test_a_ring_beside_a_seam_is_turned_until_nothing_crowds(shift: float, gap: float) -> None:
    seam = np.array([(50.0, 4.0 * i + shift) for i in range(15)])
    path = rounded_rectangle(50 + gap, 5, 70, 45, 5)
    ring = ring_line(path, 4.0, "ring", seam)
    assert ring.nearest >= 0.6 * 4.0
    assert ring.sentence is None
    assert nearest_holes(ring.line, seam) == pytest.approx(ring.nearest)
    assert np.ptp(ring.line.steps) < 1e-6


def test_turning_does_better_than_the_ring_s_own_start() -> None:
    gap = 1.5
    path = rounded_rectangle(50 + gap, 5, 70, 45, 5)
    own = stitch_line(path, 4.0, "ring")
    middle = own.points[0, 1]
    seam = np.array([(50.0, middle + 4.0 * i) for i in range(-5, 6)])
    assert nearest_holes(own, seam) == pytest.approx(gap, abs=0.01)
    turned = ring_line(path, 4.0, "ring", seam)
    assert turned.nearest > 2.3
    best = max(nearest_holes(stitch_line(started_at(path, s), 4.0, "r"), seam) for s in np.linspace(0, 4, 400))
    assert turned.nearest > best - 0.02


def test_a_ring_that_cannot_keep_clear_says_so() -> None:
    seam = np.array([(50.0, 2.0 * i) for i in range(30)])
    ring = ring_line(rounded_rectangle(50.6, 5, 70, 45, 5), 4.0, "ring-right", seam)
    assert ring.nearest < 2.4
    assert ring.sentence is not None
    assert f"{ring.nearest:.1f} mm" in ring.sentence


def test_a_ring_through_a_seam_shares_its_holes() -> None:
    seam = stitch_line(polyline([(50, 0), (50, 60)]), 4.0, "seam")
    ring = ring_line(polyline([(50, 8), (70, 8), (70, 40), (50, 40)], closed=True), 4.0, "ring", seam.points)
    assert len(ring.shared) == 9
    for i, j in ring.shared:
        assert (ring.line.holes[i].x, ring.line.holes[i].y) == (seam.holes[j].x, seam.holes[j].y)
    assert ring.sentence is None
    assert ring.nearest >= 2.4


def test_a_ring_needs_a_closed_line_and_room() -> None:
    with pytest.raises(Refusal):
        ring_line(U_HALF, 4.0, "ring")
    with pytest.raises(Refusal, match="too long"):
        ring_line(rounded_rectangle(0, 0, 3, 3, 1), 6.0, "ring")


# ---- plies that meet


def test_panel_and_gusset_meet_span_by_span() -> None:
    panel = polyline([(0, 0), (0, 80), (120, 80), (120, 0)])
    gusset = polyline([(0, 0), (290, 0)])
    meeting = meet({"panel": panel, "gusset": gusset}, 4.0, {"panel": (80, 200), "gusset": (83, 207)})
    one, two = meeting.lines["panel"], meeting.lines["gusset"]
    assert meeting.stitches == (20, 30, 20)
    assert len(one.holes) == len(two.holes) == 71
    assert one.positions[20] == pytest.approx(80)
    assert two.positions[20] == pytest.approx(83)
    assert meeting.longer["gusset"] == pytest.approx(10)
    assert meeting.sentences == ()


def test_the_master_s_corners_are_matched_in_proportion_without_marks() -> None:
    panel, strip = polyline([(0, 0), (0, 80), (120, 80), (120, 0)]), polyline([(0, 0), (284, 0)])
    two = meet({"panel": panel, "strip": strip}, 4.0).lines["strip"]
    assert two.positions[20] == pytest.approx(284 * 80 / 280)


def test_lines_that_are_off_are_said_as_a_whole_or_by_stretch() -> None:
    a, b = polyline([(0, 0), (200, 0)]), polyline([(0, 0), (212, 0)])
    assert "12.0 mm (6 %)" in meet({"a": a, "b": b}, 4.0).sentences[0]
    moved = meet({"a": a, "b": a}, 4.0, {"a": (100,), "b": (110,)})
    assert "stretch 1 is 10.0 mm (10 %)" in moved.sentences[0] or "stretch 2 is 10.0 mm" in moved.sentences[0]
    assert meet({"a": a, "b": a}, 4.0).sentences == ()


def test_meeting_refusals() -> None:
    a = polyline([(0, 0), (200, 0)])
    with pytest.raises(Refusal):
        meet({"a": a}, 4.0)
    with pytest.raises(Refusal, match="as many"):
        meet({"a": a, "b": a}, 4.0, {"a": (50,), "b": (50, 60)})
    with pytest.raises(Refusal, match="beyond"):
        meet({"a": a, "b": a}, 4.0, {"a": (50,), "b": (250,)})
    with pytest.raises(Refusal):
        meet({"a": a, "b": RING}, 4.0)


# ---- what is said, and the tools of the engine


def test_the_count_says_the_difference() -> None:
    line = stitch_line(polyline([(0, 0), (203, 0)]), 4.0, "s")
    assert (
        count_words("Side", line, 4.0)
        == "Side: 52 holes, 51 stitches at 3.980 mm, 0.020 mm (0.5 %) under the 4 mm wished for."
    )
    exact = stitch_line(polyline([(0, 0), (200, 0)]), 4.0, "s")
    assert count_words("Side", exact, 4.0).endswith("at 4.000 mm, exactly as wished.")


@settings(deadline=None, max_examples=30)
@given(st.floats(0, 0.98), st.floats(0.01, 0.99))
def test_parts_of_a_path_lie_on_it(first: float, share: float) -> None:
    begin, length = first * RING.length, RING.length
    end = begin + share * (length - begin)
    assume(end - begin > 1e-3)
    piece = part(RING, begin, end)
    assert piece.length == pytest.approx(end - begin, abs=1e-8)
    for t in np.linspace(0, 1, 9):
        assert piece.point_at(t * piece.length) == pytest.approx(RING.point_at(begin + t * (end - begin)), abs=1e-8)
    turned = started_at(RING, begin)
    assert turned.length == pytest.approx(length)
    assert turned.point_at(1.0) == pytest.approx(RING.point_at((begin + 1.0) % length), abs=1e-8)


@settings(deadline=None, max_examples=30)
@given(st.floats(40, 80), st.floats(-5, 55))
def test_the_nearest_place_on_a_path_is_the_nearest_of_many(x: float, y: float) -> None:
    s, apart = project(RING, (x, y))
    assert math.dist(RING.point_at(s), (x, y)) == pytest.approx(apart, abs=1e-9)
    many = min(math.dist(RING.point_at(t), (x, y)) for t in np.linspace(0, RING.length, 1500))
    assert apart <= many + 1e-9
    assert apart >= many - 0.05


def test_curve_refusals() -> None:
    for bad in ([(0.0, 0.0)], [(0.0, 0.0), (0.0, 0.0)], [(0.0, 0.0), (math.nan, 1.0)]):
        with pytest.raises(Refusal):
            through(bad)
    with pytest.raises(Refusal):
        through([(0, 0), (1, 1)], closed=True)
    with pytest.raises(Refusal):
        bezier((1, 1), (1, 1), (1, 1), (1, 1))
    with pytest.raises(Refusal):
        part(U_HALF, 5.0, 5.0)
    with pytest.raises(Refusal):
        started_at(U_HALF, 5.0)


def test_a_curve_goes_through_its_points() -> None:
    points = [(0.0, 0.0), (10.0, 8.0), (25.0, -3.0), (40.0, 5.0)]
    for closed in (False, True):
        flat = through(points, closed=closed).flatten().tolist()
        assert all(min(math.dist(p, q) for q in flat) < 1e-9 for p in points)


def test_a_bend_too_tight_for_equal_chords_gets_a_hole_like_a_corner() -> None:
    tight = bezier((0, 0), (100, 0), (-40, 18), (60, 18))
    line = stitch_line(tight, 7.0, "s")
    assert len(line.chords) > 1
    assert line.points[-1] == pytest.approx((60, 18), abs=1e-9)
    ends = np.cumsum([0, *(round(c) for c in _counts(line))])
    for begin, end, chord in zip(ends[:-1], ends[1:], line.chords, strict=True):
        assert line.steps[begin:end] == pytest.approx(np.full(end - begin, chord), abs=1e-6)


def _counts(line: StitchLine) -> list[int]:
    """Stitches of each run of equal chords."""
    runs: list[int] = []
    before = math.nan
    for step in line.steps.tolist():
        if abs(step - before) < 1e-7:
            runs[-1] += 1
        else:
            runs.append(1)
        before = step
    return runs
