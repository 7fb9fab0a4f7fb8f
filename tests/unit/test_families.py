"""What holds for every family: it drafts, mirrors, keeps its holes in the leather, mates its seams, refuses in one sentence."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.path import Path
from server.geometry.svg_reading import read
from server.leather.checks import check
from server.leather.drafts import Family, families, get
from server.leather.measure import Given, chosen, read_plain
from server.leather.pattern import Measure, Pattern
from server.leather.piece import Drawn, Hole, Label, Piece
from server.output.svg import pattern_svg

FAMILIES = families()
LEAST_MARGIN = 2.0
"""mm: no hole is nearer an edge than the least edge margin any family allows."""


ROUND: dict[str, Given] = {"width": 40.0, "thickness": 40.0}
"""A round thing is as thick as it is wide."""
HANDLES: dict[str, dict[str, Given]] = {
    "round": {"handle-width": 26.0, "handle-thickness": 26.0},
    "rectangle": {"blade-length": 130.0},
}
"""Of a sheath it is the handle that has a section; a square one needs a longer blade below it."""


def variants(family: Family) -> list[dict[str, Given]]:
    """The default draft, and one for each choice of each choice measure."""
    found: list[dict[str, Given]] = [{}]
    for measure in family.measures:
        found += [{measure.name: name, **_fitting(family, measure, name)} for name, _ in measure.choices]
    return found


def _fitting(family: Family, measure: Measure, name: str) -> dict[str, Given]:
    """What must go with a choice so that it can be drafted."""
    if measure.name != "section":
        return {}
    return HANDLES.get(name, {}) if family.name == "sheath" else ROUND if name == "round" else {}


DRAFTS = [
    pytest.param(family, values, id=f"{family.name} {values or ''}".strip())
    for family in FAMILIES.values()
    for values in variants(family)
]
every_draft = pytest.mark.parametrize(("family", "values"), DRAFTS)
every_family = pytest.mark.parametrize("family", FAMILIES.values(), ids=FAMILIES)


def polygon(path: Path) -> shapely.Polygon:
    return shapely.Polygon(path.flatten(0.002))


def mirrored(points: np.ndarray) -> bool:
    return {(-x if x else 0.0, y) for x, y in points.tolist()} == {(x, y) for x, y in points.tolist()}


def assert_sound(pattern: Pattern) -> None:
    """Everything finite; outlines simple; slots and holes inside the leather; seams as they are told."""
    for piece in pattern.pieces:
        _assert_finite(piece)
        edge = polygon(piece.outline)
        assert piece.outline.closed
        assert edge.is_valid, f"{piece.name} crosses itself"
        for drawn in piece.drawn:
            if drawn.role == "slot":
                assert drawn.path.closed, drawn.name
                assert edge.contains(polygon(drawn.path)), f"{piece.name}: {drawn.name} leaves the leather"
        if piece.holes:
            points = shapely.points([(h.x, h.y) for h in piece.holes])
            assert shapely.contains(edge, points).all(), f"{piece.name} has a hole outside"
            nearest = shapely.distance(edge.exterior, points).min()
            assert nearest >= min(LEAST_MARGIN, pattern.measures.get("edge-margin", LEAST_MARGIN)) - 5e-3
    _assert_seams(pattern)
    _assert_steps(pattern)
    assert all(math.isfinite(v) for v in pattern.measures.values())
    assert all(s.value is None or math.isfinite(s.value) for s in pattern.sentences)
    assert "nan" not in " ".join(s.words + (s.formula or "") for s in pattern.sentences).lower().replace("finance", "")


def _assert_finite(piece: Piece) -> None:
    for drawn in piece.drawn:
        assert np.isfinite(drawn.path.flatten()).all()
    numbers = [(h.x, h.y, h.angle) for h in piece.holes] + [(w.x, w.y, w.size) for w in piece.labels]
    assert np.isfinite(np.array(numbers, dtype=float)).all()
    names = [d.name for d in piece.drawn]
    assert len(names) == len(set(names)), f"{piece.name} names two lines alike"


def _assert_seams(pattern: Pattern) -> None:
    names = [seam.name for seam in pattern.seams]
    assert len(names) == len(set(names))
    assert {hole.seam for piece in pattern.pieces for hole in piece.holes} == set(names)
    for seam in pattern.seams:
        piece = pattern.piece(seam.piece)
        points, path = piece.hole_points(seam.name), piece.line(seam.name).path
        assert len(points) == seam.holes
        assert seam.stitches == seam.holes - (0 if seam.closed else 1)
        line = polygon(path).exterior if path.closed else shapely.LineString(path.flatten(0.001))
        assert shapely.distance(line, shapely.points(points)).max() < 2.1e-3
        if seam.mate:
            assert seam.holes == pattern.seam(seam.mate).holes, f"{seam.name} and {seam.mate} do not match"
            assert seam.thread_mm == 0.0
        else:
            assert seam.thread_mm > 0.0


def _assert_steps(pattern: Pattern) -> None:
    names = [step.name for step in pattern.steps]
    assert len(names) == len(set(names))
    for step in pattern.steps:
        piece = pattern.piece(step.piece)
        items: list[Drawn | Hole | Label] = [*piece.drawn, *piece.holes, *piece.labels]
        assert any(step.shows(item) for item in items), f"{step.name} lights nothing"
        known = {d.name for d in piece.drawn} | {h.seam for h in piece.holes} | {w.name for w in piece.labels}
        assert set(step.lines) <= known, f"{step.name} lights {set(step.lines) - known}"
        assert step.plies_under >= 1
        assert step.words.endswith(".")
        assert step.tools
        assert step.caution


@every_draft
def test_the_defaults_and_every_choice_draft(family: Family, values: Mapping[str, Given]) -> None:
    pattern = family.draft(values)
    assert pattern.family == family.name
    assert set(pattern.measures) == {m.name for m in family.measures}
    assert pattern.measures["leather"] > 0.0
    assert_sound(pattern)
    assert {f"cut-{piece.name}" for piece in pattern.pieces} <= {step.name for step in pattern.steps}


@every_draft
def test_pieces_that_are_symmetric_mirror_to_the_last_bit(family: Family, values: Mapping[str, Given]) -> None:
    for piece in family.draft(values).pieces:
        if not any(drawn.name == "centre" for drawn in piece.drawn):
            continue
        assert mirrored(piece.outline.flatten()), piece.name
        assert mirrored(np.array([(h.x, h.y) for h in piece.holes]).reshape(-1, 2)), piece.name
        slots = [d.path.flatten() for d in piece.drawn if d.role == "slot"]
        assert mirrored(np.concatenate([*slots, np.zeros((0, 2))])), piece.name


@every_draft
def test_no_sharp_inside_corner_is_cut(family: Family, values: Mapping[str, Given]) -> None:
    """An inside corner tears: where an outline turns against its own way round, it is an arc."""
    for piece in family.draft(values).pieces:
        for drawn in piece.drawn:
            if drawn.role in ("cut", "slot") and drawn.path.closed:
                ring = drawn.path.flatten(0.002)
                _assert_no_sharp_inside(ring, drawn.role == "slot", f"{piece.name} {drawn.name}")


def _assert_no_sharp_inside(ring: np.ndarray, hollow: bool, name: str) -> None:
    """Round a hole in the leather it is the hole's own corners that tear."""
    ahead = np.roll(ring, -1, axis=0) - ring
    behind = ring - np.roll(ring, 1, axis=0)
    turn = np.degrees(np.arctan2(behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0], (behind * ahead).sum(axis=1)))
    way = math.copysign(1.0, turn.sum())
    sharp = way * turn > 25.0 if hollow else way * turn < -25.0
    assert not sharp.any(), f"{name} turns {turn[sharp]} degrees at {ring[sharp]}"


