"""One server to a data folder: a locked file there, which the system lets go of however the server ends."""

from __future__ import annotations

import errno
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from server.errors import Refusal

LOCK_NAME = "hidelight.lock"
"""The file in the data folder that the running server holds; it is empty, and stays when the server ends."""

PATIENCE_S = 2.0
"""How long a start waits for the server before it, which may be ending just now, s."""

HELD = frozenset({errno.EACCES, errno.EAGAIN, errno.EDEADLK})
"""What the system says when another process has the lock."""

if sys.platform == "win32":
    import msvcrt

    def _lock(number: int) -> None:
        msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(number: int) -> None:
        # a record lock belongs to this process alone: a child that outlives a killed server does not keep it
        fcntl.lockf(number, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def only_server(folder: Path) -> Iterator[None]:
    """Hold the data folder for this process while the block runs.

    Raises:
        Refusal: another server holds it, or the folder cannot be locked.

    """
    try:
        held = (folder / LOCK_NAME).open("ab")
    except OSError as error:
        raise _unlockable(folder, error) from error
    with held:
        until = time.monotonic() + PATIENCE_S
        while not _locked(held.fileno(), folder):
            if time.monotonic() > until:
                raise _taken(folder)
            time.sleep(0.02)
        yield


def _locked(number: int, folder: Path) -> bool:
    """Take the lock on an open file; return False while another process has it."""
    try:
        _lock(number)
    except OSError as error:
        if error.errno in HELD:
            return False
        raise _unlockable(folder, error) from error
    return True


def _taken(folder: Path) -> Refusal:
    sentence = f"Another Hidelight is at work on the data folder {folder}: stop that one, or give another with --data."
    return Refusal(sentence, field="data")


def _unlockable(folder: Path, error: OSError) -> Refusal:
    sentence = f"The data folder {folder} cannot be locked ({error.strerror}): choose another with --data."
    return Refusal(sentence, field="data")
