"""Event streams: over a real socket, capped, beating, and ended before everything else."""

from __future__ import annotations

import contextlib
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from server.errors import Refusal
from server.services.streams import BEAT, BEAT_S, CAP, LOOK_S, Source, Streams
from server.services.workshop import open_workshop
from server.store.database import file_url
from tests.web.desk import open_desk
from tests.web.process import Process, Stream, until

WINDOW = {"window": "w1", "width": 1920, "height": 1080, "ratio": 1.25, "fullscreen": True}


def test_a_page_hears_where_things_stand_at_once_and_after_each_change(process: Process) -> None:
    with process.stream("page") as stream:
        first = stream.next("state")
        assert first == process.ask("GET", "/api/state")[1]
        process.ask("POST", "/api/practice/start", {})
        heard = stream.next("state")
        while heard["bench"] is None or heard["thing"] is None:
            heard = stream.next("state")
        assert heard["bench"]["practice"] is True


def test_a_silent_stream_beats_every_second(process: Process) -> None:
    with process.stream("page") as stream:
        stream.next("state")
        stream.next("beat")
        start = time.monotonic()
        stream.next("beat")
        assert time.monotonic() - start == pytest.approx(BEAT_S, abs=0.5)


def test_a_projector_window_sees_a_drag_at_once(process: Process) -> None:
    bench = process.ask("POST", "/api/practice/start", {})[1]["bench"]
    process.ask("POST", "/api/practice/sight", {"bench": bench, "way": "marks"})
    pattern = process.ask("POST", "/api/patterns", {"thing": 1})[1]["id"]
    layout = process.ask("POST", "/api/layouts", {"pattern": pattern, "bench": bench})[1]["id"]
    process.ask("POST", "/api/window", WINDOW)
    process.ask("POST", "/api/light", {"mode": "layout", "layout": layout})
    with process.stream("projector") as stream, process.stream("practice", "w2") as table:
        before = _with_strokes(stream)
        landed = table.next("landing")
        start = time.monotonic()
        process.ask("POST", "/api/light/move", {"layout": layout, "piece": "front", "x": 400.0, "y": 200.0})
        after = stream.next("frame")
        assert time.monotonic() - start < 0.5
        assert after["version"] > before["version"]
        assert after["strokes"][0]["points"] != before["strokes"][0]["points"]
        assert table.next("landing")["strokes"][0]["points"] != landed["strokes"][0]["points"]
        assert process.ask("GET", f"/api/layouts/{layout}")[1]["placements"]["front"]["x"] != 400.0, (
            "a drag is not saved"
        )


def test_a_projector_window_sees_a_witness_cross_move_at_once(process: Process) -> None:
    bench = process.ask("POST", "/api/practice/start", {})[1]["bench"]
    process.ask("POST", "/api/practice/sight", {"bench": bench, "way": "marks", "replace": True})
    marks = {"names": ["A", "E", "P", "T"], "own": True}
    assert process.ask("PUT", f"/api/benches/{bench}/witness", marks)[0] == 200
    process.ask("POST", "/api/window", WINDOW)
    process.ask("POST", "/api/light", {"mode": "witness", "bench": bench})
    with process.stream("projector") as stream, process.stream("practice", "w2") as table:
        before = _with_strokes(stream)
        landed = table.next("landing")
        assert [mark["name"] for mark in landed["marks"]] == marks["names"]
        start = time.monotonic()
        assert process.ask("POST", "/api/light/witness", {"name": "A", "pixel": [80.5, 90.5]})[1] == {"live": True}
        after = stream.next("frame")
        assert time.monotonic() - start < 0.5
        assert after["version"] > before["version"]
        assert after["strokes"] != before["strokes"]
        assert table.next("landing")["strokes"] != landed["strokes"]
        assert process.ask("GET", f"/api/benches/{bench}/sessions")[1][0]["kind"] == "calibration", (
            "a nudge decides nothing"
        )
        process.ask("POST", "/api/practice/knock", {"how": "a little"})
        assert table.next("landing")["footprint"] != landed["footprint"], "the table hears of a knock"
        process.ask("POST", "/api/practice/knock", {"how": "back"})


def test_a_second_window_waits_and_may_take_over(process: Process) -> None:
    process.ask("POST", "/api/practice/start", {})
    process.ask("POST", "/api/light", {"mode": "frame", "bench": 1})
    process.ask("POST", "/api/window", WINDOW)
    process.ask("POST", "/api/window", WINDOW | {"window": "w2"})
    with process.stream("projector", "w1") as first:
        assert _with_strokes(first)["waiting"] is False
        with process.stream("projector", "w2") as second:
            told = second.next("frame")
            assert told["waiting"] is True
            assert told["sentence"]
            assert told["strokes"] == []
            assert process.ask("POST", "/api/window", WINDOW | {"window": "w2"})[1] == {"active": False}
            assert process.ask("POST", "/api/window/take", {"window": "w2"})[1] == {"active": True}
            assert _with_strokes(second)["waiting"] is False
            assert _waiting(first)["strokes"] == []
        assert _with_strokes(first)["waiting"] is False, "the light comes back when the other window closes"
    assert until(lambda: not process.ask("GET", "/api/state")[1]["window"]["open"])


