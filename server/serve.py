"""Runs the server: on 127.0.0.1, until Ctrl-C."""

from __future__ import annotations

import logging
import select
import signal
import threading
import webbrowser
from types import FrameType
from typing import NoReturn

from waitress.server import create_server

from server.app import create_app
from server.errors import Refusal
from server.one_server import only_server
from server.phone.listener import open_door
from server.services.workshop import Workshop, open_workshop
from server.settings import ADDRESS, Settings

THREADS = 32
"""Threads that answer; streams may hold 24 of them (see services.streams)."""

POLLS = hasattr(select, "poll")
"""Whether the system can watch any number of sockets; where it cannot, select has room for 512."""

CONNECTIONS = 900 if POLLS else 400
"""Connections at most: below the 1024 files that a process may usually have open."""

IDLE_S = 20
"""Seconds after which a connection that asks for nothing is hung up; a stream is always being answered."""

ADDRESS_IN_USE = "Port {port} is in use, perhaps by another Hidelight: stop that one, or choose another with --port."


def run(settings: Settings, *, open_browser: bool) -> None:
    """Serve until Ctrl-C or a polite kill, then stop within about two seconds.

    Args:
        settings: folder, database, port and token.
        open_browser: whether to open the first page.

    Raises:
        Refusal: another server has the data folder, the port is in use, or the database cannot be used.

    """
    with only_server(settings.folder):
        _serve(settings, open_browser=open_browser)


def _serve(settings: Settings, *, open_browser: bool) -> None:
    workshop = open_workshop(settings.database)
    workshop.phones.attach(open_door)
    try:
        server = _listen(settings, workshop)
        _end_streams_first(workshop)
        print(f"Hidelight is at {settings.address} (Ctrl-C stops it).", flush=True)
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(settings.address,), daemon=True).start()
        server.run()
        server.close()
    finally:
        workshop.close()


def _listen(settings: Settings, workshop: Workshop):  # type: ignore[no-untyped-def]
    """Return a server that holds the port; it looks for clients that hang up while they are being answered."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    try:
        return create_server(
            create_app(settings, workshop),
            host=ADDRESS,
            port=settings.port,
            threads=THREADS,
            ident="Hidelight",
            channel_request_lookahead=1,
            max_request_body_size=16 * 1024 * 1024,
            connection_limit=CONNECTIONS,
            channel_timeout=IDLE_S,
            cleanup_interval=5,
            asyncore_use_poll=POLLS,
            clear_untrusted_proxy_headers=True,
        )
    except OSError as error:
        raise Refusal(ADDRESS_IN_USE.format(port=settings.port), field="port") from error


def _end_streams_first(workshop: Workshop) -> None:
    """End the open streams as soon as the stop is asked for: a thread that holds one would not end by itself."""

    def stop(_number: int, _frame: FrameType | None) -> NoReturn:
        workshop.streams.end()
        raise KeyboardInterrupt

    if threading.current_thread() is threading.main_thread():
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, stop)
