"""kill -9 at fifty random moments during saves: nothing that was answered as saved may be lost.

Four hands save all the time: each counts up in a row of its own (a thing's measure, a placement, a sighting, the light's
setting) and one adds new rows as well. What is found after a kill must be at least what was last answered, and
nothing that was never sent.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from tests.web.desk import MEASURES, open_desk, token_of
from tests.web.process import ROOT, Process, free_port, page, started

KILLS = 50
LONGEST_S = 0.3
"""A server lives at most this long after its start, s."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork to start fifty servers in a minute")


@dataclass
class Count:
    """What one hand has sent, and what was answered as saved."""

    sent: int = 0
    saved: int = 0


@dataclass
class Ledger:
    """What all hands know."""

    counts: dict[str, Count] = field(default_factory=lambda: {name: Count() for name in HANDS})
    added: dict[int, str] = field(default_factory=dict)
    sent_names: set[str] = field(default_factory=set)
    broken: int = 0


@dataclass(frozen=True)
class Wire:
    """One kept-alive connection to a server."""

    connection: http.client.HTTPConnection
    headers: dict[str, str]

    def save(self, method: str, path: str, body: object) -> dict[str, Any]:
        """Return the answer to a save, which must be a success."""
        self.connection.request(method, path, json.dumps(body), self.headers)
        answer = self.connection.getresponse()
        content: dict[str, Any] = json.loads(answer.read())
        assert answer.status in (200, 201), content
        return content


def save_thing(wire: Wire, count: int) -> None:
    """Count in a thing's measure."""
    measures = MEASURES | {"height": f"{152.4 + count / 1000:.3f} mm"}
    wire.save("PUT", "/api/things/1", {"name": "Counted", "family": "belt-pouch", "measures": measures})


def save_placement(wire: Wire, count: int) -> None:
    """Count in a placement."""
    wire.save("PUT", "/api/layouts/1", {"placements": {"front": {"x": count, "y": 0}, "back": {"x": count, "y": 1}}})


def save_sighting(wire: Wire, count: int) -> None:
    """Count in a sighting."""
    answer = wire.save(
        "PUT", "/api/benches/1/sightings", {"distances": [{"from": "A", "to": "B", "length": count + 1}]}
    )
    assert answer["saved"] is True


def save_light(wire: Wire, count: int) -> None:
    """Count in what the light shows."""
    wire.save("POST", "/api/light", {"mode": "check", "bench": 1, "size": 100, "height": count / 1000})


HANDS: dict[str, Callable[[Wire, int], None]] = {
    "thing": save_thing,
    "placement": save_placement,
    "sighting": save_sighting,
    "light": save_light,
}


def test_fifty_kills_lose_nothing_that_was_answered_as_saved(tmp_path: Path) -> None:
    folder, ledger, chance = tmp_path / "data", Ledger(), random.Random(50)
    furnish(folder)
    with zygote() as servers:
        for kill in range(KILLS):
            port = free_port()
            number = servers.start(folder, port)
            if kill % 5 == 4:
                time.sleep(chance.uniform(0.0, 0.1))
                servers.kill(number)
                continue
            token = token_of(ready(port))
            check(ledger, port)
            check_undo(ledger, Process(None, port, token), OBJECTS[kill % len(OBJECTS)])  # type: ignore[arg-type]
            with saving(ledger, port, token):
                time.sleep(chance.uniform(0.01, LONGEST_S))
                servers.kill(number)
    with started(folder) as last:
        check(ledger, last.port)
        assert_whole(folder, last)
    saves = sum(count.saved for count in ledger.counts.values()) + len(ledger.added)
    assert saves > 2 * KILLS, f"only {saves} saves were answered: the kills did not meet any work"
    assert ledger.broken > KILLS, f"only {ledger.broken} saves were under way at a kill"
    print(f"\n{KILLS} kills, {saves} saves answered, {ledger.broken} under way at a kill, none lost")


def furnish(folder: Path) -> None:
    """Make a thing, a bench and a layout to count in."""
    desk = open_desk(folder)
    measures = MEASURES | {"height": "152.4 mm"}
    desk.post("/api/things", {"name": "Counted", "family": "belt-pouch", "measures": measures})
    desk.post("/api/benches", {"name": "Garage", "width": 1920, "height": 1080})
    desk.layout(1)
    desk.put("/api/layouts/1", {"placements": {"front": {"x": 0, "y": 0}, "back": {"x": 0, "y": 1}}})
    desk.shop.close()


class Servers:
    """Servers forked from one process that has imported everything."""

    def __init__(self, popen: subprocess.Popen[str]) -> None:
        self._popen = popen
        self._alive: set[int] = set()

    def start(self, folder: Path, port: int) -> int:
        """Start a server on a folder and a port, and return its process number."""
        assert self._popen.stdin is not None
        assert self._popen.stdout is not None
        self._popen.stdin.write(f"{folder}\t{port}\n")
        self._popen.stdin.flush()
        number = int(self._popen.stdout.readline())
        self._alive.add(number)
        return number

    def kill(self, number: int) -> None:
        """Kill a server as the system does when it has no choice: it gets no time for anything."""
        os.kill(number, signal.SIGKILL)
        self._alive.remove(number)

    def end(self) -> None:
        """Kill what still lives, and end the process that forks."""
        for number in tuple(self._alive):
            self.kill(number)
        self._popen.communicate()