@every_draft
def test_the_file_says_what_the_pattern_says(family: Family, values: Mapping[str, Given]) -> None:
    pattern = family.draft(values)
    drawing = read(pattern_svg(pattern))
    for piece in pattern.pieces:
        origin = np.array(drawing.origins[piece.name])
        shapes = [s for s in drawing.shapes if s.piece == piece.name]
        holes = np.array([s.points[0] - origin for s in shapes if s.role == "hole"]).reshape(-1, 2)
        assert np.abs(holes - np.array([(h.x, h.y) for h in piece.holes]).reshape(-1, 2)).max(initial=0.0) < 2e-6
        outline = next(s for s in shapes if s.role == "cut")
        apart = shapely.Polygon(outline.points - origin).symmetric_difference(polygon(piece.outline)).area
        assert apart < 0.025 * piece.outline.length  # a drawing is read to 0.02 mm
        assert len([s for s in shapes if s.role != "hole"]) == len(piece.drawn)
        assert drawing.titles[piece.name] == piece.title


@every_draft
def test_a_good_maker_finds_nothing_to_put_right(family: Family, values: Mapping[str, Given]) -> None:
    assert [finding.sentence for finding in check(family.draft(values))] == []


@every_family
def test_every_measure_says_what_it_is(family: Family) -> None:
    for measure in family.measures:
        assert measure.meaning.endswith(".")
        assert measure.reference
        assert measure.figure == f"{family.name}/{measure.name}"
        assert measure.default is None or measure.low <= measure.default <= measure.high
        assert (measure.unit == "choice") == bool(measure.choices)
    assert "leather" in {m.name for m in family.measures if m.unit == "leather"}


