"""Opens the door for phones: a small server of its own on one address of this computer, in a thread of its own."""

from __future__ import annotations

import threading
from typing import Any

from waitress.server import create_server
from waitress.wasyncore import close_all

from server.errors import Refusal
from server.phone.app import create_phone_app
from server.services.work.phones import Listening, Phones

PORTS = range(8418, 8438)
"""The ports that are tried in turn: another program may have the first."""
THREADS, CONNECTIONS, IDLE_S = 4, 32, 10


class Door:
    """An open door: waitress in a thread."""

    def __init__(self, phones: Phones, address: str, port: int) -> None:
        self._sockets: dict[int, Any] = {}
        self._server = _server(phones, address, port, self._sockets)
        self._thread = threading.Thread(target=self._server.run, name="phones", daemon=True)
        self._thread.start()

    @property
    def port(self) -> int:
        """The port that is open."""
        return int(self._server.effective_port)

    def close(self) -> None:
        """Shut the door and hang up on whoever is there."""
        self._server.trigger.pull_trigger(lambda: close_all(self._sockets, ignore_all=True))
        self._thread.join(timeout=5.0)
        self._server.task_dispatcher.shutdown(cancel_pending=True, timeout=2.0)


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
    return create_server(
        create_phone_app(phones, f"{address}:{port}"),
        map=sockets,
        host=address,
        port=port,
        threads=THREADS,
        ident=None,
        connection_limit=CONNECTIONS,
        channel_timeout=IDLE_S,
        cleanup_interval=5,
        max_request_header_size=8192,
        max_request_body_size=4096,
        clear_untrusted_proxy_headers=True,
    )
