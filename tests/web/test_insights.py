"""What a bench tells beyond the fit: tolerance, the next sighting, mistakes, and where the error comes from."""

from __future__ import annotations

import pytest

from server.services.bench.insights import mistake_of
from tests.web.desk import Desk

SOURCES = ["sightings", "lens position", "shared", "thickness", "pixel"]


def test_pieces_meet_the_tolerance_or_do_not(desk: Desk) -> None:
    layout = desk.layout(desk.practice("marks", "block"))
    found = desk.get(f"/api/layouts/{layout}")
    assert found["tolerance_mm"] == 0.5
    for piece in found["pieces"]:
        assert piece["error_mm"] == found["errors"][piece["name"]]
        assert piece["met"] is (piece["error_mm"] <= 0.5)
    for tolerance, met in ((10, True), (0.05, False)):
        desk.put("/api/benches/1", {"tolerance": tolerance})
        assert {piece["met"] for piece in desk.get(f"/api/layouts/{layout}")["pieces"]} == {met}
    desk.put("/api/benches/1/sightings", {"positions": []})
    unknown = desk.get(f"/api/layouts/{layout}")["pieces"]
    assert {(piece["error_mm"], piece["met"]) for piece in unknown} == {(None, None)}


def test_a_bare_number_of_leather_is_mm(desk: Desk) -> None:
    layout = desk.layout(desk.practice("marks"))
    assert desk.put(f"/api/layouts/{layout}", {"leather": 1.8})["leather_mm"] == 1.8
    assert desk.put(f"/api/layouts/{layout}", {"leather": 2})["leather"] == "2 mm"


def test_the_insight_of_a_good_bench_names_no_mistake(desk: Desk) -> None:
    bench = desk.practice("marks", "block")
    found = desk.get(f"/api/benches/{bench}/insight")
    assert found["mistake"] is None
    assert found["refusal"] is None
    assert len(found["ellipses"]) == 54
    assert [row["source"] for row in found["budget"]["rows"]] == SOURCES
    assert (
        found["next"]["worst_then"] < found["next"]["worst_now"] == pytest.approx(found["budget"]["worst_mm"], rel=1e-9)
    )
    wide = desk.get(f"/api/benches/{bench}/insight?tolerance=5&height=4")
    assert (wide["met"], wide["next"], wide["tolerance_mm"], wide["height"]) == (True, None, 5.0, 4.0)
    assert wide["budget"]["rows"][3]["mm"] > found["budget"]["rows"][3]["mm"] == 0.0


def test_the_bench_s_own_tolerance_is_the_default(desk: Desk) -> None:
    bench = desk.practice("marks")
    desk.put(f"/api/benches/{bench}", {"tolerance": 7.5})
    assert desk.get(f"/api/benches/{bench}/insight")["tolerance_mm"] == 7.5


def test_the_insight_may_look_only_where_the_pieces_lie(desk: Desk) -> None:
    layout = desk.layout(desk.practice("marks", "block"))
    found = desk.get(f"/api/benches/1/insight?layout={layout}")
    lying = desk.get(f"/api/layouts/{layout}")
    assert found["height"] == lying["height"]
    worst = max(lying["errors"].values())
    assert worst == pytest.approx(found["budget"]["worst_mm"], rel=1e-9), "the layout states what the budget adds up to"
    assert found["met"] is all(piece["met"] for piece in lying["pieces"])
    assert len(found["ellipses"]) <= 60
    assert found["budget"]["worst_mm"] < desk.get("/api/benches/1/insight")["budget"]["worst_mm"]


def test_a_mistake_is_named_with_its_row(desk: Desk) -> None:
    bench = desk.practice("tape")
    rows = desk.get(f"/api/benches/{bench}")["sightings"]["distances"]
    rows[4]["length"] = float(f"{rows[4]['length'] + 30:.1f}")
    desk.put(f"/api/benches/{bench}/sightings", {"distances": [{}, *rows]})
    mistake = desk.get(f"/api/benches/{bench}/insight")["mistake"]
    assert (mistake["kind"], mistake["list"], mistake["row"]) == ("sighting", "distances", 5)
    assert mistake["names"] == [rows[4]["from"], rows[4]["to"]]
    assert mistake["size"] == pytest.approx(30, abs=2)


def test_a_mistake_that_no_fit_survives_is_named_too(desk: Desk) -> None:
    bench = desk.practice("marks")
    rows = desk.get(f"/api/benches/{bench}")["sightings"]["positions"]
    rows[3]["at"] = [rows[3]["at"][0] + 400, rows[3]["at"][1]]
    answer = desk.put(f"/api/benches/{bench}/sightings", {"positions": rows})
    assert answer["report"] is None
    found = desk.get(f"/api/benches/{bench}/insight")
    assert (found["mistake"]["list"], found["mistake"]["row"]) == ("positions", 3)
    assert (found["budget"], found["met"], found["refusal"]) == (None, False, answer["refusal"]["sentence"])


def test_an_insight_is_told_before_anything_is_sighted(desk: Desk) -> None:
    found = desk.get(f"/api/benches/{desk.practice()}/insight")
    assert (found["mistake"], found["budget"], found["ellipses"], found["next"]) == (None, None, [], None)
    assert found["refusal"]


def test_the_search_for_a_mistake_is_made_once(desk: Desk) -> None:
    bench = desk.practice("marks")
    rows = desk.get(f"/api/benches/{bench}")["sightings"]["positions"]
    rows[3]["at"] = [rows[3]["at"][0] + 7.25, rows[3]["at"][1]]
    desk.put(f"/api/benches/{bench}/sightings", {"positions": rows})
    mistake_of.cache_clear()
    answers = [desk.get(f"/api/benches/{bench}/insight?height={height}")["mistake"] for height in (0, 2, 4, 0)]
    assert mistake_of.cache_info().misses == 1
    assert all(answer == answers[0] is not None for answer in answers)
