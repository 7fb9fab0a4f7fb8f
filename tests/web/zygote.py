"""Starts real servers quickly: imports everything once, then forks a server process for each line ``FOLDER<TAB>PORT``.

Prints the process number of each. Starting Python and importing numpy, scipy and the web server takes over a second;
the fork takes milliseconds, and what it makes is a whole process with its own memory, sockets and database.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

from server.serve import run
from server.settings import settle


def serve(folder: Path, port: int) -> None:
    """Be a server until killed."""
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    sys.stdout = sys.stderr
    run(settle(folder, None, port), open_browser=False)


def main() -> None:
    """Fork a server for each line on stdin; the forked ones are reaped by the system."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    for line in sys.stdin:
        folder, port = line.rstrip("\n").split("\t")
        number = os.fork()
        if number == 0:
            try:
                serve(Path(folder), int(port))
            finally:
                os._exit(1)
        print(number, flush=True)


if __name__ == "__main__":
    main()
