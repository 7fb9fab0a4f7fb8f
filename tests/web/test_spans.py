"""A belt longer than the light over HTTP: planned, gone through, its crosses met, kept over a restart."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from server.services.light.pictures import placement
from tests.web.desk import Desk, open_desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """One application for all tests here: a belt of 1.34 m on the practice table, whose picture is 1.24 m wide."""
    opened = open_desk(tmp_path_factory.mktemp("spans") / "data")
    bench = opened.practice("marks", "block")
    thing = opened.post("/api/things", {"name": "Belt", "family": "strap", "measures": {"size": "1100 mm"}})["id"]
    pattern = opened.post("/api/patterns", {"thing": thing})["id"]
    opened.post("/api/layouts", {"pattern": pattern, "bench": bench})
    opened.window()
    yield opened
    opened.shop.close()


@pytest.fixture
def belt(desk: Desk) -> int:
    """The belt, without spans."""
    desk.post("/api/spans/1/end", {})
    return 1


def test_only_what_is_longer_than_the_light_needs_spans(desk: Desk, belt: int) -> None:
    told = desk.get(f"/api/spans/{belt}")
    assert {piece["name"]: piece["longer"] for piece in told["pieces"]} == {"strap": True, "keeper": False}
    assert told["work"] is None
    refused = desk.ask("POST", f"/api/spans/{belt}", {"piece": "keeper"})
    assert (refused.status_code, "needs no spans" in refused.get_json()["error"]["sentence"]) == (422, True)
    assert desk.ask("POST", f"/api/spans/{belt}/go", {"span": 1}).status_code == 409
    assert desk.ask("POST", f"/api/spans/{belt}/meet", {"way": "aim"}).status_code == 409


def test_a_belt_is_walked_span_by_span(desk: Desk, belt: int) -> None:
    work = desk.post(f"/api/spans/{belt}", {"piece": "strap", "ground": "waste"})["work"]
    first, second = work["spans"]
    assert (first["from_mm"], second["to_mm"]) == (0.0, pytest.approx(work["length_mm"], abs=0.1))
    assert first["draw"] == second["meet"] == ["A", "B", "C", "D"]
    assert first["error95_mm"] < second["error95_mm"]
    assert work["far"]["error95_mm"] >= max(work["far"]["lengthwise_mm"], work["far"]["sideways_mm"])
    assert desk.get(f"/api/layouts/{belt}")["placements"]["strap"] == first["lie"]
    assert {text["text"] for text in desk.frame()["texts"]} >= {"A", "B", "C", "D"}
    assert desk.ask("POST", f"/api/spans/{belt}/meet", {"way": "aim"}).status_code == 422

    assert desk.post(f"/api/spans/{belt}/go", {"span": 2})["work"]["at"] == 1
    assert desk.get(f"/api/layouts/{belt}")["placements"]["strap"] == second["lie"]
    desk.post("/api/practice/shift-leather", {})
    asked = desk.post(f"/api/spans/{belt}/meet", {"way": "aim"})
    assert asked["asked"] == "mark-A"
    for _ in range(4):
        desk.post("/api/practice/aim", {})
        asked = desk.post("/api/alignment/point", {})
    assert asked["asked"] is None
    desk.post("/api/alignment/lay", {})
    assert desk.post(f"/api/spans/{belt}/show", {})["work"]["at"] == 1
    assert desk.frame()["hand"] == {"kind": "span", "piece": "strap"}

    stage, truth = desk.shop.light.stage, desk.shop.practice._truth.now
    assert truth.piece is not None
    assert stage.laid is not None
    end = [[0.0, stage.laid.drafted.piece("strap").box()[3]]]
    off = placement(stage.lies()["strap"]).apply(end) - placement(truth.piece.lie).apply(end)
    assert np.hypot(*off[0]) < 2.0 * work["far"]["error95_mm"]


def test_marks_can_be_pushed_onto_the_crosses(desk: Desk, belt: int) -> None:
    desk.post(f"/api/spans/{belt}", {"piece": "strap", "ground": "piece"})
    desk.post(f"/api/spans/{belt}/go", {"span": 2})
    assert desk.post(f"/api/spans/{belt}/meet", {"way": "push"})["hand"] == {"kind": "push", "piece": "strap"}
    assert {text["text"] for text in desk.frame()["texts"]} == {"A", "B", "C", "D"}


def test_spans_outlive_a_restart_and_can_be_forgotten(desk: Desk, belt: int) -> None:
    desk.post(f"/api/spans/{belt}", {"piece": "strap"})
    work = desk.post(f"/api/spans/{belt}/go", {"span": 2})["work"]
    shop = desk.shop
    again = type(shop.spans)(shop.database, shop.light, shop.layouts, shop.alignment)
    assert again.told(belt)["work"] == work
    assert desk.post(f"/api/spans/{belt}/end", {})["work"] is None
    assert desk.frame()["hand"] is None
    assert desk.ask("POST", f"/api/spans/{belt}/go", {"span": 3}).status_code == 409


def test_a_span_that_is_not_there_is_refused(desk: Desk, belt: int) -> None:
    desk.post(f"/api/spans/{belt}", {"piece": "strap"})
    refused = desk.ask("POST", f"/api/spans/{belt}/go", {"span": 3})
    assert (refused.status_code, refused.get_json()["error"]["sentence"]) == (
        422,
        "There are 2 spans: choose one of them.",
    )
