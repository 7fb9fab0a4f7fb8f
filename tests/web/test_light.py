"""What the light shows: modes, windows that do not fit, drags, and what is saved."""

from __future__ import annotations

import threading
from typing import Any

import numpy as np
import pytest

from server.output.line_styles import STYLES
from server.services.light import frames, pictures
from server.services.light.windows import KEPT, Windows, WindowSize
from server.services.table.layouts import LayoutChange
from server.services.table.lies import Lie, lie
from tests.web.desk import Desk

BENCH = {"name": "Garage", "width": 1920, "height": 1080}
SIZE = WindowSize(1920, 1080, 1.0, fullscreen=True)


@pytest.fixture
def table(desk: Desk) -> Desk:
    """A calibrated practice bench with layout 1 in the light, on a window that fits."""
    desk.layout(desk.practice("marks", "block"))
    desk.window()
    desk.post("/api/light", {"mode": "layout", "layout": 1})
    return desk


def points(frame: dict[str, Any], kind: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return all points of the strokes of one kind, px."""
    found = [np.array(stroke["points"]).reshape(-1, 2) for stroke in frame["strokes"] if stroke["kind"] == kind]
    return np.concatenate(found) if found else np.zeros((0, 2))


def test_a_dark_light_shows_nothing(desk: Desk) -> None:
    desk.practice()
    desk.window()
    frame = desk.frame()
    assert (frame["strokes"], frame["texts"], frame["sentence"]) == ([], [], None)


def test_crosses_stand_where_the_bench_has_them(desk: Desk) -> None:
    bench = desk.practice()
    desk.window()
    desk.post("/api/light", {"mode": "crosses", "bench": bench, "selected": "H"})
    frame, crosses = desk.frame(), desk.get(f"/api/benches/{bench}")["sightings"]["crosses"]
    assert {text["text"] for text in frame["texts"]} == set(crosses)
    assert points(frame, "chosen").mean(axis=0) == pytest.approx(crosses["H"], abs=0.01)
    desk.put(f"/api/benches/{bench}/sightings", {"crosses": crosses | {"H": [900.5, 400.5]}})
    assert points(desk.frame(), "chosen").mean(axis=0) == pytest.approx((900.5, 400.5), abs=0.01)


def test_every_stroke_has_its_kind_s_style(table: Desk) -> None:
    table.put("/api/layouts/1", {"step": None})
    frame = table.frame()
    assert {stroke["kind"] for stroke in frame["strokes"]} >= {"cut", "slot", "stitch", "hole"}
    for stroke in frame["strokes"]:
        style = STYLES[stroke["kind"]]
        assert (stroke["colour"], stroke["width"], tuple(stroke["dash"])) == (style.colour, style.width, style.dash)


def test_kinds_of_line_are_switched_on_and_off(table: Desk) -> None:
    table.put("/api/layouts/1", {"step": None, "show": {"hole": False, "mark": False}})
    kinds = {stroke["kind"] for stroke in table.frame()["strokes"]}
    assert "hole" not in kinds
    assert "cut" in kinds
    table.put("/api/layouts/1", {"show": {"hole": True}})
    assert "hole" in {stroke["kind"] for stroke in table.frame()["strokes"]}


def test_each_step_shows_its_own_lines_at_its_own_height(table: Desk) -> None:
    steps = table.get("/api/layouts/1")["steps"]
    seen = []
    for step in steps:
        table.put("/api/layouts/1", {"step": step["name"]})
        kinds = {stroke["kind"] for stroke in table.frame()["strokes"]}
        assert kinds <= set(step["roles"])
        assert kinds, f"the light shows nothing for {step['name']}"
        assert table.get("/api/layouts/1")["height"] == pytest.approx(step["height"])
        seen.append(step["plies_under"])
    assert len(set(seen)) > 1, "some step lies on more plies than another"


def test_thicker_leather_moves_the_lines(table: Desk) -> None:
    thin = points(table.frame(), "cut")
    table.put("/api/layouts/1", {"leather": "8 mm"})
    assert np.abs(points(table.frame(), "cut") - thin).max() > 0.5


def test_a_window_of_another_size_gets_a_sentence_and_no_lines(table: Desk) -> None:
    assert table.frame()["strokes"]
    table.window(1536, 864)
    frame = table.frame()
    assert frame["strokes"] == [] == frame["texts"]
    assert "1536 x 864" in frame["sentence"]
    assert "1920 x 1080" in frame["sentence"]
    state = table.get("/api/state")
    assert state["window"]["fits"] is False
    assert state["window"]["sentence"] == frame["sentence"]
    table.window(1920, 1080)
    assert table.frame()["sentence"] is None
    assert table.frame()["strokes"]
    assert table.get("/api/state")["window"]["fits"] is True


def test_a_window_that_has_not_told_its_size_shows_no_pattern(table: Desk) -> None:
    table.shop.light.leave("w1")
    table.shop.light.arrive("w7")
    frame = table.frame("w7")
    assert frame["strokes"] == []
    assert frame["sentence"]


def test_a_bench_that_is_not_calibrated_shows_no_pattern(desk: Desk) -> None:
    bench = desk.practice("marks")
    layout = desk.layout(bench)
    desk.window()
    desk.post("/api/light", {"mode": "layout", "layout": layout})
    desk.put(f"/api/benches/{bench}/sightings", {"positions": []})
    frame = desk.frame()
    assert frame["strokes"] == []
    assert "not calibrated" in frame["sentence"]
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks"})
    assert desk.frame()["sentence"] is None


def test_an_uncalibrated_check_figure_says_that_sizes_mean_nothing(desk: Desk) -> None:
    bench = desk.practice()
    desk.window()
    desk.post("/api/light", {"mode": "check", "bench": bench})
    assert any("sizes mean nothing" in text["text"] for text in desk.frame()["texts"])
    desk.post("/api/practice/sight", {"bench": bench, "way": "marks"})
    assert not any("sizes mean nothing" in text["text"] for text in desk.frame()["texts"])


def test_a_drag_moves_the_light_and_not_the_database(table: Desk) -> None:
    before, saved = table.frame(), table.get("/api/layouts/1")
    move = {"layout": 1, "piece": "front", "x": 420.0, "y": 210.0, "turn": 15.0, "mirror": True}
    assert table.post("/api/light/move", move) == {"live": True}
    during = table.frame()
    assert during["version"] > before["version"]
    assert during["strokes"] != before["strokes"]
    assert table.get("/api/layouts/1") == saved
    table.put("/api/layouts/1", {"placements": {"front": {"x": 420.0, "y": 210.0, "turn": 15.0, "mirror": True}}})
    assert table.frame()["strokes"] == during["strokes"], "what was dragged is what is saved"


def test_what_is_saved_replaces_what_was_dragged(table: Desk) -> None:
    table.post("/api/light/move", {"layout": 1, "piece": "front", "x": 420.0, "y": 210.0})
    during = table.frame()["strokes"]
    table.put("/api/layouts/1", {"placements": {"front": {"x": 500.0, "y": 210.0}}})
    assert table.frame()["strokes"] != during
    assert table.shop.light.stage.lies()["front"].x == 500.0


def test_a_drag_asks_the_database_nothing(table: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(*_: object) -> None:
        raise AssertionError("a drag must not open the database")

    monkeypatch.setattr(type(table.shop.database), "reading", forbidden)
    monkeypatch.setattr(type(table.shop.database), "writing", forbidden)
    table.post("/api/light/move", {"layout": 1, "piece": "front", "x": 420.0, "y": 210.0})
    assert table.frame()["strokes"]


def test_saving_something_else_does_not_undo_a_drag(table: Desk) -> None:
    table.post("/api/light/move", {"layout": 1, "piece": "front", "x": 420.0, "y": 210.0})
    during = table.frame()["strokes"]
    table.post("/api/check", {"bench": 1, "size": 300, "readings": {"top": 300}})
    assert table.frame()["strokes"] == during


def test_a_move_of_what_is_not_in_the_light_is_no_error(table: Desk) -> None:
    table.post("/api/light", {"mode": "dark"})
    assert table.post("/api/light/move", {"layout": 1, "piece": "front", "x": 1.0, "y": 1.0}) == {"live": False}


def test_darkness_keeps_the_bench_in_use(table: Desk) -> None:
    table.post("/api/benches", BENCH)
    assert table.get("/api/state")["bench"]["name"] == "Garage", "a new bench is the one in use"
    table.post("/api/light", {"mode": "layout", "layout": 1})
    table.post("/api/light", {"mode": "dark"})
    assert table.get("/api/state")["bench"]["practice"] is True


def test_a_frame_that_cannot_be_drawn_says_so_in_the_light(table: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("secret detail")

    monkeypatch.setitem(pictures.MODES, "layout", broken)
    table.post("/api/light/move", {"layout": 1, "piece": "front", "x": 420.0, "y": 210.0})
    frame = table.frame()
    assert frame["strokes"] == []
    assert frame["sentence"] == frames.OUR_BUG


def test_many_hands_at_once_leave_one_truth(table: Desk) -> None:
    """Drags, saves and switches from several threads: no error, and the light ends as the store has it."""
    errors: list[BaseException] = []

    def work(number: int) -> None:
        try:
            for turn in range(10):
                lie = {"x": 300.0 + number, "y": 200.0 + turn, "turn": 0.0, "mirror": False}
                table.shop.light.move(1, "front", _lie(lie))
                table.shop.layouts.change(1, _change(lie))
                table.shop.light.frame()
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert table.shop.light.stage.laid is not None
    assert table.shop.light.stage.laid.layout.placements["front"] == table.shop.light.stage.lies()["front"]
    saved = table.get("/api/layouts/1")["placements"]["front"]
    assert table.shop.light.stage.lies()["front"] == _lie(saved)


def _lie(values: dict[str, Any]) -> Lie:
    return lie(values["x"], values["y"], values["turn"], mirror=values["mirror"])


def _change(values: dict[str, Any]) -> LayoutChange:
    return LayoutChange(placements={"front": _lie(values)})


def test_the_window_that_came_first_holds_the_light_until_it_leaves() -> None:
    windows = Windows()
    for name in ("first", "second", "third"):
        windows.arrive(name)
    assert windows.holds("first")
    windows.leave("first")
    assert windows.holds("second")
    windows.take("third")
    assert windows.holds("third")
    windows.leave("third")
    assert windows.holds("second")
    windows.leave("second")
    assert windows.open is False


def test_a_window_that_reconnects_before_its_loss_is_noticed_keeps_the_light() -> None:
    windows = Windows()
    windows.arrive("first")
    windows.report("first", SIZE)
    windows.arrive("second")
    windows.arrive("first")
    windows.leave("first")
    assert windows.holds("first")
    assert windows.size() == SIZE


def test_sizes_of_windows_that_never_connect_do_not_pile_up() -> None:
    windows = Windows()
    windows.arrive("here")
    windows.report("here", SIZE)
    for number in range(1000):
        windows.report(f"w{number}", SIZE)
    assert windows.size() == SIZE
    assert len(windows._sizes) <= KEPT + 1
