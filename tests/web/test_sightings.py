"""Sightings as the maker types them: finished or not, in words or in figures."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from server.practice.projector import TRUE
from server.services.bench import typed_sightings
from tests.web.desk import Desk

BENCH = {"name": "Garage", "width": 1920, "height": 1080}


@pytest.fixture
def bench(desk: Desk) -> Desk:
    """A real bench, number 1, not sighted."""
    desk.post("/api/benches", BENCH)
    return desk


def put(desk: Desk, **typed: Any) -> dict[str, Any]:
    """Save sightings of bench 1."""
    answer: dict[str, Any] = desk.put("/api/benches/1/sightings", typed)
    return answer


def landed(desk: Desk) -> dict[str, list[float]]:
    """Return where each cross truly lies, as if the real bench were the practice one."""
    crosses = desk.get("/api/benches/1")["sightings"]["crosses"]
    return dict(zip(crosses, TRUE.land(np.array(list(crosses.values()))).tolist(), strict=True))


def test_too_few_sightings_are_kept_and_say_what_is_wanted(bench: Desk) -> None:
    answer = put(bench, distances=[{"from": "A", "to": "B", "length": 300}])
    assert answer["saved"] is True
    assert answer["report"] is None
    assert answer["refusal"]["sentence"]
    assert answer["propose"] is not None
    assert bench.get("/api/benches/1")["sightings"] == answer["sightings"]


def test_an_unfinished_row_is_kept_and_not_adjusted(bench: Desk) -> None:
    rows = [{"cross": name, "at": at} for name, at in landed(bench).items()]
    unfinished: list[dict[str, Any]] = [
        {"cross": "A", "at": ["", ""]},
        {"cross": "B", "at": [12.5, None]},
        {"at": [1, 2]},
        {},
    ]
    answer = put(
        bench, positions=[*unfinished, *rows], distances=[{"from": "A", "to": "B", "length": ""}, {"from": "C"}]
    )
    assert answer["sightings"]["positions"][:4] == unfinished
    assert answer["report"]["frame"] == "positions"
    assert [judged["row"] for judged in answer["report"]["sightings"]] == list(range(4, 24))
    assert {judged["list"] for judged in answer["report"]["sightings"]} == {"positions"}


def test_keys_left_out_stay_as_they_were(bench: Desk) -> None:
    put(bench, positions=[{"cross": "A", "at": [1, 2]}], unit="in")
    answer = put(bench, distances=[{"from": "A", "to": "B", "length": 12}])
    assert answer["sightings"]["positions"] == [{"cross": "A", "at": [1, 2]}]
    assert answer["sightings"]["unit"] == "in"


def test_another_grid_brings_its_own_crosses(bench: Desk) -> None:
    assert list(put(bench, grid=[3, 3])["sightings"]["crosses"]) == list("ABCDEFGHI")
    moved = {"A": [70.5, 70.5]}
    crosses = put(bench, crosses=put(bench)["sightings"]["crosses"] | moved)["sightings"]["crosses"]
    assert crosses["A"] == [70.5, 70.5]
    assert put(bench, grid=[3, 3])["sightings"]["crosses"] == crosses, "the same grid keeps nudged crosses"


@pytest.mark.parametrize(
    ("unit", "written"),
    [
        ("mm", lambda mm: mm),
        ("in", lambda mm: mm / 25.4),
        ("in", lambda mm: f"{mm:.4f} mm"),
        ("in", lambda mm: f"{mm / 25.4:.6f}"),
        ("mm", lambda mm: f"{mm / 25.4:.6f} in"),
        ("mm", lambda mm: f"{mm / 25.4:.6f}\u2033"),
        ("mm", lambda mm: f" {mm:.4f} "),
        ("mm", lambda mm: f"{mm:.4f}".replace(".", ",").replace("-", "\u2212")),
    ],
    ids=["mm", "inches", "mm in inches", "bare in inches", "inches in mm", "marks", "blanks", "comma"],
)
def test_figures_and_words_in_either_unit_mean_the_same(bench: Desk, unit: str, written: Any) -> None:
    """Places left of and above the origin are negative, whatever the notation."""
    rows = [{"cross": name, "at": [written(x), written(y)]} for name, (x, y) in landed(bench).items()]
    assert any(min(at) < 0 for at in landed(bench).values()), "the test needs places beyond the origin"
    answer = put(bench, unit=unit, positions=rows)
    assert answer["refusal"] is None
    assert answer["report"]["error"]["pixel_mm"] == pytest.approx(0.65, abs=0.02)
    assert max(judged["residual_mm"] for judged in answer["report"]["sightings"]) < 0.1


def test_a_figure_that_is_not_understood_is_kept_and_named(bench: Desk) -> None:
    rows = [{"from": "A", "to": "B", "length": "300 mm"}, {"from": "A", "to": "C", "length": "3 elbows"}]
    answer = put(bench, distances=rows)
    assert answer["sightings"]["distances"] == rows
    assert answer["refusal"]["field"] == "distances.1.length"
    assert answer["refusal"]["sentence"].startswith("A to C: '3 elbows' is not a length")


def test_a_calibration_belongs_to_the_sightings_that_are_kept(bench: Desk) -> None:
    rows = [{"cross": name, "at": at} for name, at in landed(bench).items()]
    put(bench, positions=rows)
    assert bench.get("/api/benches/1")["calibrated"] is True
    put(bench, positions=rows[:2])
    assert bench.get("/api/benches/1")["calibrated"] is False
    put(bench, positions=rows)
    assert bench.get("/api/benches/1")["calibrated"] is True


def test_the_sighting_to_take_again_is_named(bench: Desk) -> None:
    rows: list[dict[str, Any]] = [{"cross": name, "at": at, "sigma": 0.3} for name, at in landed(bench).items()]
    rows[7] = rows[7] | {"at": [rows[7]["at"][0] + 10, rows[7]["at"][1]]}
    report = put(bench, positions=[{}, *rows])["report"]
    worst = report["sightings"][report["worst"]["index"]]
    assert (worst["list"], worst["row"], worst["names"]) == ("positions", 8, ["H"])


def test_sightings_of_a_mirrored_tape_bench_are_kept_so(bench: Desk) -> None:
    assert put(bench, mirrored=True)["sightings"]["mirrored"] is True
    assert put(bench, mirrored=None)["sightings"]["mirrored"] is None


def test_lens_rows_are_read(bench: Desk) -> None:
    rows = [{"cross": name, "at": at} for name, at in landed(bench).items()]
    x, y, z = TRUE.position
    lens = [
        {"height": f"{z} mm", "sigma": 5},
        {"foot": [x, y], "sigma": 5},
        {"slant": ""},
        {"cross": "A", "slant": None},
    ]
    answer = put(bench, positions=rows, lens=lens)
    kinds = [judged["kind"] for judged in answer["report"]["sightings"] if judged["list"] == "lens"]
    assert kinds == ["height", "foot"]


def test_a_mark_whose_cross_was_moved_includes_the_step() -> None:
    """The stated sigma is the hand's; half a pixel more or less is left by the cross's own step (rectangle: s / sqrt 12)."""
    kept = typed_sightings.empty((1920, 1080))
    pixel = 0.65
    crosses = {name: [x + 3.0, y] if name in "AB" else [x, y] for name, (x, y) in kept["crosses"].items()}
    crosses["C"] = [crosses["C"][0] + 0.3, crosses["C"][1]]
    rows: list[dict[str, Any]] = [
        {"cross": name, "at": [pixel * u, pixel * v]} for name, (u, v) in crosses.items() if name in "ABCD"
    ]
    rows[0]["sigma"] = 0.25
    rows[3]["sigma"] = 0.4
    whole = typed_sightings.complete(kept | {"crosses": crosses, "positions": rows}, (1920, 1080))
    found = {row["cross"]: row.get("sigma") for row in whole.document["positions"]}
    assert found["A"] == pytest.approx(np.hypot(0.25, pixel / 12**0.5))
    assert found["B"] == pytest.approx(np.hypot(0.3, pixel / 12**0.5)), (
        "unstated: the hand that moves a cross onto a mark"
    )
    assert found["C"] == pytest.approx(np.hypot(0.3, 0.1 * pixel / 12**0.5)), "a tenth of a pixel is another step"
    assert found["D"] == 0.4, "this one was measured where it stood"
    assert rows[0]["sigma"] == 0.25, "what was typed stays as it was typed"


def test_the_step_follows_the_pixel_on_the_table() -> None:
    kept = typed_sightings.empty((1920, 1080))
    crosses = {name: [x + 1.0, y] for name, (x, y) in kept["crosses"].items()}
    sigmas = []
    for pixel in (0.5, 2.0):
        rows = [
            {"cross": name, "at": [pixel * u / 25.4, pixel * v / 25.4], "sigma": "0.1 mm"}
            for name, (u, v) in crosses.items()
        ]
        whole = typed_sightings.complete(kept | {"unit": "in", "crosses": crosses, "positions": rows}, (1920, 1080))
        sigmas.append(whole.document["positions"][0]["sigma"])
    assert sigmas == pytest.approx([np.hypot(0.1, pixel / 12**0.5) for pixel in (0.5, 2.0)])
    alone = kept | {"crosses": crosses, "positions": [{"cross": "A", "at": [1, 2]}]}
    assert 0.3 < typed_sightings.complete(alone, (1920, 1080)).document["positions"][0]["sigma"] < 0.4


def test_a_wrong_figure_beside_a_moved_cross_is_still_named(bench: Desk) -> None:
    crosses = bench.get("/api/benches/1")["sightings"]["crosses"] | {"A": [70.5, 64.5]}
    for row in (
        {"cross": "A", "at": 5},
        {"cross": "A", "at": [1, 2], "height": "two ells"},
        {"cross": "A", "at": [1, 2], "sigma": 0},
    ):
        answer = bench.put("/api/benches/1/sightings", {"crosses": crosses, "positions": [row]})
        assert answer["refusal"]["sentence"]


def test_every_kind_of_row_is_read_with_its_keys() -> None:
    """What is kept and what the adjustment reads use the same keys (the sightings file's)."""
    kept = typed_sightings.empty((1920, 1080)) | {
        "unit": "in",
        "positions": [{"cross": "A", "at": [1, 2], "height": 1, "sigma": 0.01}],
        "distances": [{"from": "A", "to": "B", "length": 3, "height": 0, "sigma": 0.02}],
        "lens": [{"cross": "A", "slant": 40}, {"height": 50}, {"foot": [10, 20]}],
    }
    complete = typed_sightings.complete(kept, (1920, 1080))
    assert complete.document["positions"] == [{"cross": "A", "at": [25.4, 50.8], "height": 25.4, "sigma": 0.254}]
    assert complete.document["distances"][0]["length"] == pytest.approx(76.2)
    assert complete.document["lens"][2]["foot"] == [254.0, 508.0]
    assert len(complete.rows) == 5
