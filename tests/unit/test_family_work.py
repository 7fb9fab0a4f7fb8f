"""What the work needs of every family: holes that meet and are not crowded, nothing to put right, the light at its height."""

from __future__ import annotations

import random
from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from calibration.refusal import Refusal
from server.leather.checks import Finding, check
from server.leather.drafts import Family, families, get
from server.leather.measure import Given
from server.leather.norms_sewing import LEAST_MARGIN, LEAST_NECK
from server.leather.pattern import Measure, Pattern, Seam
from server.services.light.stage import Laid
from server.store.records import LayoutRecord, PatternRecord
from tests.unit.test_families import every_draft, every_family

FAMILIES = families()
DRAFTS = 100
"""Random drafts of each family, beside those that it refuses."""
Points = NDArray[np.float64]
BENT = {"strip-front", "strip-back", "base-tube", "cap-top-cap"}
"""Lines drawn shorter or longer than their mates, because they are bent round a corner when they are sewn; see tests/reference."""


def _value(measure: Measure, dice: random.Random) -> float:
    """Mostly near the default, now and then anywhere in the range."""
    if measure.unit in ("count", "choice"):
        return float(dice.randint(int(measure.low), int(measure.high)))
    near = measure.default or (measure.low + measure.high) / 4
    if dice.random() < 0.8:
        return dice.uniform(max(measure.low, 0.75 * near), min(measure.high, 1.35 * near))
    return dice.uniform(measure.low, measure.high)


def _given(family: Family, dice: random.Random) -> dict[str, Given]:
    chances = {True: 0.6, False: 0.2}
    return {m.name: _value(m, dice) for m in family.measures if dice.random() < chances[m.default is not None]}


def random_drafts(family: Family, count: int) -> list[Pattern]:
    dice, found = random.Random(7), []
    for _ in range(40 * count):
        try:
            found.append(family.draft(_given(family, dice)))
        except Refusal:
            continue
        if len(found) == count:
            break
    return found


def asked_for(finding: Finding, m: Mapping[str, float]) -> bool:
    """Whether the maker asked for what is found, by a measure that is allowed but worth a word."""
    if finding.kind == "margin":
        return m["edge-margin"] < LEAST_MARGIN.value or m.get("slot-gap", 99.0) / 2 < LEAST_MARGIN.value
    if finding.kind == "neck":
        return m.get("slot-gap", 99.0) / 2 < LEAST_NECK.value
    return finding.kind == "thin welt" and m["welt"] < m["spine"]


@every_family
def test_random_measures_give_nothing_to_put_right_and_no_crowded_hole(family: Family) -> None:
    drafts = random_drafts(family, DRAFTS)
    assert len(drafts) == DRAFTS
    for pattern in drafts:
        found = [one.sentence for one in check(pattern) if not asked_for(one, pattern.measures)]
        assert found == [], dict(pattern.measures)
        _assert_roomy(pattern)


@every_draft
def test_no_hole_of_a_usual_draft_is_crowded(family: Family, values: Mapping[str, Given]) -> None:
    _assert_roomy(family.draft(values))


def _assert_roomy(pattern: Pattern) -> None:
    """Design page: no two holes of a piece nearer than 60 % of the pitch, of one line or of two."""
    for piece in pattern.pieces:
        if len(piece.holes) > 1:
            points = np.array([(hole.x, hole.y) for hole in piece.holes])
            apart, _ = cKDTree(points).query(points, k=2)
            assert apart[:, 1].min() >= 0.6 * pattern.measures["pitch"] - 1e-6, (piece.name, dict(pattern.measures))


# ---- hole on hole


@every_draft
def test_mates_lie_hole_on_hole(family: Family, values: Mapping[str, Given]) -> None:
    """Laid on each other by turning, moving and turning over, the two lines of a seam are one; bent ones have equal counts."""
    pattern = family.draft(values)
    for seam in pattern.seams:
        if not seam.mate:
            continue
        own, other = _holes(pattern, seam), _holes(pattern, pattern.seam(seam.mate))
        assert len(own) == len(other)
        if seam.name in BENT:
            assert seam.eased_mm == pytest.approx(seam.length_mm - pattern.seam(seam.mate).length_mm)
        else:
            assert seam.eased_mm == 0.0
            assert min(_apart(own, other), _apart(own, other[::-1])) < 1e-6, f"{seam.name} on {seam.mate}"


def test_the_bent_mates_are_those_of_gusset_and_case() -> None:
    drafts = [family.draft({}) for family in FAMILIES.values()] + [get("round-case").draft({"lid": "cap"})]
    assert {seam.name for pattern in drafts for seam in pattern.seams if seam.eased_mm} == BENT


def _holes(pattern: Pattern, seam: Seam) -> Points:
    return pattern.piece(seam.piece).hole_points(seam.name)


def _apart(first: Points, second: Points) -> float:
    """The worst distance, mm, of one set of places from the other after the best turn, move and turning over (Procrustes)."""
    a, b = first - first.mean(axis=0), second - second.mean(axis=0)
    left, _, right = np.linalg.svd(a.T @ b)
    worst = [np.abs(a @ left @ flip @ right - b).max() for flip in (np.eye(2), np.diag((1.0, -1.0)))]
    return float(min(worst))


def test_two_lines_that_differ_do_not_lie_hole_on_hole() -> None:
    line = np.array([(0.0, 0.0), (4.0, 0.0), (8.0, 0.0)])
    assert _apart(line, line @ np.array([(0.0, 1.0), (1.0, 0.0)]) + 3.0) < 1e-12
    assert _apart(line, line * 1.01) > 0.01


# ---- how high the light lies