@every_family
def test_presets_are_measures_of_the_family(family: Family) -> None:
    for preset in family.presets:
        assert preset.reference
        try:
            assert_sound(family.draft(dict(preset.measures)))
        except Refusal as refusal:
            pytest.fail(f"{preset.title}: {refusal.sentence}")


@every_family
def test_what_is_left_empty_is_explained_with_its_formula(family: Family) -> None:
    pattern = family.draft({})
    told = {s.measure: s for s in pattern.sentences if s.measure}
    for measure in family.measures:
        if measure.default is None:
            sentence = told[measure.name]
            assert sentence.value == pytest.approx(pattern.measures[measure.name])
            assert sentence.formula
            assert "=" in sentence.formula
    assert any(s.formula for s in pattern.sentences)


@every_family
def test_dimensions_measure_what_they_say(family: Family) -> None:
    pattern = family.draft({})
    assert pattern.dimensions
    names = {m.name for m in family.measures}
    for dimension in pattern.dimensions:
        assert dimension.value_mm == pytest.approx(math.dist(dimension.start, dimension.end))
        assert dimension.measure_name is None or dimension.measure_name in names
        pattern.piece(dimension.piece)
    labels = [d.label for d in pattern.dimensions]
    assert len(set(labels)) == len(labels)


@every_family
def test_holes_are_never_crowded(family: Family) -> None:
    """Design page: no two holes nearer than 60 % of the pitch, in the default draft of each family."""
    pattern = family.draft({})
    for piece in pattern.pieces:
        points = np.array([(h.x, h.y) for h in piece.holes])
        if len(points) > 1:
            tree = shapely.STRtree(shapely.points(points))
            least = 0.6 * pattern.measures["pitch"] - 1e-9
            pairs = tree.query(shapely.points(points).tolist(), predicate="dwithin", distance=least)
            assert (pairs[0] == pairs[1]).all(), f"{piece.name}: {points[pairs[0][pairs[0] != pairs[1]]]}"


def test_there_are_twelve_families() -> None:
    assert len(FAMILIES) == 12
    assert len({family.title for family in FAMILIES.values()}) == 12


@pytest.mark.parametrize("values", [{}, {"handle-in": 0.0}, {"blade-length": 240.0, "welt-width": 20.0, "pitch": 3.0}])
def test_the_welt_s_holes_meet_those_of_both_halves(values: dict[str, Given]) -> None:
    """Closed over the welt, hole i of the three plies is one hole; and the welt has leather on both sides of each."""
    pattern = get("sheath").draft(values)
    sheath, welt = pattern.piece("sheath"), pattern.piece("welt")
    holes = welt.hole_points("edge-welt")
    assert np.array_equal(holes, sheath.hole_points("edge"))
    assert np.array_equal(holes * (-1, 1), sheath.hole_points("edge-back"))
    ring = shapely.Polygon(welt.outline.flatten(0.002))
    inside = [ring.contains(point) and ring.exterior.distance(point) for point in shapely.points(holes)]
    margin = pattern.measures["edge-margin"]
    assert min(inside[:-1]) > margin - 0.05
    assert inside[-1] > 0.9 * margin, (
        "the last is a margin from the drain along the curved toe, a little less straight across"
    )
    names = [step.name for step in pattern.steps]
    assert names.index("prick-edge") < names.index("prick-welt") < names.index("glue") < names.index("sew-edge")
    assert {pattern.seam(name).mate for name in ("edge-back", "edge-welt")} == {"edge"}


def test_a_folded_sheath_has_two_halves_alike() -> None:
    """Its hanger hangs on one half only, so it carries no centre line; edge, cavity and edge seam are mirrors still."""
    sheath = get("sheath").draft({}).piece("sheath")
    assert mirrored(sheath.outline.flatten())
    assert np.array_equal(sheath.hole_points("edge") * (-1, 1), sheath.hole_points("edge-back"))
    assert np.array_equal(sheath.line("cavity").path.flatten() * (-1, 1), sheath.line("glue-edge").path.flatten())


def test_a_fob_s_seam_keeps_clear_of_the_shoulder_s_curve() -> None:
    """A wide fob on a narrow neck: its shoulder still curves beside the upper corners of the seam."""
    assert_sound(
        get("key-fob").draft(
            {"length": 68.0, "width": 30.0, "edge-margin": 2.0, "pitch": 3.0, "wire": 3.0, "leather": 2.0, "play": 1.0}
        )
    )


