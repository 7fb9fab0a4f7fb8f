"""The verdict on readings of the check figure."""

from __future__ import annotations

import re

import numpy as np
import pytest

from calibration.bench import Bench
from server.errors import Refusal
from server.services.bench import check_figure
from server.services.bench.checks import READING_SIGMA_MM, common_scale, decide, judge_rows, length_sigmas
from tests.web.desk import Desk

SQUARE = {"top": 300.0, "bottom": 300.0, "left": 300.0, "right": 300.0, "diagonal-down": 424.26, "diagonal-up": 424.26}


@pytest.fixture
def bench(desk: Desk) -> Bench:
    """A calibrated practice bench's optics."""
    record = desk.shop.benches.record(desk.practice("marks", "block"))
    assert record.calibration is not None
    return Bench.from_json(record.calibration)


def verdict(bench: Bench, **changes: float) -> str:
    """Return the verdict on a perfect square with some readings changed."""
    readings = SQUARE | {name.replace("_", "-"): value for name, value in changes.items()}
    return decide(judge_rows(bench, 300.0, 0.0, readings))[0]


def test_a_true_square_holds(bench: Bench) -> None:
    assert verdict(bench) == "holds"


@pytest.mark.parametrize("change", [{"top": 303.0}, {"left": 297.0}, {"diagonal_up": 428.0}])
def test_a_square_that_is_off_is_out(bench: Bench, change: dict[str, float]) -> None:
    assert verdict(bench, **change) == "out"


def test_a_little_off_is_unsure(bench: Bench) -> None:
    sigma = float(np.hypot(length_sigmas(bench, 300.0, 0.0)["top"], READING_SIGMA_MM))
    assert verdict(bench, top=300 + 1.9 * sigma) == "holds"
    assert verdict(bench, top=300 + 2.5 * sigma) == "unsure"
    assert verdict(bench, top=300 - 3.4 * sigma) == "out"


@pytest.mark.parametrize(("factor", "way"), [(1.004, "long"), (0.994, "short")])
def test_a_scale_common_to_all_lines_is_named(bench: Bench, factor: float, way: str) -> None:
    jitter = dict(zip(SQUARE, (0.1, -0.1, 0.2, 0.0, -0.2, 0.1), strict=True))
    said, sentence = decide(judge_rows(bench, 300.0, 0.0, {n: v * factor + jitter[n] for n, v in SQUARE.items()}))
    assert said == "out"
    found = re.match(r"All 6 lines read ([\d.]+) % (long|short): what the bench was measured with", sentence)
    assert found is not None
    assert found[2] == way
    assert float(found[1]) / 100 == pytest.approx(abs(factor - 1.0), abs=0.0004)


@pytest.mark.parametrize(
    "changes", [{"top": 303.0}, {"top": 302.0, "bottom": 302.0}, {"left": 297.0, "diagonal_up": 428.0}]
)
def test_one_line_that_is_off_is_no_scale(bench: Bench, changes: dict[str, float]) -> None:
    readings = SQUARE | {name.replace("_", "-"): value for name, value in changes.items()}
    assert common_scale(judge_rows(bench, 300.0, 0.0, readings)) is None


def test_too_few_readings_are_unsure_but_a_gross_one_is_out(bench: Bench) -> None:
    assert decide([])[0] == "unsure"
    few = judge_rows(bench, 300.0, 0.0, {"top": 300.0, "left": 300.1})
    assert decide(few)[0] == "unsure"
    gross = judge_rows(bench, 300.0, 0.0, {"top": 310.0})
    assert decide(gross)[0] == "out"


def test_a_worse_bench_allows_more(desk: Desk) -> None:
    good = desk.practice("marks")
    allowed = [_allowed(desk, good)]
    crosses = desk.get(f"/api/benches/{good}")["sightings"]
    for row in crosses["positions"]:
        row["sigma"] = 2.0
    desk.put(f"/api/benches/{good}/sightings", {"positions": crosses["positions"]})
    allowed.append(_allowed(desk, good))
    assert allowed[1] > 1.5 * allowed[0]


def _allowed(desk: Desk, bench: int) -> float:
    answer = desk.post("/api/check", {"bench": bench, "size": 300, "readings": {"top": 300.0}})
    return float(answer["rows"][0]["allowed"])


def test_the_spread_of_a_length_agrees_with_drawn_benches(bench: Bench) -> None:
    """Against 4000 benches drawn from the covariance: the same light, and how long the lines then really are."""
    random = np.random.default_rng(4)
    corners = check_figure.corner_places(bench, 300.0, 0.0)
    scale = np.sqrt(np.diag(bench.covariance))
    related = bench.covariance / np.outer(scale, scale)
    drawn = random.multivariate_normal(0 * scale, related, 4000, method="eigh") * scale
    shifts = np.einsum("cij,nj->nci", bench.landing_partials(corners), drawn)
    lengths = [check_figure.lengths(corners + shift) for shift in shifts]
    expected = length_sigmas(bench, 300.0, 0.0)
    for name, sigma in expected.items():
        assert np.std([found[name] for found in lengths]) == pytest.approx(sigma, rel=0.06)


def test_honest_readings_hold_about_as_often_as_they_should(desk: Desk) -> None:
    """Six readings within 95 % each: on a good bench nearly every honest check must not come out as out."""
    bench = desk.practice("marks", "block")
    desk.post("/api/light", {"mode": "check", "bench": bench, "size": 300})
    found = []
    for _ in range(40):
        readings = desk.post("/api/practice/read", {"size": 300})["readings"]
        found.append(desk.post("/api/check", {"bench": bench, "size": 300, "readings": readings})["verdict"])
    assert "out" not in found
    assert found.count("holds") >= 30


def test_an_uncalibrated_looking_square_is_out(desk: Desk) -> None:
    """Crooked light, as before calibration, is never let pass."""
    bench = desk.practice()
    desk.post("/api/light", {"mode": "check", "bench": bench, "size": 300})
    crooked = desk.post("/api/practice/read", {"size": 300})["readings"]
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks"})
    assert desk.post("/api/check", {"bench": bench, "size": 300, "readings": crooked})["verdict"] == "out"


def test_a_verdict_is_kept_and_lapses_with_a_new_calibration(desk: Desk) -> None:
    bench = desk.practice("marks")
    desk.post("/api/check", {"bench": bench, "size": 300, "readings": SQUARE})
    assert desk.get("/api/state")["check"]["valid"] is True
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    assert desk.get("/api/state")["check"]["valid"] is False


def test_null_readings_are_passed_over(desk: Desk) -> None:
    bench = desk.practice("marks")
    answer = desk.post("/api/check", {"bench": bench, "size": 300, "readings": SQUARE | {"left": None}})
    assert [row["name"] for row in answer["rows"]] == [name for name in SQUARE if name != "left"]
    assert answer["verdict"] == "holds"


def test_a_figure_too_large_names_the_largest_that_fits(bench: Bench) -> None:
    with pytest.raises(Refusal, match="choose 600 mm"):
        check_figure.corner_places(bench, 700.0, 0.0)
