"""A real server in a process of its own, asked over a real socket."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.web.desk import token_of

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Process:
    """A running server."""

    popen: subprocess.Popen[str]
    port: int
    token: str

    def ask(self, method: str, path: str, body: Any = None) -> tuple[int, Any]:
        """Return status and content of one request, over a connection of its own."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            connection.request(method, path, None if body is None else json.dumps(body), self.headers())
            answer = connection.getresponse()
            return answer.status, json.loads(answer.read())
        finally:
            connection.close()

    def headers(self) -> dict[str, str]:
        """Return what our own page sends."""
        origin = f"http://127.0.0.1:{self.port}"
        return {"X-Hidelight-Token": self.token, "Origin": origin, "Content-Type": "application/json"}

    def stream(self, role: str, window: str = "w1") -> Stream:
        """Open an event stream."""
        return Stream(self.port, f"/api/events?role={role}&window={window}")


class Stream:
    """A client of one event stream."""

    def __init__(self, port: int, path: str) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
        self._connection.request("GET", path)
        self._answer = self._connection.getresponse()
        self.status = self._answer.status

    def __enter__(self) -> Stream:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()

    def event(self) -> tuple[str, Any] | None:
        """Return the next event's name and content, or None when the stream has ended."""
        name = ""
        while raw := self._answer.readline():
            line = raw.decode().rstrip("\n")
            if line.startswith("event: "):
                name = line[7:]
            if line.startswith("data: "):
                return name, json.loads(line[6:])
        return None

    def next(self, name: str) -> Any:
        """Return the content of the next event of that name; it must come within five seconds."""
        end = time.monotonic() + 5
        while time.monotonic() < end and (found := self.event()) is not None:
            if found[0] == name:
                return found[1]
        raise AssertionError(f"no event {name} came")

    def content(self) -> Any:
        """Return the whole JSON answer of a stream that was refused."""
        return json.loads(self._answer.read())

    def close(self) -> None:
        """Hang up."""
        self._answer.close()
        self._connection.close()


def free_port() -> int:
    """Return a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def started(folder: Path, port: int | None = None) -> Iterator[Process]:
    """Start a server on the data folder; kill it at the end if it still runs."""
    port = port or free_port()
    command = [
        sys.executable,
        "-m",
        "server.cli",
        "--no-browser",
        "--data",
        str(folder),
        "--port",
        str(port),
    ]
    environment = {name: value for name, value in os.environ.items() if name != "HIDELIGHT_DATABASE"}
    popen = subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        assert popen.stdout is not None
        assert popen.stderr is not None
        said = popen.stdout.readline()
        if f"http://127.0.0.1:{port}/" not in said:
            popen.kill()
            raise AssertionError(f"the server said {said!r} and {popen.stderr.read()!r}")
        yield Process(popen, port, token_of(page(port)))
    finally:
        if popen.poll() is None:
            popen.send_signal(signal.SIGKILL)
        popen.communicate()


def page(port: int, path: str = "/") -> str:
    """Return a page's text."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.request("GET", path)
        return connection.getresponse().read().decode()
    finally:
        connection.close()


def until(true: Any, seconds: float = 5.0) -> bool:
    """Wait until a condition holds; return whether it did in time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.02)
    return bool(true())
