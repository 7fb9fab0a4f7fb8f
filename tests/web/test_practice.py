"""The practice workshop: the whole job, and where the light really lands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from calibration.bench import Bench
from server.errors import Refusal
from server.practice.hand import TAPE_DISTANCES, Hand, corners, spread
from server.practice.projector import TRUE
from server.practice.workshop import PANEL
from server.services.practice.landings import Table, surface
from tests.web.desk import Desk, open_desk

PIXEL_MM = 0.65
SIDES = ("top", "bottom", "left", "right")


def check_lengths(desk: Desk, bench: int, size: float = 300.0) -> dict[str, float]:
    """Return how long the check figure's lines really are on the practice table, mm."""
    desk.post("/api/light", {"mode": "check", "bench": bench, "size": size})
    readings: dict[str, float] = desk.landing()["readings"]
    return readings


def test_before_calibration_the_square_is_crooked_and_of_the_wrong_size(desk: Desk) -> None:
    read = check_lengths(desk, desk.practice())
    assert max(abs(read[side] - 300) for side in SIDES) > 5
    assert abs(read["left"] - read["right"]) > 2
    assert abs(read["top"] - read["bottom"]) > 2


@pytest.mark.parametrize("ways", [("marks",), ("tape",), ("marks", "block"), ("tape", "block")])
def test_after_calibration_the_square_measures_300_mm(desk: Desk, ways: tuple[str, ...]) -> None:
    read = check_lengths(desk, desk.practice(*ways))
    assert [read[side] for side in SIDES] == pytest.approx([300.0] * 4, abs=PIXEL_MM / 2)
    assert read["diagonal-down"] == pytest.approx(300 * 2**0.5, abs=PIXEL_MM)


def test_the_practice_bench_keeps_its_promise_over_the_whole_picture(desk: Desk) -> None:
    """The light of known marks lands within half a pixel for 95 % of the picture, and within what is predicted."""
    bench = desk.shop.benches.record(desk.practice("marks", "block"))
    assert bench.calibration is not None
    optics = Bench.from_json(bench.calibration)
    pixels = np.random.default_rng(3).uniform([0, 0], [1920, 1080], (2000, 2))
    for height in (0.0, 2.0, 8.0):
        believed = optics.to_table(pixels, height)
        off = np.linalg.norm(believed - TRUE.land(pixels, height), axis=1)
        assert np.percentile(off, 95) < PIXEL_MM / 2
        promised = optics.error95(believed, height)
        assert (off < promised).mean() > 0.75, "one bench is one draw: 95 % holds over many (tests/bench)"
        assert (off < 2 * promised).mean() > 0.99


def test_taking_sightings_again_replaces_those_of_the_same_crosses(desk: Desk) -> None:
    bench = desk.practice("marks", "block", "marks", "block")
    positions = desk.get(f"/api/benches/{bench}")["sightings"]["positions"]
    assert len(positions) == 20 + 4
    desk.post("/api/practice/sight", {"bench": bench, "way": "tape", "replace": True})
    sightings = desk.get(f"/api/benches/{bench}")["sightings"]
    assert sightings["positions"] == []
    assert len(sightings["distances"]) == TAPE_DISTANCES


def test_sightings_have_a_hand_s_noise() -> None:
    crosses = {"A": (100.5, 100.5), "B": (1800.5, 100.5), "C": (1800.5, 1000.5), "D": (100.5, 1000.5)}
    true = TRUE.land(np.array(list(crosses.values())))
    hand = Hand(TRUE, np.random.default_rng(5))
    seen = np.array([[row["at"] for row in hand.marks(crosses)] for _ in range(400)]) - true
    assert seen.std() == pytest.approx(0.25, rel=0.1)
    assert abs(seen.mean()) < 0.03
    lengths = {(row["from"], row["to"]): [] for row in hand.tape(crosses)}  # type: ignore[var-annotated]
    for _ in range(400):
        for row in hand.tape(crosses):
            lengths[row["from"], row["to"]].append(row["length"])
    names = list(crosses)
    for (start, end), read in lengths.items():
        true_length = np.hypot(*(true[names.index(end)] - true[names.index(start)]))
        assert np.mean(read) == pytest.approx(true_length, abs=0.06)
        assert np.std(read) == pytest.approx(0.3, rel=0.15)