def test_a_sheath_is_lit_at_the_height_of_its_welt() -> None:
    """Two plies of 3.2 mm and a welt of 5 mm: 11.4 mm; by hand."""
    pattern = get("sheath").draft({"leather": 3.2, "welt": 5.0})
    heights = {step.name: step.height(3.2) for step in pattern.steps}
    assert heights["cut-sheath"] == pytest.approx(3.2)
    assert heights["cut-welt"] == pytest.approx(5.0)
    assert heights["sew-hanger"] == pytest.approx(9.6)
    assert [heights[name] for name in ("sew-edge", "edge", "mould")] == pytest.approx([11.4] * 3)
    assert pattern.seam("edge").stack_mm == pytest.approx(11.4)


def test_a_keeper_is_lit_at_its_own_thickness() -> None:
    pattern = get("strap").draft({"leather": 3.6, "keeper-leather": 2.0, "fixing": "stitched"})
    heights = {step.name: step.height(3.6) for step in pattern.steps}
    assert [heights[f"{what}-keeper"] for what in ("cut", "prick", "sew")] == pytest.approx([2.0] * 3)
    assert heights["sew"] == pytest.approx(7.2)
    assert pattern.seam("joint").stack_mm == pytest.approx(2.0)


@pytest.mark.parametrize(("step", "height"), [("sew-edge", 2 * 4.0 + 5.0), ("cut-welt", 5.0), (None, 4.0)])
def test_a_layout_s_own_leather_raises_the_light_but_not_the_welt(step: str | None, height: float) -> None:
    measures = dict(get("sheath").draft({"leather": 3.2, "welt": 5.0}).measures)
    layout = LayoutRecord(1, "x", 1, 1, "4 mm", 4.0, step, {}, {}, "", "", 0)
    assert Laid(layout, PatternRecord(1, 1, "sheath", "x", measures, {}, "", "")).height == pytest.approx(height)


@every_draft
def test_every_step_lies_as_high_as_its_plies(family: Family, values: Mapping[str, Given]) -> None:
    pattern = family.draft(values)
    ply = pattern.measures["leather"]
    for step in pattern.steps:
        assert 0.0 < step.height(ply) <= 6 * max(ply, pattern.measures.get("welt", 0.0))
        assert len(step.others_mm) <= step.plies_under
        assert step.others_mm or step.height(ply) == pytest.approx(step.plies_under * ply)


# ---- every number can be opened


@every_draft
def test_every_number_said_of_a_fit_carries_its_formula(family: Family, values: Mapping[str, Given]) -> None:
    for sentence in family.draft(values).sentences:
        if sentence.kind != "warning":
            assert sentence.formula, sentence.words
            assert any(letter.isdigit() for letter in sentence.formula), sentence.formula


@every_draft
def test_what_is_left_empty_shows_its_value_in_its_formula(family: Family, values: Mapping[str, Given]) -> None:
    pattern = family.draft(values)
    told = {sentence.measure: sentence for sentence in pattern.sentences if sentence.measure}
    for measure in family.measures:
        if measure.default is None:
            sentence, value = told[measure.name], pattern.measures[measure.name]
            assert sentence.value == pytest.approx(value)
            shown = {f"{value:.{places}f}" for places in (0, 1, 2)} | {f"{value:.4g}"}
            assert any(text in (sentence.formula or "") for text in shown), sentence.formula


@every_family
def test_a_family_that_carries_a_thing_says_how_it_fits(family: Family) -> None:
    """The word, and the millimetres behind it."""
    words = [s.words.lower() for s in family.draft({}).sentences if s.kind == "bound"]
    assert any(
        text.startswith(("snug", "goes in", "loose")) or ", snug:" in text or ", goes in:" in text for text in words
    )
    assert all("mm" in text for text in words)


@every_family
def test_what_a_strip_showed_is_asked_alike_everywhere(family: Family) -> None:
    """So that a leather on the rack fills them in any family."""
    by_name = {measure.name: measure for measure in family.measures}
    assert (by_name["neutral"].unit, by_name["neutral"].low, by_name["neutral"].high) == ("ratio", 0.0, 1.0)
    if "stretch" in by_name:
        assert (by_name["stretch"].unit, by_name["stretch"].low, by_name["stretch"].high) == ("percent", 0.0, 30.0)


STRETCHING = [name for name, family in FAMILIES.items() if "stretch" in {m.name for m in family.measures}]


@pytest.mark.parametrize("name", STRETCHING)
def test_a_measured_stretch_is_used_and_said(name: str) -> None:
    measured = {s.words + (s.formula or "") for s in get(name).draft({"stretch": 5.0}).sentences}
    assert measured - {s.words + (s.formula or "") for s in get(name).draft({}).sentences}
    assert any("5 %" in text for text in measured)


def test_the_families_that_hold_a_thing_ask_how_the_leather_stretches() -> None:
    assert set(FAMILIES) - set(STRETCHING) == {"key-fob", "tray"}


@pytest.mark.parametrize("name", ["belt-pouch", "flat-sleeve", "gusset-pouch", "flap-pouch"])
def test_a_round_thing_has_more_to_spare_than_a_square_one(name: str) -> None:
    """Derived: of the same width and thickness D the girths are 2 D and pi D / 2 a ply, so 0.429 D more are to spare."""
    bounds = {}
    for shape in ("rectangle", "round"):
        pattern = get(name).draft({"section": shape, "width": 40.0, "thickness": 40.0, "height": 120.0})
        bounds[shape] = next(
            float(s.words.split(" mm are to spare")[0].split()[-1]) for s in pattern.sentences if "to spare" in s.words
        )
    assert bounds["round"] - bounds["rectangle"] == pytest.approx((2 - np.pi / 2) * 40.0, abs=0.11)
