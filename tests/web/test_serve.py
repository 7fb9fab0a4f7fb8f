"""The server as a process: where it listens, how it stops, what it says when it cannot start."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from server.services.streams import CAP
from tests.web.process import ROOT, Process, free_port, page, started


def launch(folder: Path, port: int, **environment: str) -> subprocess.CompletedProcess[str]:
    """Start a server that is expected to give up at once."""
    command = [sys.executable, "-m", "server.cli", "--no-browser", "--data", str(folder), "--port", str(port)]
    return subprocess.run(
        command, cwd=ROOT, env=os.environ | environment, capture_output=True, text=True, timeout=20, check=False
    )


def assert_one_sentence(result: subprocess.CompletedProcess[str]) -> None:
    """Exit status 2, one sentence on stderr, no traceback."""
    assert result.returncode == 2
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 1
    assert "Traceback" not in result.stderr


def test_it_listens_on_this_machine_only(process: Process) -> None:
    with pytest.raises(OSError, match="refused"), socket.create_connection((_own_address(), process.port), timeout=2):
        pass
    with pytest.raises(OSError, match="refused"), socket.create_connection(("::1", process.port), timeout=2):
        pass
    socket.create_connection(("127.0.0.1", process.port), timeout=2).close()


def _own_address() -> str:
    """Return an address of this machine other than 127.0.0.1: a real one, or another one of the loopback net."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))
        return str(probe.getsockname()[0])
    return "127.0.0.2"


def test_a_busy_port_is_said_with_the_option(process: Process, tmp_path: Path) -> None:
    result = launch(tmp_path, process.port)
    assert_one_sentence(result)
    assert str(process.port) in result.stderr
    assert "--port" in result.stderr


def test_a_foreign_database_is_said_and_left(tmp_path: Path) -> None:
    place = tmp_path / "hidelight.db"
    place.write_bytes(b"a letter to a friend")
    result = launch(tmp_path, free_port())
    assert_one_sentence(result)
    assert str(place) in result.stderr
    assert place.read_bytes() == b"a letter to a friend"


def test_the_database_address_of_the_environment_is_used(tmp_path: Path) -> None:
    result = launch(tmp_path, free_port(), HIDELIGHT_DATABASE="carrier-pigeon://coop")
    assert_one_sentence(result)
    assert "carrier-pigeon" in result.stderr


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM], ids=["ctrl-c", "polite kill"])
def test_it_stops_within_two_seconds_with_all_streams_open(tmp_path: Path, how: signal.Signals) -> None:
    with started(tmp_path) as process, contextlib.ExitStack() as stack:
        streams = [stack.enter_context(process.stream("page", f"w{number}")) for number in range(CAP)]
        for stream in streams:
            stream.next("state")
        begin = time.monotonic()
        process.popen.send_signal(how)
        assert process.popen.wait(5) == 0
        assert time.monotonic() - begin < 2.0
        assert streams[0].event() is None
        assert process.popen.stderr is not None
        assert process.popen.stderr.read() == ""
    assert not (tmp_path / "hidelight.db-wal").exists(), "the log is folded into the file"


def test_it_starts_again_on_the_same_port_at_once(tmp_path: Path) -> None:
    with started(tmp_path) as first:
        port = first.port
        first.ask("POST", "/api/practice/start", {})
        first.popen.send_signal(signal.SIGINT)
        first.popen.wait(5)
    with started(tmp_path, port=port) as second:
        assert second.ask("GET", "/api/state")[1]["first_start"] is False
        assert second.token != first.token


def test_pages_come_over_the_wire(process: Process) -> None:
    text = page(process.port, "/light")
    assert "</html>" in text
    assert process.token in text


def test_the_wheel_carries_migrations_pages_and_scripts(tmp_path: Path) -> None:
    """Built from a copy of what git would carry, and looked into."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    built = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr
    with zipfile.ZipFile(next(tmp_path.glob("*.whl"))) as wheel:
        carried = set(wheel.namelist())
    wanted = [*(ROOT / "server" / "store" / "migrations").rglob("*.py"), *(ROOT / "static").rglob("*.*")]
    wanted = [path for path in wanted if "__pycache__" not in path.parts and path.is_file()]
    assert len(wanted) > 10
    assert {str(path.relative_to(ROOT)) for path in wanted} <= carried
