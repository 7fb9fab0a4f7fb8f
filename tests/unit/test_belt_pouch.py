"""The belt pouch: its numbers, its mirror, what holds for every draft, its steps and its refusals."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.path import Arc, Path
from server.leather.drafts import get
from server.leather.pattern import Measure, Pattern
from server.leather.piece import Drawn, Hole, Label, Piece

FAMILY = get("belt-pouch")
MEASURES = {measure.name: measure for measure in FAMILY.measures}


def draft(**measures: float | None) -> Pattern:
    return FAMILY.draft({name.replace("_", "-"): value for name, value in measures.items()})


def polygon(path: Path) -> shapely.Polygon:
    return shapely.Polygon(path.flatten(0.002))


def size(path: Path) -> tuple[float, float]:
    width, height = np.ptp(path.flatten(0.001), axis=0)
    return float(width), float(height)


def assert_mirrored(path: Path) -> None:
    points = path.flatten().tolist()
    assert {(-x, y) for x, y in points} == {(x, y) for x, y in points}


# ---- numbers


def test_seam_edge_and_slots_stand_where_they_should() -> None:
    front = draft().piece("front")
    seam, outline, slot = front.line("pocket").path, front.outline, front.line("slot-right").path
    assert size(seam)[0] == pytest.approx(101.6, abs=1e-9)
    assert seam.point_at(seam.length / 2) == pytest.approx((0.0, 139.7), abs=1e-9)
    assert size(outline) == pytest.approx((146.05, 146.05), abs=1e-9)
    assert size(slot) == pytest.approx((9.525, 38.1), abs=1e-9)
    assert slot.flatten()[:, 0].min() - 50.8 == pytest.approx(6.35)
    assert polygon(outline).exterior.distance(polygon(slot)) == pytest.approx(6.35, abs=3e-3)


def test_a_dressier_margin_moves_the_edge_and_not_the_seam() -> None:
    plain, dressy = draft().piece("front"), draft(edge_margin=3.175).piece("front")
    assert dressy.line("pocket").path == plain.line("pocket").path
    assert dressy.holes == plain.holes
    assert size(dressy.outline) == pytest.approx((146.05, 142.875), abs=1e-9)
    below_wings = dressy.outline.flatten()
    body = below_wings[(below_wings[:, 1] > 100) & (below_wings[:, 1] < 119)]
    sides = np.abs(dressy.outline.flatten(0.001)[:, 0])
    assert 2 * sides[np.isclose(sides, 53.975)].max() == pytest.approx(107.95)
    assert len(body) == 0 or np.abs(body[:, 0]).max() == pytest.approx(53.975)


def test_empty_allowances_are_an_easy_fit_and_given_ones_are_kept() -> None:
    assert draft().measures["side-allowance"] == 12.7
    assert draft(side_allowance=None, bottom_allowance=None).measures == draft().measures
    closer = draft(side_allowance=8.75, bottom_allowance=10.0)
    assert size(closer.piece("front").line("pocket").path)[0] == pytest.approx(76.2 + 17.5)
    first = closer.sentences[0].words
    assert "as given" in first
    assert "close fit 8.8" in first
    assert "easy fit" in draft().sentences[0].words


def test_a_thing_too_thin_for_an_easy_fit_gets_a_close_one_and_is_told() -> None:
    thin = draft(thickness=3.0)
    assert thin.measures["side-allowance"] == pytest.approx(1.5 + 2.4)
    assert "too thin" in thin.sentences[0].words
    assert draft(thickness=3.8).measures["side-allowance"] == 3.8


def test_a_sharp_corner_has_a_hole() -> None:
    front = draft(corner_radius=0).piece("front")
    corners = [hole for hole in front.holes_of("pocket") if abs(hole.x) == 50.8 and abs(hole.y - 139.7) < 1e-9]
    assert sorted(round(hole.angle) for hole in corners) == [-45, 45]


# ---- what holds for every draft

numbers = {name: st.floats(measure.low, measure.high) for name, measure in MEASURES.items()}
usual = {
    "width": st.floats(40, 200),
    "height": st.floats(100, 300),
    "thickness": st.floats(2, 40),
    "stands-out": st.floats(0, 40),
    "belt": st.floats(20, 60),
    "corner-radius": st.floats(0, 40),
    "edge-margin": st.floats(2, 12),
    "leather": st.floats(1, 4),
    "pitch": st.floats(2, 6),
    "slot-gap": st.floats(4, 12),
    "slot-width": st.floats(3, 15),
    "back-margin": st.floats(3, 25),
}


@settings(deadline=None, max_examples=60)
@given(st.fixed_dictionaries(usual))
def test_every_draft_can_be_cut(values: dict[str, float]) -> None:
    try:
        pattern = FAMILY.draft(values)
    except Refusal as refusal:
        _assert_refused(refusal)
        return
    front, back = pattern.pieces
    _assert_edges(front, back, pattern.measures)
    _assert_halves(front, back)
    _assert_holes(front, pattern)


@settings(deadline=None, max_examples=60)
@given(st.fixed_dictionaries({}, optional=numbers))
def test_any_measures_give_a_draft_or_one_sentence(values: dict[str, float]) -> None:
    try:
        pattern = FAMILY.draft(values)
    except Refusal as refusal:
        _assert_refused(refusal)
        return
    _assert_halves(*pattern.pieces)
    assert all(polygon(drawn.path).is_valid for piece in pattern.pieces for drawn in piece.drawn if drawn.path.closed)


def _assert_refused(refusal: Refusal) -> None:
    assert refusal.field in MEASURES
    assert refusal.sentence.endswith(".")
    assert any(letter.isdigit() for letter in refusal.sentence)


def _assert_edges(front: Piece, back: Piece, m: Mapping[str, float]) -> None:
    edge = polygon(front.outline)
    assert edge.is_valid
    assert front.outline.corners() == ()
    for name in ("slot-left", "slot-right"):
        slot = polygon(front.line(name).path)
        assert edge.contains(slot)
        assert edge.exterior.distance(slot) >= m["slot-gap"] - 5e-3
    seam = shapely.LineString(front.line("pocket").path.flatten(0.001))
    inside = shapely.box(-1e4, m["slot-gap"] + m["edge-margin"], 1e4, 1e4)
    assert edge.exterior.distance(seam.intersection(inside)) >= m["edge-margin"] - 5e-3
    outer = polygon(back.outline)
    assert outer.is_valid
    assert outer.exterior.distance(edge) == pytest.approx(m["back-margin"], abs=0.03)
    assert np.array_equal(back.line("trim").path.flatten(), front.outline.flatten())


def _assert_halves(front: Piece, back: Piece) -> None:
    for path in (
        front.outline,
        back.outline,
        front.line("pocket").path,
        back.line("trim").path,
        back.line("glue-edge").path,
    ):
        assert_mirrored(path)
    for kind in ("slot", "ring"):
        left, right = (front.line(f"{kind}-{side}").path.flatten() for side in ("left", "right"))
        assert np.array_equal(left * (-1, 1), right)
    pocket = front.hole_points("pocket")
    assert np.array_equal(pocket[::-1] * (-1, 1), pocket)
    assert np.array_equal(front.hole_points("ring-left") * (-1, 1), front.hole_points("ring-right"))


def _assert_holes(front: Piece, pattern: Pattern) -> None:
    for seam in pattern.seams:
        points = front.hole_points(seam.name)
        line = (
            shapely.LineString(front.line(seam.name).path.flatten(0.002))
            if not seam.closed
            else polygon(front.line(seam.name).path).exterior
        )
        assert shapely.distance(line, shapely.points(points)).max() < 2.1e-3
        assert len(points) == seam.holes
        assert seam.stitches == seam.holes - (0 if seam.closed else 1)
        _assert_equal_chords(points, seam.closed, front.line(seam.name).path)
    m = pattern.measures
    apart = np.hypot(*np.moveaxis(front.hole_points("pocket")[:, None] - front.hole_points("ring-right"), 2, 0)).min()
    assert apart >= 0.6 * m["pitch"] - 1e-9


def _assert_equal_chords(points: NDArray[np.float64], closed: bool, path: Path) -> None:
    ring = np.concatenate((points, points[:1])) if closed else points
    chords = np.hypot(*np.diff(ring, axis=0).T)
    if path.corners():
        return  # eased leg by leg: see test_a_sharp_corner_has_a_hole and test_spacing
    assert np.ptp(chords) < 1e-9


def test_all_arcs_are_tangent_and_none_is_a_sharp_inside_corner() -> None:
    front = draft().piece("front")
    assert front.outline.corners() == ()
    hollow = [s.radius for s in front.outline.segments if isinstance(s, Arc) and s.half < 0]
    assert len(hollow) == 2
    assert min(hollow) > 10
    for name in ("slot-left", "slot-right"):
        assert front.line(name).path.corners() == ()


def test_a_belt_of_ordinary_thickness_passes_the_slot_at_its_full_width() -> None:
    slot = polygon(draft().piece("front").line("slot-right").path)
    x, y = slot.centroid.x, slot.centroid.y
    assert slot.buffer(1e-6).contains(shapely.box(x - 2.3, y - 38.1 / 2, x + 2.3, y + 38.1 / 2))


# ---- steps, sentences, dimensions, measures


def test_the_steps_come_in_order_at_the_height_of_their_plies() -> None:
    pattern = draft()
    assert [(step.name, step.piece, step.plies_under) for step in pattern.steps] == [
        ("cut-front", "front", 1),
        ("cut-back", "back", 1),
        ("glue", "back", 1),
        ("trim", "front", 2),
        ("slots", "front", 2),
        ("scribe", "front", 2),
        ("prick", "front", 2),
        ("sew", "front", 2),
    ]
    for step in pattern.steps:
        piece = pattern.piece(step.piece)
        items: list[Drawn | Hole | Label] = [*piece.drawn, *piece.holes, *piece.labels]
        shown = [item for item in items if step.shows(item)]
        assert shown, step.name
        assert step.words
        assert step.tools
        assert "product data sheets decide" in step.caution


@pytest.mark.parametrize(
    ("name", "lines", "holes"),
    [
        ("cut-front", {"outline", "grain"}, 0),
        ("cut-back", {"outline", "grain"}, 0),
        ("glue", {"glue-edge"}, 0),
        ("trim", {"outline"}, 0),
        ("slots", {"slot-left", "slot-right"}, 0),
        ("scribe", {"pocket", "ring-left", "ring-right"}, 0),
        ("prick", set(), 147),
        ("sew", {"pocket", "ring-left", "ring-right"}, 147),
    ],
)
def test_each_step_lights_its_own_lines(name: str, lines: set[str], holes: int) -> None:
    pattern = draft()
    step = pattern.step(name)
    piece = pattern.piece(step.piece)
    assert {drawn.name for drawn in piece.drawn if step.shows(drawn)} == lines
    assert sum(step.shows(hole) for hole in piece.holes) == holes


def test_the_sentences_say_fit_bound_and_counts() -> None:
    pattern = draft()
    kinds = [sentence.kind for sentence in pattern.sentences]
    assert kinds == ["fit", "fit", "bound", "bound", "fit", "count", "count", "count"]
    bound = pattern.sentences[2]
    assert bound.value == pytest.approx(76.2 + 12.7 + math.pi / 2 * 2.4)
    assert "92.7" in bound.words
    assert [sentence.value for sentence in pattern.sentences if sentence.kind == "count"] == [91, 28, 28]
    assert all(f"{seam.pitch_mm:.3f}" in s.words for seam, s in zip(pattern.seams, pattern.sentences[5:], strict=True))


@pytest.mark.parametrize(
    ("measures", "says"),
    [
        ({"corner_radius": 50.0}, "square corners"),
        ({"bottom_allowance": 2.0}, "stands out 6.2 mm more"),
        ({"back_margin": 20.0}, "unusual"),
    ],
)
def test_warnings(measures: dict[str, float], says: str) -> None:
    words = [sentence.words for sentence in draft(**measures).sentences if sentence.kind == "warning"]
    assert any(says in text for text in words)
    assert not any(sentence.kind == "warning" for sentence in draft().sentences)


def test_dimensions_measure_what_they_say() -> None:
    found = {dimension.label: dimension for dimension in draft().dimensions}
    for dimension in found.values():
        assert dimension.value_mm == pytest.approx(math.dist(dimension.start, dimension.end))
    values = {label: round(dimension.value_mm, 6) for label, dimension in found.items()}
    assert values == {
        "overall width": 146.05,
        "seam to seam": 101.6,
        "overall height": 146.05,
        "floor of the pocket": 139.7,
        "body width": 114.3,
        "slot height": 38.1,
        "slot width": 9.525,
        "slot gap": 6.35,
        "edge margin": 6.35,
    }


def test_every_measure_says_what_it_is() -> None:
    assert list(MEASURES) == [
        "width", "height", "thickness", "stands-out", "front", "belt", "leather", "edge-margin", "slot-width", "slot-gap",
        "side-allowance", "bottom-allowance", "corner-radius", "pitch", "stepping", "start", "back-margin", "section", "section-radius",
        "neutral", "stretch",
    ]  # fmt: skip
    for measure in FAMILY.measures:
        assert measure.meaning.endswith(".")
        assert measure.reference
        assert measure.figure == f"belt-pouch/{measure.name}"
        assert measure.default is None or measure.low <= measure.default <= measure.high
    assert [m.name for m in FAMILY.measures if m.unit == "leather"] == ["leather"]


# ---- refusals


@pytest.mark.parametrize(
    ("measures", "field", "says"),
    [
        ({"stands_out": 152.4}, "stands-out", "mouth would be above"),
        ({"stands_out": 160.0}, "stands-out", "160"),
        ({"side_allowance": 5.0}, "side-allowance", "6.5 mm short"),
        ({"thickness": 60.0, "side_allowance": 12.0}, "side-allowance", "cannot go in"),
        ({"section": 3.0}, "section", "as thick as it is wide"),
        ({"section": 1.0, "section_radius": 7.0}, "section-radius", "6.35 mm is the most"),
        ({"corner_radius": 60.0}, "corner-radius", "larger than half the bottom"),
        ({"corner_radius": 40.0, "height": 50.0}, "corner-radius", "larger than the side"),
        ({"belt": 110.0}, "belt", "too tall"),
        ({"height": 80.0}, "belt", "too tall"),
        ({"slot_width": 30.0, "belt": 20.0}, "slot-width", "wider"),
        ({"edge_margin": 25.0}, "edge-margin", "wider than the wings"),
        ({"pitch": 12.0, "belt": 15.0}, "pitch", "too long for the"),
        ({"width": 5.0}, "width", "10 to 400"),
        ({"leather": 0.0}, "leather", "out of range"),
        ({"pitch": math.nan}, "pitch", "finite"),
        ({"pitch": math.inf}, "pitch", "finite"),
        ({"width": -1.0}, "width", "out of range"),
        ({"girth": 5.0}, "girth", "no measure called"),
    ],
)
def test_refusals_name_the_measure(measures: dict[str, float], field: str, says: str) -> None:
    with pytest.raises(Refusal) as caught:
        draft(**measures)
    assert caught.value.field == field
    assert says in caught.value.sentence


@pytest.mark.parametrize("measure", FAMILY.measures, ids=lambda measure: measure.name)
def test_each_measure_is_held_to_its_range(measure: Measure) -> None:
    for value in (measure.low - 0.001, measure.high + 0.001):
        with pytest.raises(Refusal) as caught:
            FAMILY.draft({measure.name: value})
        assert caught.value.field == measure.name


def test_the_largest_edge_margin_it_names_is_accepted() -> None:
    with pytest.raises(Refusal) as caught:
        draft(edge_margin=25.0)
    most = float(caught.value.sentence.split("at most ")[1].split(" mm")[0])
    assert size(draft(edge_margin=most).piece("front").outline)[0] == pytest.approx(146.05)


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        get("tent")
    assert caught.value.status == 404