def test_the_25th_stream_is_refused_and_the_server_goes_on(process: Process) -> None:
    with contextlib.ExitStack() as stack:
        streams = [stack.enter_context(process.stream("page", f"w{number}")) for number in range(CAP)]
        assert [stream.status for stream in streams] == [200] * CAP
        for stream in streams:
            stream.next("state")
        refused = stack.enter_context(process.stream("page", "late"))
        assert refused.status == 503
        assert str(CAP) in refused.content()["error"]["sentence"]
        start = time.monotonic()
        assert process.ask("GET", "/api/state")[0] == 200
        assert time.monotonic() - start < 1.0, "24 open streams must not hold up the rest"
        streams[0].close()
        assert until(lambda: _opens(process)), "a closed stream gives its place back within a beat or two"


def test_streams_that_hang_up_give_their_place_back(process: Process) -> None:
    for _ in range(3):
        time.sleep(BEAT_S)
        with contextlib.ExitStack() as stack:
            opened = [stack.enter_context(process.stream("page", f"w{number}")) for number in range(CAP - 2)]
            assert {stream.status for stream in opened} == {200}


def _opens(process: Process) -> bool:
    with process.stream("page", "again") as stream:
        return stream.status == 200


def _with_strokes(stream: Stream) -> dict[str, Any]:
    frame: dict[str, Any] = stream.next("frame")
    while not frame["strokes"]:
        frame = stream.next("frame")
    return frame


def _waiting(stream: Stream) -> dict[str, Any]:
    frame: dict[str, Any] = stream.next("frame")
    while not frame["waiting"]:
        frame = stream.next("frame")
    return frame


def test_changes_faster_than_the_reader_are_passed_over() -> None:
    streams, data = Streams(beat=10), iter(range(1000))
    events = streams.events(Source("frame", lambda: str(next(data))))
    next(events)
    assert next(events).startswith(b"event: frame\ndata: 0")
    for _ in range(50):
        streams.touch("frame")
    assert next(events).startswith(b"event: frame\ndata: 1\n")


def test_a_topic_wakes_only_its_own_streams() -> None:
    streams = Streams(beat=0.05)
    events = streams.events(Source("state", lambda: "{}"))
    next(events)
    next(events)
    streams.touch("frame", "landing")
    assert next(events) == BEAT
    streams.touch("state")
    assert next(events).startswith(b"event: state")


def test_a_change_wakes_its_stream_at_once() -> None:
    """Well before the stream would look around by itself."""
    streams, heard = Streams(beat=30), []

    def follow() -> None:
        for event in streams.events(Source("frame", lambda: "{}")):
            heard.append((time.monotonic(), event))

    thread = threading.Thread(target=follow)
    thread.start()
    waits = []
    for number in range(10):
        assert until(lambda count=number: len(heard) == 2 + count)
        start = time.monotonic()
        streams.touch("frame")
        assert until(lambda count=number: len(heard) == 3 + count)
        waits.append(heard[-1][0] - start)
    streams.end()
    thread.join(2)
    assert sorted(waits)[5] < LOOK_S / 4


def test_no_change_is_missed_between_two_readings() -> None:
    """A change that comes while the data is being read must bring the newer data."""
    streams, value = Streams(beat=0.05), [0]

    def read() -> str:
        found = value[0]
        if found == 0:
            value[0] = 1
            streams.touch("state")
        return str(found)

    events = streams.events(Source("state", read))
    next(events)
    assert b"data: 0" in next(events)
    assert b"data: 1" in next(events)


def test_the_end_wakes_every_stream_and_lets_no_new_one_in() -> None:
    streams, ended = Streams(beat=30), []

    def follow() -> None:
        list(streams.events(Source("state", lambda: "{}")))
        ended.append(True)

    threads = [threading.Thread(target=follow) for _ in range(5)]
    for thread in threads:
        thread.start()
    time.sleep(0.1)
    start = time.monotonic()
    streams.end()
    for thread in threads:
        thread.join(2)
    assert len(ended) == 5
    assert time.monotonic() - start < 1.0
    with pytest.raises(Refusal):
        streams.enter()


def test_places_are_counted() -> None:
    streams = Streams(cap=2)
    streams.enter()
    streams.enter()
    with pytest.raises(Refusal) as refused:
        streams.enter()
    assert refused.value.status == 503
    streams.leave()
    streams.enter()
    assert streams.count == 2


def test_a_stream_that_is_refused_for_its_role_takes_no_place(tmp_path: Path) -> None:
    desk = open_desk(tmp_path, Streams(cap=1))
    for _ in range(3):
        assert desk.ask("GET", "/api/events?role=spy&window=w1").status_code == 422
    assert desk.shop.streams.count == 0
    assert desk.ask("HEAD", "/api/events?role=projector&window=w1").status_code == 200
    assert desk.shop.streams.count == 0
    assert desk.shop.light.windows.open is False
    desk.shop.close()


def test_closing_the_workshop_ends_its_streams(tmp_path: Path) -> None:
    shop = open_workshop(file_url(tmp_path / "hidelight.db"))
    events = shop.streams.events(Source("state", shop.state.text))
    next(events)
    next(events)
    shop.close()
    assert list(events) == []
