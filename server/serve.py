"""Runs the server: on 127.0.0.1, until Ctrl-C."""

from __future__ import annotations

import argparse
import logging
import signal
import sys
import threading
import webbrowser
from collections.abc import Sequence
from pathlib import Path
from types import FrameType
from typing import NoReturn

from waitress.server import create_server

from server.app import create_app
from server.errors import Refusal
from server.services.workshop import Workshop, open_workshop
from server.settings import ADDRESS, DEFAULT_PORT, Settings, settle

THREADS = 32
"""Threads that answer; streams may hold 24 of them (see services.streams)."""

ADDRESS_IN_USE = "Port {port} is in use, perhaps by another Hidelight: stop that one, or choose another with --port."


def run(settings: Settings, *, open_browser: bool) -> None:
    """Serve until Ctrl-C or a polite kill, then stop within about two seconds.

    Args:
        settings: folder, database, port and token.
        open_browser: whether to open the first page.

    Raises:
        Refusal: the port is in use, or the database cannot be used.

    """
    workshop = open_workshop(settings.database)
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
    """Return a server that holds the port; waitress 3 sends each event as it comes."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    try:
        return create_server(
            create_app(settings, workshop),
            host=ADDRESS,
            port=settings.port,
            threads=THREADS,
            ident="Hidelight",
            max_request_body_size=16 * 1024 * 1024,
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


def main(arguments: Sequence[str] | None = None) -> int:
    """Serve from the command line; return the exit status."""
    parser = argparse.ArgumentParser(prog="hidelight", description="Start the Hidelight workshop server.")
    parser.add_argument("--no-browser", action="store_true", help="do not open the browser")
    parser.add_argument("--data", type=Path, help="data folder")
    parser.add_argument("--port", type=int, default=DEFAULT_PORT, help="port on 127.0.0.1")
    given = parser.parse_args(arguments)
    try:
        run(settle(given.data, port=given.port), open_browser=not given.no_browser)
    except Refusal as refusal:
        print(refusal.sentence, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
