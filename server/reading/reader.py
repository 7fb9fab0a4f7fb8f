"""Reading a file that somebody brought: in a process of its own, within limits of memory and time."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from calibration.refusal import Refusal
from server.reading.formats import MOST_BYTES
from server.reading.limits import WALL_SECONDS
from server.reading.sheet import Sheet
from server.reading.wire import unpack

_HOME = Path(__file__).resolve().parents[2]
_CHILD = "import sys; sys.path.append(sys.argv[1]); from server.reading.child import main; main()"
TOO_LONG = "Reading the file takes longer than {:g} s: try once more, or simplify it."
BROKE = "The file broke its reader or took too long: save it again, simplified."


def read_file(data: bytes, name: str) -> Sheet:
    """Read an SVG, DXF or PDF file; what it is, is told by its bytes.

    Args:
        data: the file, at most 20 MB.
        name: its name, for sentences only; never opened.

    The file is parsed in a child process with 1 GiB of address space, 5 s of CPU and 5 s by the clock.

    Raises:
        Refusal: in one sentence, what is wrong with it.

    """
    if len(data) > MOST_BYTES:
        raise too_large(len(data))
    threads = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
    command = [sys.executable, "-P", "-c", _CHILD, str(_HOME), said_name(name)]
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and code; the file comes by standard input
            command, input=data, capture_output=True, timeout=WALL_SECONDS, env={**os.environ, **threads}, check=False
        )
    except subprocess.TimeoutExpired as error:
        raise Refusal(TOO_LONG.format(WALL_SECONDS)) from error
    if done.returncode != 0:
        raise Refusal(BROKE)
    return unpack(done.stdout)


def said_name(name: str) -> str:
    """Return a file's name fit for sentences: printable, and not too long."""
    return "".join(letter for letter in name if letter.isprintable())[:120] or "file"


def too_large(size: int) -> Refusal:
    """Return the refusal of a file of so many bytes."""
    return Refusal(f"The file has {size / 1e6:.1f} MB, more than {MOST_BYTES // 1_000_000}: simplify it.")