@pytest.mark.parametrize(
    ("name", "values", "seams"),
    [
        ("strap", {"fixing": "stitched"}, {"row-1-turn": -1, "row-2-turn": -1, "joint-end": 1}),
        ("tray", {"fixing": "stitched"}, {f"corner-{i}-mate": -1 for i in range(1, 5)}),
        ("gusset-pouch", {}, {"strip-front": -1, "strip-back": -1}),
        ("flap-pouch", {"closure": "tuck"}, {"bridge-right-mate": 1, "bridge-left-mate": 1}),
        ("book-cover", {"pen": "loop"}, {"loop-near": 1, "loop-far": -1}),
        ("book-cover", {"pen": "loop", "style": "case"}, {"loop-far": -1}),
        ("round-case", {}, {"tube-side-left": 1, "base-tube": 1}),
        ("tool-roll", {}, {"tie-1-mate": 1, "tie-2-mate": 1}),
        ("sheath", {}, {"edge-back": -1, "edge-welt": 1, "hang-1-front": -1, "hang-2-front": -1, "hang-1-rear": 1, "hang-2-rear": 1}),
    ],
)  # fmt: skip
def test_slits_of_plies_that_meet_back_to_back_slant_the_other_way(
    name: str, values: dict[str, Given], seams: dict[str, int]
) -> None:
    """Worked out by hand, ply on ply: folded over or flesh to flesh -1; laid on with the grain up, or edge to edge, 1."""
    pattern = get(name).draft(values)
    slants = {(h.seam, h.slant) for piece in pattern.pieces for h in piece.holes}
    assert {(seam.name, seams[seam.name]) for seam in pattern.seams if seam.mate} <= slants
    assert {seam.name for seam in pattern.seams if seam.mate} == set(seams)
    assert {slant for seam, slant in slants if seam not in seams} == {1}
    assert len(slants) == len(pattern.seams)


# ---- refusals


def assert_refused(family: Family, refusal: Refusal) -> None:
    assert refusal.field in {m.name for m in family.measures}, refusal.sentence
    assert refusal.sentence.endswith(".")
    assert refusal.sentence.count(". ") == 0
    assert any(letter.isdigit() for letter in refusal.sentence), refusal.sentence
    assert refusal.status == 422


@every_family
def test_each_measure_is_held_to_its_range(family: Family) -> None:
    for measure, value in itertools.product(family.measures, (-0.5, 0.5, math.nan, math.inf)):
        wrong = measure.high + abs(value) if value > 0 else measure.low + value if math.isfinite(value) else value
        with pytest.raises(Refusal) as caught:
            family.draft({measure.name: wrong})
        assert caught.value.field == measure.name


def _values(measure: Measure) -> st.SearchStrategy[float]:
    if measure.name == "section":  # a round one is refused unless it is as thick as wide
        return st.sampled_from((measure.default or 0.0, measure.default or 0.0, 0.0, 1.0, 2.0, 3.0))
    if measure.unit in ("count", "choice"):
        return st.integers(int(measure.low), int(measure.high)).map(float)
    near = measure.default if measure.default else (measure.low + measure.high) / 4
    usual = st.floats(max(measure.low, 0.75 * near), min(measure.high, 1.35 * near))
    return st.one_of(usual, usual, usual, st.floats(measure.low, measure.high))


@every_family
def test_any_measures_give_a_sound_draft_or_one_sentence(family: Family) -> None:
    drafted = 0

    @settings(deadline=None, max_examples=80, derandomize=True)
    @given(st.fixed_dictionaries({}, optional={m.name: _values(m) for m in family.measures}))
    def fuzz(values: dict[str, float]) -> None:
        nonlocal drafted
        try:
            pattern = family.draft(values)
        except Refusal as refusal:
            assert_refused(family, refusal)
            return
        drafted += 1
        assert_sound(pattern)

    fuzz()
    assert drafted >= 10


def test_an_unknown_family_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        get("tent")
    assert caught.value.status == 404


# ---- measures that are not lengths

SHAPE = Measure(
    "tip", "Tip", "The tip.", "choice", 0, 1, 0.0, "x", "f/tip", (("round", "Half round"), ("point", "Pointed"))
)
HOLES = Measure("holes", "Holes", "How many.", "count", 1, 9, 5.0, "x", "f/holes")


@pytest.mark.parametrize(("text", "value"), [("round", 0.0), ("Pointed", 1.0), (" POINT ", 1.0), ("1", 1.0)])
def test_a_choice_is_read_by_name_title_or_place(text: str, value: float) -> None:
    assert read_plain(SHAPE, text) == value
    assert chosen((SHAPE, HOLES), {"tip": value}, "tip") == ("round", "point")[int(value)]


@pytest.mark.parametrize(
    ("measure", "text", "says"), [(SHAPE, "oval", "round, point"), (HOLES, "five", "1 to 9"), (HOLES, "", "1 to 9")]
)
def test_words_that_are_no_choice_or_count_are_refused(measure: Measure, text: str, says: str) -> None:
    with pytest.raises(Refusal, match=says) as caught:
        read_plain(measure, text)
    assert caught.value.field == measure.name
