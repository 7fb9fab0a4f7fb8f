"""How the light is seen: choices kept and used, the numbers told, blackout, and frames addressed to one size of window."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.web.desk import Desk, open_desk

PATH = "/api/layouts/1/seeing"


@pytest.fixture
def table(desk: Desk) -> Desk:
    """A calibrated practice bench with layout 1 in the light, all steps at once, on a window that fits."""
    desk.layout(desk.practice("marks", "block"))
    desk.put("/api/layouts/1", {"step": None})
    desk.window()
    desk.post("/api/light", {"mode": "layout", "layout": 1})
    return desk


def refused(desk: Desk, body: Any, status: int = 422) -> str | None:
    answer = desk.ask("PUT", PATH, body)
    assert answer.status_code == status, answer.get_data(as_text=True)
    field: str | None = answer.json["error"]["field"]  # type: ignore[index]
    return field


def test_what_is_told_of_each_kind(table: Desk) -> None:
    told = table.get(PATH)
    assert [kind["kind"] for kind in told["kinds"]] == ["cut", "slot", "stitch", "hole", "fold", "mark"]
    assert told["own"] is False
    cut = told["kinds"][0]
    entry = next(colour for colour in told["palette"] if colour["name"] == cut["name"])
    assert (cut["ratio"], cut["verdict"]) == (entry["ratio"], entry["verdict"])
    assert told["white_lux"] == pytest.approx(told["usual_lumens"] / told["area_m2"], rel=0.01)
    brighter = table.put(PATH, {"room": "bright", "lumens": 2000})
    assert brighter["kinds"][0]["ratio"] < cut["ratio"]
    assert table.put(PATH, {"leather": "black"})["best_verdict"] == "faint"


def test_colours_weight_and_moving_things_reach_the_light_and_outlive_a_restart(table: Desk, tmp_path: Path) -> None:
    table.put(PATH, {"colours": {"cut": "orange"}, "weight": "4 px", "blink": "hole", "runner": True})
    frame = table.frame()
    cut = next(stroke for stroke in frame["strokes"] if stroke["kind"] == "cut")
    stitch = next(stroke for stroke in frame["strokes"] if stroke["kind"] == "stitch")
    assert (cut["colour"], cut["width"]) == ("#e69f00", 4.0)
    assert (stitch["width"], stitch["dash"]) == (3.0, [12.0, 8.0])
    assert (frame["blink"], frame["runner"]) == ("hole", True)
    table.shop.close()
    again = open_desk(tmp_path / "data")
    again.window()
    assert again.frame()["strokes"] == frame["strokes"]
    assert again.put(PATH, {"blink": None})["blink"] is None
    assert again.frame()["blink"] is None
    again.shop.close()


def test_a_piece_lit_whole_in_the_light_and_on_the_practice_table(table: Desk) -> None:
    lines = table.frame()
    table.put(PATH, {"fill": True})
    frame = table.frame()
    assert [len(area["rings"]) for area in frame["areas"]] == [3, 1]
    outlines = [stroke["points"] for stroke in lines["strokes"] if stroke["kind"] == "cut" and stroke["closed"]]
    assert [area["rings"][0] for area in frame["areas"]] == outlines
    assert {stroke["colour"] for stroke in frame["strokes"]} == {"#000000"}
    landed = table.landing()["areas"]
    assert [len(area["rings"]) for area in landed] == [3, 1]


def test_what_is_kept_for_a_leather_comes_with_it_elsewhere(table: Desk) -> None:
    table.put(PATH, {"leather": "navy", "fill": True, "weight": "3 px"})
    assert table.post(f"{PATH}/keep", {})["kept"] == ["navy"]
    table.layout(1)
    other = "/api/layouts/2/seeing"
    assert table.get(other)["fill"] is False
    assert table.put(other, {"leather": "tan"})["fill"] is False
    moved = table.put(other, {"leather": "navy"})
    assert (moved["fill"], moved["weight"]) == (True, "3 px")
    assert table.put(PATH, {"fill": False})["fill"] is False
    assert table.get(other)["fill"] is True


def test_choices_of_no_use_are_refused_by_name_and_change_nothing(table: Desk) -> None:
    before = table.get(PATH)
    assert refused(table, {"leather": "plaid"}) == "leather"
    assert refused(table, {"weight": "0.2 px"}) == "weight"
    assert refused(table, {"colours": {"cut": "mauve"}}) == "colours"
    assert refused(table, {"blink": "thread"}) == "blink"
    assert refused(table, {"room": "outdoors"}) == "room"
    assert refused(table, {"room": "dim", "lumens": 5}) == "lumens"
    assert refused(table, {"glow": True}) == "glow"
    assert table.ask("PUT", "/api/layouts/9/seeing", {"fill": True}).status_code == 404
    assert table.get(PATH) == before


def test_blackout_shows_nothing_and_comes_back_as_it_was(table: Desk) -> None:
    before = table.frame()
    assert table.post("/api/light/blackout", {"on": True}) == {"on": True}
    black = table.frame()
    assert (black["black"], black["strokes"], black["areas"], black["texts"]) == (True, [], [], [])
    assert black["sentence"] is None
    assert black["version"] > before["version"]
    assert table.get("/api/state")["light"]["blackout"] is True
    assert table.landing()["strokes"] == []
    table.put("/api/layouts/1", {"step": "cut-front"})
    assert table.frame()["strokes"] == [], "what is chosen meanwhile waits in the dark"
    table.put("/api/layouts/1", {"step": None})
    table.post("/api/light/blackout", {"on": False})
    assert table.frame()["strokes"] == before["strokes"]
    assert table.get("/api/state")["light"]["blackout"] is False
    assert table.ask("POST", "/api/light/blackout", {"on": "yes"}).status_code == 422


def test_a_restart_ends_a_blackout_and_is_another_run(table: Desk, tmp_path: Path) -> None:
    before = table.frame()
    table.post("/api/light/blackout", {"on": True})
    table.shop.close()
    again = open_desk(tmp_path / "data")
    again.window()
    frame = again.frame()
    assert frame["strokes"] == before["strokes"]
    assert frame["run"] != before["run"]
    again.shop.close()


def test_a_frame_says_for_which_window_it_was_made(table: Desk) -> None:
    assert table.frame()["made_for"] == [1920, 1080, 1]
    table.window(1280, 720)
    frame = table.frame()
    assert (frame["made_for"], frame["strokes"]) == ([1280, 720, 1], [])
    table.window(800, 600, "w2")
    waiting = table.frame("w2")
    assert (waiting["waiting"], waiting["made_for"], waiting["strokes"]) == (True, [800, 600, 1], [])
    assert table.frame("w3")["made_for"] is None


@pytest.mark.parametrize(
    ("ratio", "more", "zoom"),
    [
        (1.1, {"fullscreen": True, "screen": {"width": 1920, "height": 1080}}, "110 %"),
        (0.9, {"fullscreen": True, "screen": {"width": 1920, "height": 1080}}, "90 %"),
        (1.25, {"fullscreen": True, "screen": {"width": 1536, "height": 864}}, None),
        (1.1, {"fullscreen": False, "outer": 1920}, "110 %"),
        (1.0, {"fullscreen": False, "outer": 1936}, None),
    ],
)
def test_a_zoomed_window_of_the_right_size_is_refused(table: Desk, ratio: float, more: Any, zoom: str | None) -> None:
    table.post("/api/window", {"window": "w1", "width": 1920, "height": 1080, "ratio": ratio, **more})
    frame = table.frame()
    if zoom is None:
        assert frame["sentence"] is None
        assert frame["strokes"]
    else:
        assert zoom in frame["sentence"]
        assert frame["strokes"] == []