@pytest.mark.parametrize(("columns", "rows"), [(5, 4), (3, 3), (2, 2), (9, 2)])
def test_tape_and_block_use_crosses_spread_over_the_picture(columns: int, rows: int) -> None:
    places = [(x, y) for y in np.linspace(50, 1030, rows) for x in np.linspace(50, 1870, columns)]
    crosses = dict(zip("ABCDEFGHIJKLMNOPQRSTUVWXYZ", places, strict=False))
    names = list(crosses)
    assert corners(crosses) == sorted({names[0], names[columns - 1], names[-columns], names[-1]})
    nine = spread(crosses, 9)
    assert len(nine) == min(9, len(names))
    tape = Hand(TRUE, np.random.default_rng(1)).tape(crosses)
    pairs = {frozenset((row["from"], row["to"])) for row in tape}
    assert len(pairs) == len(tape) == min(TAPE_DISTANCES, len(nine) * (len(nine) - 1) // 2)


def test_a_block_under_tape_is_taped_too(desk: Desk) -> None:
    bench = desk.practice("tape", "block")
    sightings = desk.get(f"/api/benches/{bench}")["sightings"]
    assert sightings["positions"] == [], "known marks would fix a frame that tape has chosen otherwise"
    assert {row["height"] for row in sightings["distances"]} == {0.0, 100.0}


def test_light_lands_on_the_leather_where_there_is_leather_and_on_the_table_elsewhere() -> None:
    pixels = np.random.default_rng(8).uniform([0, 0], [1920, 1080], (500, 2))
    places, on = surface(pixels, Table(TRUE, 4.0))
    assert 0.1 < on.mean() < 0.9
    assert places[on] == pytest.approx(TRUE.land(pixels[on], 4.0))
    assert places[~on] == pytest.approx(TRUE.land(pixels[~on], 0.0))
    assert (places[on] >= [PANEL.x, PANEL.y]).all()
    assert (places[on] <= [PANEL.x + PANEL.width, PANEL.y + PANEL.height]).all()
    step = np.linalg.norm(TRUE.land(pixels, 4.0) - TRUE.land(pixels, 0.0), axis=1)
    assert step.max() > 0.5, "4 mm of leather moves the light visibly"
    flat, none = surface(pixels, Table(TRUE, 0.0))
    assert not none.any()
    assert flat == pytest.approx(TRUE.land(pixels, 0.0))


@pytest.fixture
def laid(desk: Desk) -> Desk:
    """The practice pouch in the light, in the middle of the leather."""
    layout = desk.layout(desk.practice("marks", "block"))
    desk.post("/api/light", {"mode": "layout", "layout": layout})
    return desk


def true_points(landing: dict[str, Any], kind: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return all points of the landed strokes of one kind, mm."""
    return np.concatenate([np.reshape(s["points"], (-1, 2)) for s in landing["strokes"] if s["kind"] == kind])


def test_the_pouch_lands_at_true_size_on_the_leather(laid: Desk) -> None:
    """The front is 5 3/4 x 5 3/4 in; its outline in the light is measured on the practice leather."""
    landing = laid.landing()
    assert landing["leather"]["thickness"] == pytest.approx(1.786, abs=0.001)
    cut = true_points(landing, "cut")
    size = cut.max(axis=0) - cut.min(axis=0)
    assert size == pytest.approx([146.05, 146.05], abs=PIXEL_MM / 2)
    front = laid.get("/api/layouts/1")["placements"]["front"]
    middle = (cut.max(axis=0) + cut.min(axis=0)) / 2
    assert middle == pytest.approx([front["x"], front["y"] + 146.05 / 2], abs=PIXEL_MM / 2)


def test_a_line_over_the_leather_s_edge_is_broken_there(laid: Desk) -> None:
    laid.put("/api/layouts/1", {"show": {"mark": False}})
    assert len(laid.landing()["strokes"]) == 1
    laid.post("/api/light/move", {"layout": 1, "piece": "front", "x": PANEL.x, "y": PANEL.y + 100.0})
    strokes = laid.landing()["strokes"]
    assert len(strokes) == 2
    assert [stroke["closed"] for stroke in strokes] == [False, False]


def test_the_table_sees_the_same_light_as_the_projector_window(laid: Desk) -> None:
    """Tracing the window's frame by hand gives what the practice table shows."""
    laid.window()
    laid.post("/api/light", {"mode": "crosses", "bench": 1})
    frame, landing = laid.frame(), laid.landing()
    assert landing["version"] == frame["version"]
    assert len(landing["strokes"]) == len(frame["strokes"])
    for shown, landed in zip(frame["strokes"], landing["strokes"], strict=True):
        ends = TRUE.land(np.reshape(shown["points"], (-1, 2)))[[0, -1]]
        assert np.reshape(landed["points"], (-1, 2))[[0, -1]] == pytest.approx(ends, abs=0.002)


def test_practice_goes_on_without_a_fitting_window(laid: Desk) -> None:
    laid.window(1280, 720)
    assert laid.frame()["sentence"]
    assert laid.landing()["strokes"]


def test_light_on_another_bench_is_said_on_the_practice_table(laid: Desk) -> None:
    laid.post("/api/benches", {"name": "Garage", "width": 1920, "height": 1080})
    laid.post("/api/light", {"mode": "frame", "bench": 2})
    landing = laid.landing()
    assert landing["strokes"] == []
    assert landing["sentence"]


def test_the_rule_lies_along_the_figure_and_reads_with_a_hand_s_noise(desk: Desk) -> None:
    bench = desk.practice("marks")
    true = check_lengths(desk, bench)
    landing = desk.landing()
    corner = true_points(landing, "check")[0]
    assert (landing["rule"]["x"], landing["rule"]["y"]) == pytest.approx(tuple(corner), abs=0.01)
    reads = [desk.post("/api/practice/read", {"size": 300})["readings"]["top"] for _ in range(200)]
    assert np.mean(reads) == pytest.approx(true["top"], abs=0.06)
    assert np.std(reads) == pytest.approx(0.2, rel=0.25)


def test_the_rule_reads_only_what_is_shown(desk: Desk) -> None:
    bench = desk.practice("marks")
    desk.post("/api/light", {"mode": "check", "bench": bench, "size": 200})
    assert desk.ask("POST", "/api/practice/read", {"size": 300}).status_code == 409
    assert desk.post("/api/practice/read", {"size": 200})["readings"]["left"] == pytest.approx(200, abs=1.5)


def test_a_check_on_leather_is_read_on_leather(desk: Desk) -> None:
    bench = desk.practice("marks", "block")
    desk.post("/api/light", {"mode": "check", "bench": bench, "size": 300, "height": 6})
    landing = desk.landing()
    assert landing["leather"]["thickness"] == 6
    assert landing["readings"]["top"] == pytest.approx(300, abs=PIXEL_MM / 2)


def test_starting_twice_makes_one_workshop(desk: Desk) -> None:
    first = desk.post("/api/practice/start", {})
    desk.post("/api/practice/sight", {"bench": first["bench"], "way": "marks"})
    assert desk.post("/api/practice/start", {}) == first
    assert len(desk.get("/api/benches")) == len(desk.get("/api/things")) == 1
    assert desk.get("/api/state")["bench"]["calibrated"] is True


def test_the_calibration_never_learns_the_truth(desk: Desk) -> None:
    """Another hand, another result: nothing of the true projector reaches the fit but the sightings."""
    bench = desk.practice("marks")
    first = desk.get(f"/api/benches/{bench}")["report"]["error"]
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    assert desk.get(f"/api/benches/{bench}")["report"]["error"] != first


@pytest.mark.parametrize("height", [-1.0, TRUE.position[2], 5000.0])
def test_light_does_not_land_above_the_lens(height: float) -> None:
    with pytest.raises(Refusal):
        TRUE.land(np.array([[960.0, 540.0]]), height)


def test_the_practice_picture_is_believable() -> None:
    """About 1.25 m wide from a lens 1.9 m up, a few degrees of keystone, TV distortion near 0.7 %."""
    edge = np.array([[0, 0], [1920, 0], [1920, 1080], [0, 1080]], dtype=float)
    top_left, top_right, bottom_right, bottom_left = TRUE.land(edge)
    assert np.hypot(*(top_right - top_left)) == pytest.approx(1250, abs=30)
    assert TRUE.position[2] == pytest.approx(1900, abs=50)
    left, right = np.hypot(*(bottom_left - top_left)), np.hypot(*(bottom_right - top_right))
    assert abs(left / right - 1) > 0.01, "keystone"
    level = type(TRUE)(TRUE.position, 0, 0, 0, TRUE.throw, TRUE.shift, TRUE.picture, TRUE.bend)
    tops, bottoms = (level.land(np.array([[0.0, y], [960.0, y], [1920.0, y]]))[:, 1] for y in (0.0, 1080.0))
    left_height, middle_height, right_height = bottoms - tops
    tv = ((left_height + right_height) / 2 - middle_height) / middle_height
    assert 100 * tv == pytest.approx(0.7, abs=0.05), "TV distortion: mean height of the sides over that of the middle"


def test_two_workshops_do_not_share_a_hand(tmp_path: Path) -> None:
    reports = []
    for name in ("one", "two"):
        desk = open_desk(tmp_path / name)
        bench = desk.practice("marks")
        reports.append(desk.get(f"/api/benches/{bench}")["report"]["error"])
        desk.shop.close()
    assert reports[0] == reports[1], "the tests' hand is seeded, so that a failure can be repeated"