@contextmanager
def zygote() -> Iterator[Servers]:
    """Give a way to start many servers quickly."""
    environment = os.environ | {"OPENBLAS_NUM_THREADS": "1", "HIDELIGHT_DATABASE": ""}
    command = [sys.executable, "-m", "tests.web.zygote"]
    pipe, silent = subprocess.PIPE, subprocess.DEVNULL
    popen = subprocess.Popen(command, cwd=ROOT, env=environment, stdin=pipe, stdout=pipe, stderr=silent, text=True)
    servers = Servers(popen)
    try:
        yield servers
    finally:
        servers.end()


def ready(port: int) -> str:
    """Return the help page of a server as soon as it answers."""
    end = time.monotonic() + 10
    while time.monotonic() < end:
        with suppress(OSError):
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return page(port, "/help")
        time.sleep(0.005)
    raise AssertionError("the server did not start after a kill")


@contextmanager
def saving(ledger: Ledger, port: int, token: str) -> Iterator[None]:
    """Let all hands save meanwhile; the block must kill the server, which ends them."""
    errors: list[BaseException] = []
    threads = [threading.Thread(target=keep_on, args=(ledger, name, port, token, errors)) for name in (*HANDS, "adder")]
    for thread in threads:
        thread.start()
    yield
    for thread in threads:
        thread.join(10)
        assert not thread.is_alive(), "a hand still waits for a server that was killed"
    assert errors == []


def keep_on(ledger: Ledger, name: str, port: int, token: str, errors: list[BaseException]) -> None:
    """Save again and again until the connection breaks."""
    origin = f"http://127.0.0.1:{port}"
    headers = {"X-Hidelight-Token": token, "Origin": origin, "Content-Type": "application/json"}
    wire = Wire(http.client.HTTPConnection("127.0.0.1", port, timeout=5), headers)
    try:
        while True:
            if name == "adder":
                add(ledger, wire)
            else:
                count(ledger.counts[name], HANDS[name], wire)
    except (OSError, http.client.HTTPException):
        ledger.broken += 1
    except BaseException as error:
        errors.append(error)
    finally:
        wire.connection.close()


def count(own: Count, save: Callable[[Wire, int], None], wire: Wire) -> None:
    """Save the next number; it counts as saved once the server has answered."""
    own.sent += 1
    save(wire, own.sent)
    own.saved = own.sent


def add(ledger: Ledger, wire: Wire) -> None:
    """Add a thing of its own name; it counts as added once the server has answered."""
    name = f"Added {len(ledger.sent_names)}"
    ledger.sent_names.add(name)
    answer = wire.save("POST", "/api/things", {"name": name, "family": "belt-pouch", "measures": {}})
    ledger.added[int(answer["id"])] = name


def check(ledger: Ledger, port: int) -> None:
    """Compare what a fresh server has with what the hands know."""
    asking = Process(None, port, "")  # type: ignore[arg-type]
    found = {
        "thing": round((float(read(asking, "things/1")["measures"]["height"].split()[0]) - 152.4) * 1000),
        "placement": placed(read(asking, "layouts/1")["placements"]),
        "sighting": sighted(read(asking, "benches/1")["sightings"]["distances"]),
        "light": round(read(asking, "state")["light"]["height"] * 1000),
    }
    for name, own in ledger.counts.items():
        assert own.saved <= found[name] <= own.sent, f"{name}: {own.saved} was saved, {found[name]} is there"
    things = {thing["id"]: thing["name"] for thing in read(asking, "things") if thing["id"] != 1}
    assert ledger.added.items() <= things.items()
    assert set(things.values()) <= ledger.sent_names
    assert len(set(things.values())) == len(things), "nothing is added twice"


def check_undo(ledger: Ledger, asking: Process, hand: str) -> None:
    """What was answered as saved can be undone and done again: the save and its entry in the history are never parted."""
    of = {"of": {"placement": "layout", "sighting": "bench"}.get(hand, hand), "id": 1}
    path = {"thing": "things/1", "placement": "layouts/1", "sighting": "benches/1"}[hand]
    part = {"thing": "measures", "placement": "placements", "sighting": "sightings"}[hand]
    before = read(asking, path)[part]
    status, answer = asking.ask("POST", "/api/undo", of)
    if status == 409 and ledger.counts[hand].saved == 0:
        return
    assert status == 200, answer
    assert read(asking, path)[part] != before
    status, answer = asking.ask("POST", "/api/redo", of)
    assert status == 200, answer
    assert read(asking, path)[part] == before


OBJECTS = ("thing", "placement", "sighting")
"""The hands whose saves are kept in a history; what the light shows is not."""


def placed(placements: dict[str, Any]) -> int:
    """Return the count in both placements, which were saved together and must agree."""
    front, back = placements["front"]["x"], placements["back"]["x"]
    assert front == back, "half of a save is there"
    return int(front)


def sighted(distances: list[dict[str, Any]]) -> int:
    return int(distances[0]["length"]) - 1 if distances else 0


def read(asking: Process, what: str) -> Any:
    """Return what a GET answers."""
    status, content = asking.ask("GET", f"/api/{what}")
    assert status == 200, content
    return content


def assert_whole(folder: Path, last: Process) -> None:
    """The database itself is without fault once the last server has stopped."""
    last.popen.send_signal(signal.SIGINT)
    last.popen.wait(5)
    connection = sqlite3.connect(folder / "hidelight.db")
    assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()
