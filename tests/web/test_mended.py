"""What a security test and a newcomer found: each fault once, so that it does not come back."""

from __future__ import annotations

import contextlib
import json
import signal
import socket
import sqlite3
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from server.errors import Refusal
from server.output.clipping import within
from server.practice.projector import TRUE
from server.services.light.frames import OUR_BUG
from server.services.light.shown import Shown
from server.services.light.stage import Stage
from server.services.practice import landings
from server.services.practice.landings import Table
from server.settings import settle
from server.store import benches
from server.store.records import Lie
from server.units import leather
from tests.web.desk import Desk, open_desk
from tests.web.process import Process, free_port, started
from tests.web.test_check import SQUARE
from tests.web.test_serve import assert_one_sentence, launch

PICTURE = (1920, 1080)


def refused(desk: Desk, path: str, body: Any, status: int = 422, method: str = "POST") -> tuple[str, str | None]:
    """Return sentence and field of a refusal."""
    answer = desk.ask(method, path, body)
    assert answer.status_code == status, answer.get_data(as_text=True)
    error = json.loads(answer.get_data(as_text=True))["error"]
    return error["sentence"], error["field"]


# ---- light that leaves the picture


@pytest.fixture
def laid(desk: Desk) -> Desk:
    """The practice pouch in the light, all steps at once."""
    layout = desk.layout(desk.practice("marks", "block"))
    desk.put(f"/api/layouts/{layout}", {"step": None})
    desk.post("/api/light", {"mode": "layout", "layout": layout})
    return desk


@pytest.mark.parametrize(("x", "y"), [(-15000.0, 300.0), (-4000.0, 300.0), (300.0, -3000.0), (9e9, 9e9)])
def test_a_piece_far_outside_the_picture_costs_nothing(laid: Desk, x: float, y: float) -> None:
    assert laid.shop.light.move(1, "back", Lie(x, y))
    frame, landing = laid.frame(), laid.landing()
    assert frame["mode"] == landing["mode"] == "layout"
    assert landing["sentence"] is None
    assert landing["strokes"], "the other pieces are still lit"
    assert sum(len(stroke["points"]) for stroke in landing["strokes"]) < 100_000
    low, high = TRUE.land(np.array([[0.0, 0], [1920, 0], [1920, 1080], [0, 1080]])).min(axis=0), 2000.0
    for stroke in landing["strokes"]:
        places = np.reshape(stroke["points"], (-1, 2))
        assert (places > low - 20).all()
        assert (places < high).all()


