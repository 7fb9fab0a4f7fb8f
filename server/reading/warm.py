"""Reading a file without the wait for a new process to load its libraries: the process that forks, and how it is kept.

Where the system cannot fork (Windows), and whenever that process is not to be had, a file is read in a process of its own
from the start, which takes longer and ends the same.
"""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import sys
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from calibration.refusal import Refusal
from server.reading.forks import CALL, READY, received, send
from server.reading.formats import MOST_BYTES
from server.reading.limits import WALL_SECONDS
from server.reading.reader import BROKE, TOO_LONG, read_file, said_name, too_large
from server.reading.sheet import Sheet
from server.reading.wire import unpack

AT_ONCE = 2
"""Files that are read at the same time; each may take a gibibyte."""
WAIT_SECONDS = 8.0
"""How long a file waits for its turn."""
START_SECONDS = 15.0
"""How long the process may take to load its libraries."""
_MOST_ANSWER = 400_000_000
_HOME = Path(__file__).resolve().parents[2]
_CHILD = "import sys; sys.path.append(sys.argv[1]); from server.reading.forks import main; main()"
CAN_FORK = hasattr(os, "fork") and hasattr(socket, "send_fds")


@dataclass(frozen=True)
class _Kept:
    """The process and our end of its socket."""

    process: subprocess.Popen[bytes]
    control: socket.socket

    def end(self) -> None:
        """Let the process go."""
        self.control.close()
        self.process.kill()
        self.process.wait()


class WarmReader:
    """Reads files by forks of one process that is kept; safe to use from several threads."""

    def __init__(self) -> None:
        self._kept: _Kept | None = None
        self._lock = threading.Lock()
        self._turns = threading.BoundedSemaphore(AT_ONCE)

    def ready(self) -> None:
        """Start the process, if it is not there, without waiting for it."""
        if CAN_FORK:
            with self._lock:
                self._present()

    def read(self, data: bytes, name: str) -> Sheet:
        """Read a file, as `reader.read_file` does.

        Raises:
            Refusal: in one sentence, what is wrong with it; 503 while too many others are being read.

        """
        if len(data) > MOST_BYTES:
            raise too_large(len(data))
        if not self._turns.acquire(timeout=WAIT_SECONDS):
            raise Refusal("Other files are being read: bring this one again in a moment.", status=503)
        try:
            return self._read(data, said_name(name))
        finally:
            self._turns.release()

    def close(self) -> None:
        """End the process."""
        with self._lock:
            if self._kept is not None:
                self._kept.end()
            self._kept = None

    def number(self) -> int | None:
        """Return the process's number, or None while there is none."""
        return None if self._kept is None else self._kept.process.pid

    def _read(self, data: bytes, name: str) -> Sheet:
        """Read by a fork; a process that has died is replaced once, then a new one reads from the start."""
        for _ in range(2 if CAN_FORK else 0):
            call = self._called()
            if call is not None and (answer := _asked(call, data, name)) is not None:
                return unpack(answer)
            self.close()
        return read_file(data, name)

    def _called(self) -> socket.socket | None:
        """Return a socket to a fresh fork, or None when the process cannot be asked for one."""
        ours, theirs = socket.socketpair()
        with self._lock, theirs:
            try:
                socket.send_fds(self._present().control, [CALL], [theirs.fileno()])
            except OSError:
                ours.close()
                return None
        return ours

    def _present(self) -> _Kept:
        """Return the process, started if need be; the caller holds the lock."""
        if self._kept is not None and self._kept.process.poll() is not None:
            self._kept.end()
            self._kept = None
        if self._kept is None:
            self._kept = _started()
        return self._kept


def _started() -> _Kept:
    ours, theirs = socket.socketpair()
    threads = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
    with theirs:
        command = [sys.executable, "-P", "-c", _CHILD, str(_HOME), str(theirs.fileno())]
        process = subprocess.Popen(  # noqa: S603 - our own interpreter and code
            command, stdin=subprocess.DEVNULL, pass_fds=[theirs.fileno()], env={**os.environ, **threads}
        )
    return _Kept(process, ours)


def _asked(call: socket.socket, data: bytes, name: str) -> bytes | None:
    """Return what a fork answers, or None when it never began.

    Raises:
        Refusal: it began and ended without an answer: the file took too long, or broke it.

    """
    with call:
        call.settimeout(START_SECONDS)
        try:
            if call.recv(len(READY)) != READY:
                return None
        except OSError:
            return None
        begun = time.monotonic()
        call.settimeout(WALL_SECONDS + 1.0)
        answer = _answer(call, data, name)
    if not answer:
        raise Refusal(TOO_LONG.format(WALL_SECONDS) if time.monotonic() - begun >= WALL_SECONDS - 0.5 else BROKE)
    return answer


def _answer(call: socket.socket, data: bytes, name: str) -> bytes:
    """Send the file and return the answer; empty when the fork ended without one."""
    try:
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            send(call, data, name)
        return received(call, _MOST_ANSWER)
    except (TimeoutError, ConnectionResetError):
        return b""
