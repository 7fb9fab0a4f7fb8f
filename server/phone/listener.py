"""Opens the door for phones: a small server of its own on one address of this computer, in a thread of its own."""

from __future__ import annotations

import os
import select
import socket
import threading
from typing import Any

from waitress.channel import HTTPChannel
from waitress.server import create_server
from waitress.wasyncore import close_all, loop

from server.errors import Refusal
from server.phone.app import create_phone_app
from server.services.work.phones import Listening, Phones

PORTS = range(8418, 8438)
"""The ports that are tried in turn: another program may have the first."""
THREADS, CONNECTIONS, IDLE_S, LOOK_S = 4, 32, 10, 0.5

POLLS = hasattr(select, "poll")
"""Whether the system can watch any number of sockets; where it cannot, select sees low ones only."""


EACH = 8
"""Connections from one address at most; a browser has six. A stranger who holds all of them keeps no phone out."""


class Visit(HTTPChannel):  # type: ignore[misc]
    """A connection from the network: the newest of an address matter, and a request that dribbles in counts as none."""

    def __init__(self, server: Any, sock: Any, address: Any, adj: Any, map: Any = None) -> None:  # noqa: A002
        """Take the place of the oldest connections of the same address, where it has too many."""
        super().__init__(server, sock, address, adj, map)
        same = [visit for visit in server.active_channels.values() if visit.addr[0] == address[0]]
        for oldest in sorted(same, key=lambda visit: visit.creation_time)[:-EACH]:
            oldest.will_close = True

    def handle_read(self) -> None:
        """Read; the clock of an idle connection goes on until a request is whole."""
        before: float = self.last_activity  # type: ignore[has-type]
        super().handle_read()
        if self.request is not None and not self.requests:
            self.last_activity = before


class Door:
    """An open door: waitress in a thread of its own, which looks twice a second whether it is to be shut."""

    def __init__(self, phones: Phones, address: str, port: int) -> None:
        self._sockets: dict[int, Any] = {}
        self._server = _server(phones, address, port, self._sockets)
        self._shut = threading.Event()
        self._thread = threading.Thread(target=self._serve, name="phones", daemon=True)
        self._thread.start()

    @property
    def port(self) -> int:
        """The port that is open."""
        return int(self._server.effective_port)

    def close(self) -> None:
        """Shut the door and hang up on whoever is there."""
        self._shut.set()
        self._thread.join(timeout=5.0)

    def _serve(self) -> None:
        while not self._shut.is_set():
            loop(timeout=LOOK_S, use_poll=POLLS, map=self._sockets, count=1)
        self._server.task_dispatcher.shutdown(cancel_pending=True, timeout=2.0)
        close_all(self._sockets, ignore_all=True)


def open_door(phones: Phones, address: str) -> Listening:
    """Open the door at an address, at the first port that is free; refused (409) when none is."""
    for port in PORTS:
        try:
            return Door(phones, address, port)
        except OSError:
            continue
    sentence = (
        f"No port from {PORTS[0]} to {PORTS[-1]} of {address} is free, so no phone can be let in: stop what uses them."
    )
    raise Refusal(sentence, field="address", status=409)


def _server(phones: Phones, address: str, port: int, sockets: dict[int, Any]) -> Any:
    server = create_server(
        create_phone_app(phones, f"{address}:{port}"),
        map=sockets,
        sockets=[_bound(address, port)],
        threads=THREADS,
        ident=None,
        connection_limit=CONNECTIONS,
        channel_timeout=IDLE_S,
        cleanup_interval=5,
        max_request_header_size=8192,
        max_request_body_size=4096,
        clear_untrusted_proxy_headers=True,
    )
    server.channel_class = Visit
    return server


def _bound(address: str, port: int) -> socket.socket:
    """Return a socket that listens at the address; none is left open where another does."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name != "nt":  # there, another program could take the port over
            door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        door.bind((address, port))
        door.listen()
    except OSError:
        door.close()
        raise
    return door
