"""The process that has the readers loaded and forks a fresh one for each file. POSIX only.

It is told of a file by a socket passed over its own; the fork reads the file from that socket, answers on it, and ends.
What a hostile file does to a fork is gone with the fork, and the next one begins as clean as the first.
"""

from __future__ import annotations

import os
import signal
import socket
import sys
import warnings

from server.reading.child import answer
from server.reading.formats import MOST_BYTES
from server.reading.limits import WALL_SECONDS, confine

READY = b"R"
"""What a fork says first: it has begun."""
CALL = b"F"
_LONGEST_NAME = 1000


def send(call: socket.socket, data: bytes, name: str) -> None:
    """Write a file and its name, and say that this is all."""
    call.sendall(name.encode()[:_LONGEST_NAME] + b"\n")
    call.sendall(data)
    call.shutdown(socket.SHUT_WR)


def received(call: socket.socket, most: int) -> bytes:
    """Return all that the other end sends, but no more than about `most` bytes."""
    found = bytearray()
    while len(found) <= most and (part := call.recv(1 << 18)):
        found += part
    return bytes(found)


def serve(control: socket.socket) -> None:
    """Fork a reader for each call until the other end is gone."""
    _load()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        word, handles, _, _ = socket.recv_fds(control, 1, 1)
        if not word:
            return
        with socket.socket(fileno=handles[0]) as call:
            if os.fork() == 0:
                control.close()
                _read(call)


def main() -> None:
    """Serve the socket whose number is the last argument."""
    warnings.simplefilter("ignore")
    serve(socket.socket(fileno=int(sys.argv[-1])))


def _load() -> None:
    """Import what reading needs, once."""
    from server.reading import dxf_file, pdf_file, svg_file  # noqa: F401


def _read(call: socket.socket) -> None:
    """Read one file within its limits and end; the system's own clock stops what takes too long."""
    try:
        signal.setitimer(signal.ITIMER_REAL, WALL_SECONDS)
        call.sendall(READY)
        name, _, data = received(call, MOST_BYTES + _LONGEST_NAME).partition(b"\n")
        confine()
        call.sendall(answer(data, name.decode(errors="replace")))
    finally:
        os._exit(0)
