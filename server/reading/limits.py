"""What one reading may use, and how a process holds itself to it."""

from __future__ import annotations

import contextlib
import sys

MEMORY = 1 << 30
"""Bytes of address space: 1 GiB."""
CPU_SECONDS = 5
WALL_SECONDS = 5.0


def confine() -> None:
    """Hold this process to its limits for good: memory, CPU, no files written, no processes started.

    Does nothing where the system has no such limits (Windows); the parent's clock holds everywhere.
    """
    if sys.platform == "win32":
        return
    import resource

    wanted = (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, CPU_SECONDS),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_NPROC, 0),
    )
    for limit, most in wanted:
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(limit, (most, most))
