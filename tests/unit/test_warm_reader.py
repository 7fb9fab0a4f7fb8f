"""The process that is kept warm for files: it is replaced, it holds each file to its limits, and files do not meet."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from calibration.refusal import Refusal
from server.reading.formats import parse
from server.reading.reader import BROKE, TOO_LONG, read_file
from server.reading.sheet import Dropped, Look, Page, Sheet, SheetLine
from server.reading.warm import CAN_FORK, WarmReader
from server.services.pattern.sheet_view import MOST_POINTS, view

pytestmark = pytest.mark.skipif(not CAN_FORK, reason="this system cannot fork: each file has a process of its own")

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100" stroke="#000">'


def square(size: int) -> bytes:
    return f'{HEAD}<path d="M0 0H{size}V{size}H0z"/></svg>'.encode()


@pytest.fixture(scope="module")
def reader() -> Iterator[WarmReader]:
    found = WarmReader()
    yield found
    found.close()


def test_it_reads_what_the_other_ways_read(reader: WarmReader) -> None:
    sheets = [reader.read(square(40), "a.svg"), read_file(square(40), "a.svg"), parse(square(40), "a.svg")]
    for sheet in sheets:
        assert (sheet.name, sheet.kind, sheet.unit_known) == ("a.svg", "svg", True)
        np.testing.assert_allclose(sheet.lines[0].points, [[0, 0], [40, 0], [40, 40], [0, 40]])


def test_one_process_serves_many_files_at_once_and_they_do_not_meet(reader: WarmReader) -> None:
    reader.read(square(1), "a.svg")
    number, found = reader.number(), {}

    def read(size: int) -> None:
        found[size] = reader.read(square(size), f"{size}.svg").lines[0].box[2]

    threads = [threading.Thread(target=read, args=(size,)) for size in range(10, 18)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == {size: size for size in range(10, 18)}
    assert reader.number() == number


def test_a_dead_process_is_replaced_without_a_word(reader: WarmReader) -> None:
    reader.ready()
    number = reader.number()
    assert number is not None
    os.kill(number, signal.SIGKILL)
    assert len(reader.read(square(5), "a.svg").lines) == 1
    assert reader.number() not in (None, number)


def test_a_process_that_cannot_be_had_is_done_without(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("server.reading.warm._CHILD", "raise SystemExit(1)")
    with closing(WarmReader()) as lonely:
        assert len(lonely.read(square(5), "a.svg").lines) == 1


FORK = """
import os, signal, socket, sys, time
sys.path.append(sys.argv[1])
from server.reading import forks
forks.WALL_SECONDS = 0.6
def answer(data, name):
    if name == "slow": time.sleep(30)
    if name == "busy":
        while True: pass
    if name == "dies": os.kill(os.getpid(), signal.SIGSEGV)
    if name == "memory": return bytes([len(bytearray(1100 << 20)) % 7])
    if name == "writes": os.write(os.open("written", os.O_CREAT | os.O_WRONLY), b"x" * 10)
    return b'{"refusal": "limits held not"}'
forks.answer = answer
forks.main()
"""


@pytest.mark.parametrize("what", ["slow", "busy", "dies", "memory", "writes"])
def test_a_file_that_breaks_its_limits_ends_alone(what: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The reading itself is stood in for by something that sleeps, spins, dies, takes memory or writes a file."""
    monkeypatch.setattr("server.reading.warm._CHILD", FORK)
    monkeypatch.chdir(tmp_path)
    written = tmp_path / "written"
    with closing(WarmReader()) as kept:
        kept.ready()
        number, begun = kept.number(), time.monotonic()
        with pytest.raises(Refusal) as refused:
            kept.read(b"<svg/>", what)
        assert refused.value.sentence in (BROKE, TOO_LONG.format(5))
        assert time.monotonic() - begun < 5.0
        assert kept.number() == number
    assert not written.exists() or written.stat().st_size == 0


def test_too_many_at_once_wait_and_are_then_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("server.reading.warm.WAIT_SECONDS", 0.05)
    monkeypatch.setattr("server.reading.warm._CHILD", FORK)
    with closing(WarmReader()) as kept:
        kept.ready()

        def read() -> None:
            with pytest.raises(Refusal):
                kept.read(b"x", "slow")

        slow = [threading.Thread(target=read) for _ in range(2)]
        for thread in slow:
            thread.start()
        time.sleep(0.2)
        with pytest.raises(Refusal) as refused:
            kept.read(square(3), "a.svg")
        for thread in slow:
            thread.join()
    assert refused.value.status == 503


def test_what_the_page_is_sent_is_thinned_to_what_a_screen_shows() -> None:
    """200 rings of 2,000 points: the points sent are bounded, and each lies on the sheet's line."""
    turns = np.linspace(0.0, 2.0 * np.pi, 2_000, endpoint=False)
    circle = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    rings = [100.0 + radius * circle for radius in np.linspace(20.0, 95.0, 200)]
    sheet = Sheet(
        "a", "svg", tuple(SheetLine(ring, True, Look()) for ring in rings), (Page(1, 200.0, 200.0),), True, "mm"
    )
    sent = [np.array(line["points"]).reshape(-1, 2) for line in view(sheet)["lines"]]
    assert sum(map(len, sent)) <= MOST_POINTS
    for ring, points in zip(rings[::40], sent[::40], strict=True):
        assert np.hypot(*(points[:, None] - ring[None]).transpose(2, 0, 1)).min(axis=1).max() < 0.02


def test_one_thing_left_out_is_spoken_of_as_one() -> None:
    names = {
        "texts": "text",
        "entities that are hidden or on layers that are off": "entity that is hidden or on layers that are off",
        "lines wholly outside what the page shows": "line wholly outside what the page shows",
        "notes and form fields": "notes and form fields",
        "dashes": "dash",
        "uses of what is not there": "use of what is not there",
    }
    for several, one in names.items():
        assert Dropped(several, 1).words == f"1 {one} left out."
        assert Dropped(several, 2).words == f"2 {several} left out."
