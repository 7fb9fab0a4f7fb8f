"""After the calibration: witness marks, the next sighting, mistakes named, and where the error comes from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from calibration.adjust import adjust, least_squares_fit
from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.blunder import common, find_blunder
from calibration.budget import budget, covariances, ellipses, lens_cost
from calibration.plan import is_met, next_sighting
from calibration.plane import Plane
from calibration.precision import radius95
from calibration.refusal import Refusal
from calibration.report import detectable
from calibration.sightings import read
from calibration.witness import Witness, motions, resume
from tests.unit.test_adjust import document, full, marks, tapes, true_bench

CORNERS = np.array([[100.5, 80.5], [1800.5, 90.5], [1790.5, 1000.5], [110.5, 990.5]])


@pytest.fixture(scope="module")
def bench() -> Bench:
    return adjust(read(full()[1])).bench


def turned(bench: Bench, motion: Array) -> Bench:
    """Return the bench after its projector gave way by ``motion`` (7,), built from the whole camera matrix, not from slopes."""
    h, c = bench.plane.matrix, bench.position
    whole = np.column_stack([h[:, 0], h[:, 1], -(h[:, 2] + h[:, :2] @ c[:2]) / c[2]])
    x, y, z = motion[:3]
    skew = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    rotation = np.eye(3) + skew + skew @ skew / 2
    lens = bench.lens
    zoom = np.array(
        [[1 + motion[6], 0, -motion[6] * lens.centre[0]], [0, 1 + motion[6], -motion[6] * lens.centre[1]], [0, 0, 1]]
    )
    moved, at = zoom @ whole @ rotation.T, c + motion[3:6]
    plane = Plane.of(np.column_stack([moved[:, 0], moved[:, 1], -moved @ at]))
    return replace(bench, plane=plane, parallax=replace(bench.parallax, position=at))


def witnesses(bench: Bench, now: Bench, *, own: bool = True) -> list[Witness]:
    places = bench.to_table(CORNERS)
    seen = now.to_picture(places)
    return [Witness(n, tuple(p), tuple(u), 0.3, own) for n, p, u in zip("ABCD", places, seen, strict=True)]


def test_motions_are_those_of_a_rigid_projector(bench: Bench) -> None:
    places = bench.grid(5, 4)
    slopes = bench.landing_partials(places) @ motions(bench)
    pixels = bench.to_picture(places)
    for axis, size in enumerate([1e-5] * 3 + [1e-2] * 3 + [1e-5]):
        motion = np.eye(7)[axis] * size
        moved = turned(bench, motion).to_table(pixels) - places
        assert np.allclose(moved, slopes[:, :, axis] * size, rtol=2e-3, atol=2e-5)


def test_a_bench_at_rest_is_left_alone(bench: Bench) -> None:
    session = resume(bench, witnesses(bench, bench))
    assert session.decision == "still"
    assert session.bench is bench
    assert session.sentence.startswith("Nothing moved")


@pytest.mark.parametrize("own", [True, False])
def test_a_small_shift_is_corrected(bench: Bench, own: bool) -> None:
    now = turned(bench, np.array([0.002, -0.003, 0.002, 1.0, -1.0, 0.5, 0.0003]))
    session = resume(bench, witnesses(bench, now, own=own))
    assert session.decision == "shifted"
    grid = bench.grid(7, 5)
    before = np.linalg.norm(now.to_table(bench.to_picture(grid)) - grid, axis=1)
    after = np.linalg.norm(now.to_table(session.bench.to_picture(grid)) - grid, axis=1)
    assert before.max() > 5.0
    assert after.max() < 0.4
    assert session.drift_mm == pytest.approx(np.median(before), rel=0.2)
    assert "corrected from 4 sightings" in session.sentence


def test_more_than_a_shift_asks_for_a_new_calibration(bench: Bench) -> None:
    session = resume(bench, witnesses(bench, turned(bench, np.array([0.03, 0.03, 0.0, 20.0, 0.0, 0.0, 0.0]))))
    assert session.decision == "anew"
    assert session.bench is bench
    assert "calibrate anew" in session.sentence


def test_one_witness_off_by_itself_is_not_taken_for_a_shift(bench: Bench) -> None:
    given = witnesses(bench, bench)
    u, v = given[2].pixel
    given[2] = replace(given[2], pixel=(u + 15.0, v))
    session = resume(bench, given)
    assert session.decision == "anew"
    assert "C is 10.3 mm off its mark" in session.sentence


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda given: given[:1], "1 witness sightings"),
        (lambda given: [given[0], given[0]], "given twice"),
        (lambda given: [given[0], replace(given[1], sigma=0.0)], "sigma of zero"),
    ],
)
def test_witness_refusals(bench: Bench, spoil: Callable[[list[Witness]], list[Witness]], says: str) -> None:
    with pytest.raises(Refusal, match=says):
        resume(bench, spoil(witnesses(bench, bench)))
    with pytest.raises(Refusal, match="not calibrated"):
        resume(Bench.nominal((1920, 1080), 1200.0), witnesses(bench, bench))


def test_the_proposed_sighting_lowers_the_error_as_promised() -> None:
    true, doc = true_bench(), document(3, 3)
    doc["positions"] = marks(true, doc, "ACGI") + marks(true, doc, "E")
    found = adjust(read(doc)).bench
    grid = found.grid(9, 6)
    proposal = next_sighting(found, read(doc), grid, ways=("mark",), sigma=0.25)
    assert proposal is not None
    doc["positions"] += marks(true, doc, proposal.names[0])
    then = float(adjust(read(doc)).bench.error95(grid).max())
    assert proposal.worst_then < 0.95 * proposal.worst_now
    assert then == pytest.approx(proposal.worst_then, rel=0.35)
    others = [n for n in "BDFH" if n != proposal.names[0]]
    for other in others:
        doc["positions"][-1:] = marks(true, doc, other)
        assert float(adjust(read(doc)).bench.error95(grid).max()) > 0.9 * then


def test_thick_leather_asks_for_a_block() -> None:
    true, doc = true_bench(), document()
    doc["positions"] = marks(true, doc, "ABCDEFGHIJKLMNOPQRST")
    found = adjust(read(doc)).bench
    proposal = next_sighting(found, read(doc), found.grid(5, 4, 8.0), height=8.0)
    assert proposal is not None
    assert proposal.way == "block"
    assert "on a block 100 mm high" in proposal.sentence


def test_no_more_is_asked_when_the_tolerance_is_met(bench: Bench) -> None:
    grid = bench.grid(9, 6)
    sightings = read(full()[1])
    assert next_sighting(bench, sightings, grid, tolerance=2.0) is None
    assert is_met(bench, grid, 0.0, 2.0)
    assert not is_met(bench, grid, 0.0, 0.05)
    assert next_sighting(bench, sightings, grid, tolerance=0.05) is not None


def noisy_tapes(seed: int = 5) -> dict[str, Any]:
    true, doc, rng = true_bench(), document(3, 3), np.random.default_rng(seed)
    doc["distances"] = tapes(true, doc)
    doc["positions"] = marks(true, doc, "AI")
    for one in doc["distances"]:
        one["length"] = round(one["length"] + float(rng.normal(0, 0.3)), 1)
    return doc


def tape(doc: dict[str, Any], start: str, end: str) -> dict[str, Any]:
    return next(d for d in doc["distances"] if (d["from"], d["to"]) == (start, end))


def test_faultless_sightings_name_no_mistake() -> None:
    assert find_blunder(read(noisy_tapes())) is None


def test_swapped_digits_are_named_with_the_figure_that_fits() -> None:
    doc = noisy_tapes()
    one = tape(doc, "A", "F")
    digits = f"{one['length']:.1f}"
    wrong = digits[0] + digits[2] + digits[1] + digits[3:]
    one["length"] = float(wrong)
    found = find_blunder(read(doc))
    assert found is not None
    assert found.names == ("A", "F")
    assert f"{float(digits):g} would fit: two digits look swapped" in found.sentence


def test_inches_among_millimetres_are_named() -> None:
    doc = noisy_tapes()
    tape(doc, "B", "H")["length"] /= 25.4
    found = find_blunder(read(doc))
    assert found is not None
    assert found.names == ("B", "H")
    assert "looks like inches" in found.sentence


def test_another_letter_is_named() -> None:
    doc = noisy_tapes()
    tape(doc, "A", "F")["length"] = tape(doc, "A", "E")["length"]
    found = find_blunder(read(doc))
    assert found is not None
    assert found.names == ("A", "F")
    assert "It fits A to E" in found.sentence


def test_swapped_letters_are_named() -> None:
    doc = noisy_tapes()
    other = {"B": "F", "F": "B"}
    for one in doc["distances"]:
        one["from"], one["to"] = other.get(one["from"], one["from"]), other.get(one["to"], one["to"])
    found = find_blunder(read(doc))
    assert found is not None
    assert (found.kind, found.names) == ("swapped", ("B", "F"))


def test_a_hooked_tape_is_named() -> None:
    doc = noisy_tapes()
    for one in doc["distances"]:
        one["length"] += 10.0
    found = find_blunder(read(doc))
    assert found is not None
    assert found.kind == "offset"
    assert found.size == pytest.approx(10.0, abs=0.6)


def test_a_stretched_tape_is_named_against_known_marks_and_cannot_be_seen_without() -> None:
    doc = noisy_tapes()
    for one in doc["distances"]:
        one["length"] *= 1.004
    found = find_blunder(read(doc))
    assert found is not None
    assert found.kind == "scale"
    assert found.size == pytest.approx(0.004, abs=0.001)
    doc["positions"] = []
    assert find_blunder(read(doc)) is None
    fit = least_squares_fit(read(doc))
    assert common(fit, np.array([d["length"] for d in doc["distances"]])) is None


def test_a_mark_with_x_and_y_exchanged_is_named() -> None:
    _, doc = full()
    doc["positions"][13]["at"].reverse()
    with pytest.raises(Refusal, match="The place of N does not fit between its neighbours"):
        adjust(read(doc))


def test_detectable_mistake_by_hand() -> None:
    # z(1 - 0.05/2/20) + z(0.8) = 3.0233 + 0.8416, standard normal tables
    assert detectable(0.25, 0.3, 20) == pytest.approx(0.3 * (3.0233 + 0.8416) / 0.5, rel=1e-4)
    assert detectable(0.0, 0.3, 20) is None


def test_budget_rows_add_up_to_the_whole(bench: Bench) -> None:
    grid = bench.grid(7, 5, 6.0)
    parts = covariances(bench, grid, 6.0, 0.3)
    whole = parts["sightings"] + parts["lens position"] + parts["shared"]
    assert np.allclose(whole, bench.covariance_at(grid, 6.0), rtol=1e-9, atol=1e-12)
    told = budget(bench, grid, 6.0, 0.3)
    assert [row.source for row in told.rows] == ["sightings", "lens position", "shared", "thickness", "pixel"]
    squares = sum(row.mm * abs(row.mm) for row in told.rows)
    assert told.worst_mm == pytest.approx(np.sqrt(squares), rel=0.25)
    assert told.rows[1].mm == pytest.approx(lens_cost(bench, grid, [6.0])[0], rel=0.5)
    assert told.median_mm < told.worst_mm


def test_thickness_doubt_by_similar_triangles() -> None:
    """A mark 700 mm from the foot of a lens 2000 mm up: 5 mm more leather moves its line by 1.754 mm (similar triangles)."""
    sharp = replace(true_bench(), parallax=replace(true_bench().parallax, position=np.array([0.0, 0.0, 2000.0])))
    row = budget(sharp, np.array([[700.0, 0.0]]), 0.0, 5.0).rows[3]
    assert row.mm == pytest.approx(1.959964 * 5.0 * 700.0 / 2000.0, rel=1e-6)


def test_twenty_millimetres_of_lens_cost_a_twentieth_on_five() -> None:
    covariance = np.zeros((DOUBTS, DOUBTS))
    covariance[13, 13] = covariance[14, 14] = 20.0**2
    doubtful = replace(true_bench(), covariance=covariance)
    cost = lens_cost(doubtful, np.array([[0.0, 0.0]]), [5.0])[0]
    assert cost == pytest.approx(2.447747 * 20.0 * 5.0 / 1850.0, rel=0.01)


def test_ellipses_are_those_of_the_covariance(bench: Bench) -> None:
    grid = bench.grid(5, 4)
    rings = ellipses(bench, grid)
    assert (rings[:, 0] >= rings[:, 1]).all()
    radius = radius95(np.asarray(sum(covariances(bench, grid).values())))
    assert (rings[:, 0] >= 0.999 * radius).all()
    assert (rings[:, 1] <= 1.001 * radius).all()
