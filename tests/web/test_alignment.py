"""Bringing the light to the leather over HTTP, on the practice table: what is asked, what is refused, where the light lies then."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from server.leather.piece import Piece
from server.services.light.pictures import placement
from server.services.practice.truth import Truth
from tests.web.desk import Desk, open_desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """One application for all tests here: a pouch laid on the calibrated practice table."""
    opened = open_desk(tmp_path_factory.mktemp("align") / "data")
    opened.layout(opened.practice("marks", "block"))
    opened.window()
    yield opened
    opened.shop.close()


@pytest.fixture
def layout(desk: Desk) -> int:
    """The pouch where it was first laid, its slots made, in the light; nothing has slipped."""
    first = {"front": {"x": 500.0, "y": 235.0, "turn": 0.0, "mirror": False}}
    desk.put("/api/layouts/1", {"step": "prick", "placements": first})
    desk.shop.practice._truth._keep(Truth())
    desk.post("/api/light", {"mode": "layout", "layout": 1})
    return 1


def front(desk: Desk) -> Piece:
    laid = desk.shop.light.stage.laid
    assert laid is not None
    return laid.drafted.piece("front")


def aim_all(desk: Desk, count: int) -> dict[str, Any]:
    told: dict[str, Any] = {}
    for _ in range(count):
        desk.post("/api/practice/aim", {})
        told = desk.post("/api/alignment/point", {})
    return told


def test_the_light_finds_the_leather_again(desk: Desk, layout: int) -> None:
    before = desk.get(f"/api/layouts/{layout}")["placements"]["front"]
    assert "slipped" in desk.post("/api/practice/shift-leather", {})["sentence"]
    told = desk.post("/api/alignment", {"layout": layout})
    assert (told["piece"], told["live"], told["result"]) == ("front", True, None)
    assert {feature["sort"] for feature in told["features"]} >= {"slot", "side"}
    told = aim_all(desk, 6)
    assert told["result"]["finding"] is None
    saved = desk.post("/api/alignment/lay", {})["placements"]["front"]
    assert saved != before
    assert saved == desk.get(f"/api/layouts/{layout}")["placements"]["front"]

    piece, stage, truth = front(desk), desk.shop.light.stage, desk.shop.practice._truth.now
    assert truth.piece is not None
    assert stage.bench is not None
    outline = piece.outline.flatten(0.2)
    lit = truth.projector.land(
        stage.bench.optics.to_picture(placement(stage.lies()["front"]).apply(outline), stage.height), stage.height
    )
    off = np.hypot(*(lit - placement(truth.piece.lie).apply(outline)).T)
    assert off.max() <= told["result"]["error95_mm"] * 1.3
    assert desk.get("/api/alignment") == {"live": False, "hand": None}
    assert desk.frame()["hand"] is None


def test_every_window_knows_of_the_cross_hair(desk: Desk, layout: int) -> None:
    desk.post("/api/alignment", {"layout": layout, "piece": "front"})
    hand = desk.frame()["hand"]
    assert hand["kind"] == "aim"
    assert desk.get("/api/state")["light"]["hand"] == hand
    moved = desk.post("/api/alignment/aim", {"pixel": [700.5, 400.2]})
    assert moved["pixel"] == [700.5, 400.2]
    back = desk.post("/api/alignment/aim", {"place": moved["place"]})
    assert back["pixel"] == pytest.approx([700.5, 400.2], abs=0.01)
    arms = [s for s in desk.frame()["strokes"] if s["kind"] == "chosen" and not s["closed"]]
    ends = np.array([s["points"] for s in arms]).reshape(-1, 2)
    assert ends.mean(axis=0) == pytest.approx([700.5, 400.2], abs=0.02)
    assert all(s["colour"] == "#7d7d7d" for s in desk.frame()["strokes"] if s["kind"] in ("cut", "stitch", "hole"))


def test_the_place_of_the_cross_hair_is_at_the_height_of_the_plies(desk: Desk, layout: int) -> None:
    desk.post("/api/alignment", {"layout": layout, "piece": "front"})
    stage = desk.shop.light.stage
    assert stage.bench is not None
    assert stage.height > 0
    place = desk.post("/api/alignment/aim", {"pixel": [200.0, 200.0]})["place"]
    assert place == pytest.approx(stage.bench.optics.to_table([[200.0, 200.0]], stage.height)[0], abs=1e-3)
    assert place != pytest.approx(stage.bench.optics.to_table([[200.0, 200.0]], 0.0)[0], abs=1e-2)


def test_a_place_can_be_chosen_and_left_out(desk: Desk, layout: int) -> None:
    desk.post("/api/practice/shift-leather", {})
    told = desk.post("/api/alignment", {"layout": layout})
    other = next(f["name"] for f in told["features"] if f["sort"] == "side")
    assert desk.post("/api/alignment/ask", {"feature": other})["asked"] == other
    told = aim_all(desk, 3)
    assert told["points"][0]["name"] == other
    told = desk.post("/api/alignment/drop", {"feature": other})
    assert other not in [point["name"] for point in told["points"]]
    assert told["asked"] == other


def test_nothing_is_saved_by_stopping(desk: Desk, layout: int) -> None:
    before = desk.get(f"/api/layouts/{layout}")["placements"]
    desk.post("/api/practice/shift-leather", {})
    desk.post("/api/alignment", {"layout": layout})
    aim_all(desk, 3)
    desk.post("/api/alignment/end", {})
    assert desk.get(f"/api/layouts/{layout}")["placements"] == before


def test_the_fit_alone_saves_nothing(desk: Desk, layout: int) -> None:
    told = desk.post("/api/alignment", {"layout": layout, "piece": "front"})
    stage = desk.shop.light.stage
    assert stage.bench is not None
    spots = {f["name"]: f["at"] for f in told["features"] if f["sort"] == "slot"}
    pixels = stage.bench.optics.to_picture(np.array(list(spots.values())) + np.array([12.0, -5.0]), stage.height)
    points = dict(zip(spots, pixels.tolist(), strict=True))
    lies = desk.get(f"/api/layouts/{layout}")["placements"]["front"]
    found = desk.post("/api/alignment/fit", {"layout": layout, "piece": "front", "points": points})
    assert found["placement"]["x"] == pytest.approx(lies["x"] + 12.0, abs=0.02)
    assert found["placement"]["y"] == pytest.approx(lies["y"] - 5.0, abs=0.02)
    assert found["rms_mm"] < 0.02
    assert desk.get(f"/api/layouts/{layout}")["placements"]["front"] == lies


def test_the_outline_to_push_against_is_bright_and_can_be_carried(desk: Desk, layout: int) -> None:
    desk.post("/api/alignment/push", {"layout": layout, "piece": "front"})
    frame = desk.frame()
    assert frame["hand"]["kind"] == "push"
    bright = [s for s in frame["strokes"] if s["width"] >= 4.0]
    assert [s["closed"] for s in bright].count(True) == 1
    assert len(bright) >= 5
    before = desk.get(f"/api/layouts/{layout}")["placements"]["front"]
    desk.post("/api/alignment/carry", {"from": [900, 500], "to": [910, 500], "done": False})
    assert desk.get(f"/api/layouts/{layout}")["placements"]["front"] == before
    desk.post("/api/alignment/carry", {"from": [900, 500], "to": [900, 500], "turn": 0.5, "done": True})
    after = desk.get(f"/api/layouts/{layout}")["placements"]["front"]
    assert after["turn"] == pytest.approx(before["turn"] + 0.5)
    left, top, right, bottom = front(desk).box()
    middle = [[(left + right) / 2, (top + bottom) / 2]]
    stage = desk.shop.light.stage
    assert stage.bench is not None
    ten = stage.bench.optics.to_table([[900.0, 500.0], [910.0, 500.0]], stage.height)
    laid = desk.shop.light.stage.lies()["front"]
    old = placement(type(laid)(**before)).apply(middle)[0]
    assert placement(laid).apply(middle)[0] - old == pytest.approx(ten[1] - ten[0], abs=1e-3)


def test_what_needs_the_cross_hair_says_so(desk: Desk, layout: int) -> None:
    needs: dict[str, tuple[object, int, str]] = {
        "aim": ({"pixel": [100, 100]}, 409, "cross-hair"),
        "point": ({}, 409, "cross-hair"),
        "lay": ({}, 409, "cross-hair"),
        "carry": ({"from": [1, 1], "to": [2, 2]}, 409, "outline"),
    }
    assert layout == 1
    for path, (body, status, word) in needs.items():
        answer = desk.ask("POST", f"/api/alignment/{path}", body)
        assert answer.status_code == status
        assert word in answer.get_json()["error"]["sentence"]
    both = desk.ask("POST", "/api/alignment/aim", {"pixel": [1, 1], "place": [1, 1]})
    assert (both.status_code, both.get_json()["error"]["field"]) == (422, "pixel")


def test_refusals_name_what_is_wrong(desk: Desk, layout: int) -> None:
    refused = {
        "no layout": desk.ask("POST", "/api/alignment", {"layout": 99}),
        "no piece": desk.ask("POST", "/api/alignment", {"layout": layout, "piece": "lid"}),
    }
    assert {name: answer.status_code for name, answer in refused.items()} == {"no layout": 404, "no piece": 404}
    desk.post("/api/alignment", {"layout": layout})
    outside = desk.ask("POST", "/api/alignment/aim", {"pixel": [5000, 10]})
    assert outside.status_code == 422
    assert "inside the picture" in outside.get_json()["error"]["sentence"]
    assert desk.ask("POST", "/api/alignment/ask", {"feature": "nose"}).status_code == 404
    assert desk.ask("POST", "/api/alignment/drop", {"feature": "nose"}).status_code == 404
    assert desk.ask("POST", "/api/alignment/lay", {}).status_code == 422


@pytest.mark.usefixtures("layout")
def test_a_real_benchs_leather_is_moved_by_hand(desk: Desk) -> None:
    bench = desk.post("/api/benches", {"name": "Garage", "width": 1920, "height": 1080})["id"]
    real = desk.post("/api/layouts", {"pattern": 1, "bench": bench})["id"]
    assert desk.ask("POST", "/api/alignment", {"layout": real}).status_code == 409
    assert desk.ask("POST", "/api/practice/aim", {}).status_code == 409


@pytest.mark.usefixtures("layout")
def test_leather_that_slipped_is_seen_and_kept_over_a_restart(desk: Desk) -> None:
    assert desk.landing()["pieces"] == []
    desk.post("/api/practice/shift-leather", {"piece": "front"})
    (piece,) = desk.landing()["pieces"]
    assert piece["name"] == "front"
    assert len(piece["rings"]) == 3
    assert "lie" not in piece
    again = type(desk.shop.practice._truth)(desk.shop.database, np.random.default_rng(1))
    assert again.now == desk.shop.practice._truth.now