def test_what_cannot_land_is_said_on_the_practice_table(laid: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise Refusal("The light misses the table.")

    def fail(*_: object) -> None:
        raise IndexError

    for broken, sentence in ((refuse, "The light misses the table."), (fail, OUR_BUG)):
        monkeypatch.setattr(landings, "surface", broken)
        laid.shop.light.refresh()
        landing = laid.landing()
        assert landing["sentence"] == sentence
        assert landing["strokes"] == []


def test_the_practice_table_is_traced_once_for_all_windows(laid: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    traced: list[int] = []
    trace = landings.landing

    def counted(stage: Stage, frame: Any, truth: Any) -> dict[str, Any]:
        traced.append(frame.version)
        return trace(stage, frame, truth)

    monkeypatch.setattr(landings, "landing", counted)
    laid.shop.light.refresh()
    first = laid.landing()
    assert [laid.landing() for _ in range(5)] == [first] * 5
    assert len(traced) == 1
    laid.post("/api/light/move", {"layout": 1, "piece": "front", "x": 500.0, "y": 300.0})
    assert laid.landing()["strokes"] != first["strokes"]
    assert len(traced) == 2
    laid.post("/api/practice/knock", {"how": "a lot"})
    assert laid.landing()["footprint"] != first["footprint"]


def test_a_line_is_clipped_to_the_picture() -> None:
    cross = np.array([[-100.0, 540.0], [960.0, 540.0], [1e6, 540.0]])
    ((points, closed),) = within(cross, closed=False, picture=PICTURE)
    assert not closed
    assert points == pytest.approx(np.array([[0.0, 540.0], [960.0, 540.0], [1920.0, 540.0]]))
    slanted = within(np.array([[-10.0, -20.0], [10.0, 20.0]]), closed=False, picture=PICTURE)
    assert slanted[0][0] == pytest.approx(np.array([[0.0, 0.0], [10.0, 20.0]]))
    assert within(np.array([[-10.0, 5.0], [5.0, -10.0]]), closed=False, picture=PICTURE) == []
    assert within(np.array([[-5.0, 5.0]]), closed=False, picture=PICTURE) == []


def test_a_closed_line_over_an_edge_is_one_open_run_and_one_inside_is_left() -> None:
    square = np.array([[10.0, 10.0], [50.0, 10.0], [50.0, 50.0], [10.0, 50.0]])
    assert within(square, closed=True, picture=PICTURE)[0][1] is True
    ((points, closed),) = within(square - [30.0, 0.0], closed=True, picture=PICTURE)
    assert not closed
    assert points == pytest.approx(np.array([[0.0, 10.0], [20.0, 10.0], [20.0, 50.0], [0.0, 50.0]]))
    ((points, _),) = within(np.roll(square - [30.0, 0.0], 2, axis=0), closed=True, picture=PICTURE)
    assert points == pytest.approx(np.array([[0.0, 10.0], [20.0, 10.0], [20.0, 50.0], [0.0, 50.0]]))
    across = np.array([[-10.0, 100.0], [3000.0, 100.0], [3000.0, 200.0], [-10.0, 200.0]])
    assert len(within(across, closed=True, picture=PICTURE)) == 2


def test_clipping_keeps_exactly_what_is_inside() -> None:
    """Against the length of each chord inside, counted by 4000 samples."""
    random = np.random.default_rng(11)
    for closed in (False, True):
        points = random.uniform([-2000, -1500], [4000, 2500], (40, 2))
        ends = np.vstack([points[1:], points[:1]]) if closed else points[1:]
        share = np.linspace(0, 1, 4000)[:, None, None]
        along = points[: len(ends)] + share * (ends - points[: len(ends)])
        inside = ((along >= 0) & (along <= PICTURE)).all(axis=2).mean(axis=0)
        expected = float(inside @ np.linalg.norm(ends - points[: len(ends)], axis=1))
        runs = [run for run, _ in within(points, closed, PICTURE)]
        found = sum(float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum()) for run in runs)
        assert found == pytest.approx(expected, rel=2e-3)
        assert all(((run >= -1e-6) & (run <= np.array(PICTURE) + 1e-6)).all() for run in runs)


@pytest.mark.parametrize("wild", [np.nan, np.inf, -np.inf, 1e308])
def test_a_chord_to_the_horizon_is_left_out(wild: float) -> None:
    points = np.array([[10.0, 10.0], [20.0, 10.0], [wild, -wild], [30.0, 30.0], [40.0, 30.0]])
    runs = within(points, closed=False, picture=PICTURE)
    assert all(np.isfinite(run).all() for run, _ in runs)
    assert runs[0][0][:2] == pytest.approx(points[:2])


def test_light_on_the_leather_is_still_traced_twice(desk: Desk) -> None:
    table = Table(TRUE, 4.0)
    places, on = landings.surface(np.array([[960.0, 540.0]]), table)
    assert on.all()
    assert places == pytest.approx(TRUE.land(np.array([[960.0, 540.0]]), 4.0))
    assert desk.get("/api/state")["light"]["mode"] == "dark"


# ---- the server


def test_a_request_is_answered_beside_120_idle_connections(process: Process) -> None:
    with contextlib.ExitStack() as stack:
        for _ in range(120):
            stack.enter_context(socket.create_connection(("127.0.0.1", process.port), timeout=5))
        for _ in range(3):
            assert process.ask("GET", "/api/families")[0] == 200


def test_a_second_server_on_the_same_data_is_refused_and_a_killed_one_lets_go(tmp_path: Path) -> None:
    with started(tmp_path) as first:
        result = launch(tmp_path, free_port())
        assert_one_sentence(result)
        assert str(tmp_path) in result.stderr
        assert "--data" in result.stderr
        assert first.ask("GET", "/api/state")[0] == 200
        first.popen.send_signal(signal.SIGKILL)
        first.popen.wait(5)
    with started(tmp_path) as second:
        assert second.ask("GET", "/api/state")[0] == 200


@pytest.mark.parametrize("number", [0, 2**63, 2**64, 10**30])
def test_a_number_that_the_database_does_not_have_is_not_there(desk: Desk, number: int) -> None:
    for name in ("things", "patterns", "benches", "layouts"):
        assert desk.ask("GET", f"/api/{name}/{number}").status_code == 404


@pytest.mark.parametrize("origin", ["http://[", "http://[::1", "http://127.0.0.1:8417/", "null", "", "http://[]:8417"])
def test_an_origin_that_is_none_is_refused(desk: Desk, origin: str) -> None:
    assert desk.ask("POST", "/api/practice/start", {}, Origin=origin).status_code == 403
    assert desk.ask("POST", "/api/practice/start", {}, Origin="HTTP://LOCALHOST:8417").status_code == 200


@pytest.mark.parametrize("text", ["9" * 400 + "-" + "9" * 401 + " oz", "9" * 400 + " oz", "1-" + "9" * 400 + " oz"])
def test_a_long_leather_is_refused(text: str) -> None:
    with pytest.raises(Refusal, match="longer than 40"):
        leather(text, field="leather")


@pytest.mark.parametrize("way", ["marks", "tape", "block"])
def test_sighting_without_crosses_is_refused(desk: Desk, way: str) -> None:
    bench = desk.practice()
    desk.put(f"/api/benches/{bench}/sightings", {"crosses": {}})
    sentence, _ = refused(desk, "/api/practice/sight", {"bench": bench, "way": way, "replace": True}, 409)
    assert "cross" in sentence


def test_the_icon_is_there(desk: Desk) -> None:
    answer = desk.ask("GET", "/favicon.ico")
    assert desk.ask("GET", answer.headers["Location"]).status_code == 200


# ---- damaged data


def change(folder: Path, statement: str, *values: str) -> None:
    """Change the data behind the server's back."""
    with contextlib.closing(sqlite3.connect(folder / "hidelight.db")) as connection, connection:
        connection.execute(statement, values)


@pytest.mark.parametrize(
    "value",
    [
        "{",
        "[1]",
        "7",
        '"dark"',
        '{"mode":7}',
        '{"mode":"check","bench":1,"size":"big"}',
        '{"mode":"frame","bench":[1]}',
    ],
)
def test_an_unreadable_light_starts_dark(tmp_path: Path, value: str) -> None:
    first = open_desk(tmp_path)
    first.practice("marks")
    first.shop.close()
    for name, kept in (("light", value), ("practice", '{"projector": 3}')):
        change(tmp_path, "INSERT OR REPLACE INTO settings (name, value) VALUES (?, ?)", name, kept)
    second = open_desk(tmp_path)
    assert second.shop.light.shown == Shown()
    assert second.get("/api/state")["light"]["mode"] == "dark"
    second.shop.close()


def test_a_damaged_value_is_said_in_one_sentence(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    bench = desk.practice("marks")
    change(tmp_path, "UPDATE benches SET sightings = '{'")
    sentence, _ = refused(desk, f"/api/benches/{bench}", None, 503, "GET")
    assert "damaged" in sentence
    sentence, _ = refused(desk, f"/api/benches/{bench}/sightings", {"unit": "in"}, 503, "PUT")
    assert "damaged" in sentence
    with pytest.raises(Refusal, match="Not saved"), desk.shop.database.writing() as session:
        benches.get(session, bench)
    desk.shop.close()


@pytest.mark.parametrize(
    ("column", "value"),
    [("sightings", "[1]"), ("calibration", "3"), ("report", '"x"'), ("witness", "null"), ("guard", "[]")],
)
def test_a_document_of_another_kind_is_said_and_the_server_still_starts(
    tmp_path: Path, column: str, value: str
) -> None:
    first = open_desk(tmp_path)
    bench = first.practice("marks")
    first.post("/api/light", {"mode": "frame", "bench": bench})
    first.shop.close()
    change(tmp_path, f"UPDATE benches SET {column} = ?", value)  # noqa: S608  (one of the five names above)
    second = open_desk(tmp_path)
    assert "a stored document is no" in refused(second, f"/api/benches/{bench}", None, 503, "GET")[0]
    assert second.get("/api/families"), "the rest of the workshop answers"
    second.shop.close()


def test_a_lost_table_is_said_while_running_and_at_start(tmp_path: Path) -> None:
    desk = open_desk(tmp_path)
    for table in ("checks", "things"):
        change(tmp_path, f"DROP TABLE {table}")
    assert "things" in refused(desk, "/api/things", None, 503, "GET")[0]
    desk.shop.close()
    with pytest.raises(Refusal, match="table checks is missing"):
        open_desk(tmp_path)
    assert_one_sentence(launch(tmp_path, free_port()))
    assert settle(tmp_path).folder == tmp_path


# ---- a newcomer's words


@pytest.mark.parametrize(("key", "word"), [("x", "Across"), ("y", "Towards you"), ("turn", "Turn")])
def test_a_place_beyond_every_table_is_refused_by_the_field_s_name(laid: Desk, key: str, word: str) -> None:
    lie = {"x": 0.0, "y": 0.0, key: 99999}
    sentence, field = refused(laid, "/api/layouts/1", {"placements": {"front": lie}}, method="PUT")
    assert sentence.startswith(f"{word} is 99999: ")
    assert field == f"placements.front.{key}"
    assert refused(laid, "/api/light/move", {"layout": 1, "piece": "front"} | lie)[1] == key


@pytest.mark.parametrize("given", [-3, 0, "0", "-3", "-3 mm", 10_001, "abc", "", "3 oz", True, [1], {}])
def test_a_reading_that_is_none_is_refused_in_the_maker_s_words(desk: Desk, given: Any) -> None:
    body = {"bench": desk.practice("marks"), "size": 300, "readings": SQUARE | {"bottom": given}}
    sentence, field = refused(desk, "/api/check", body)
    assert "the bottom side" in sentence
    assert "readings." not in sentence
    assert field == "readings.bottom"


def test_readings_may_be_words_with_units(desk: Desk) -> None:
    bench = desk.practice("marks", "block")
    words = {"top": "11 13/16 in", "left": "300", "right": "30 cm", "diagonal-up": "424.3 mm"}
    answer = desk.post("/api/check", {"bench": bench, "size": 300, "readings": words})
    assert [row["read"] for row in answer["rows"]] == pytest.approx([300.0375, 300.0, 300.0, 424.3])
    assert answer["verdict"] == "holds"


def test_sides_alone_never_hold(desk: Desk) -> None:
    bench = desk.practice("marks", "block")
    sides = {name: value for name, value in SQUARE.items() if not name.startswith("diagonal")}
    answer = desk.post("/api/check", {"bench": bench, "size": 300, "readings": sides})
    assert answer["verdict"] == "unsure"
    assert "diagonal" in answer["sentence"]
    one = sides | {"diagonal-up": SQUARE["diagonal-up"]}
    assert desk.post("/api/check", {"bench": bench, "size": 300, "readings": one})["verdict"] == "holds"


@pytest.mark.parametrize(
    ("rows", "sentence", "field"),
    [
        (
            {"distances": [{"from": "A", "to": "F", "length": "abc"}]},
            "A to F: 'abc' is not a length; write 561.5 or 22 1/8 in.",
            "distances.0.length",
        ),
        (
            {"unit": "in", "distances": [{"from": "A", "to": "F", "length": "1//2"}]},
            "A to F: '1//2' is not a length; write 22 1/8 or 561.5 mm.",
            "distances.0.length",
        ),
        (
            {"positions": [{"cross": "C", "at": ["1", "2"], "height": "tall"}]},
            "Cross C: the height 'tall' is not a length; write 561.5 or 22 1/8 in.",
            "positions.0.height",
        ),
    ],
)
def test_rubbish_in_a_sighting_is_said_by_its_crosses(
    desk: Desk, rows: dict[str, Any], sentence: str, field: str
) -> None:
    answer = desk.put(f"/api/benches/{desk.practice()}/sightings", rows)
    assert answer["refusal"] == {"sentence": sentence, "field": field}
