"""How much memory the server, the windows and the browser hold, and whether it grows."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from playwright.sync_api import Page

PROC = Path("/proc")
MEGABYTE = 1e6
FLAT_MB = 10.0
"""A slope that certainly lies under this, MB an hour, adds less than 100 MB to a long working day."""


class Memory:
    """Reads, in MB, what the server and the browser hold, the windows' heaps, and the data folder."""

    def __init__(self, server: int, folder: Path, windows: Mapping[str, Page]) -> None:
        self._server, self._folder = server, folder
        self._tools = {name: page.context.new_cdp_session(page) for name, page in windows.items()}
        for tools in self._tools.values():
            tools.send("Performance.enable")
        self.names = ["server", "threads", "files", "browser", "heaps", *self._tools, "data"]

    def read(self) -> list[float]:
        """Return the present values in the order of ``names``; threads and files are counts of the server."""
        heaps = [self._heap(name) for name in self._tools]
        browser = sum(resident(one) for one in children(os.getpid()) if one != self._server)
        data = sum(one.stat().st_size for one in self._folder.rglob("*") if one.is_file()) / MEGABYTE
        threads, files = (len(list((PROC / str(self._server) / name).iterdir())) for name in ("task", "fd"))
        return [resident(self._server), threads, files, browser, sum(heaps), *heaps, data]

    def _heap(self, name: str) -> float:
        """Return a window's JavaScript heap in MB, rubbish collected."""
        tools = self._tools[name]
        tools.send("HeapProfiler.collectGarbage")
        metrics = {one["name"]: one["value"] for one in tools.send("Performance.getMetrics")["metrics"]}
        return float(metrics["JSHeapUsedSize"]) / MEGABYTE


def resident(process: int) -> float:
    """Return a process's resident memory in MB; 0 when it has ended meanwhile."""
    try:
        pages = int((PROC / str(process) / "statm").read_text().split()[1])
    except (FileNotFoundError, ProcessLookupError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / MEGABYTE


def children(process: int) -> list[int]:
    """Return the numbers of all processes below one."""
    below: dict[int, list[int]] = {}
    for entry in PROC.iterdir():
        if entry.name.isdigit() and (parent := _parent(entry)) is not None:
            below.setdefault(parent, []).append(int(entry.name))
    found = list(below.get(process, []))
    for one in found:
        found += below.get(one, [])
    return found


def _parent(entry: Path) -> int | None:
    try:
        return int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1])
    except (FileNotFoundError, ProcessLookupError):
        return None


def trend(minutes: Sequence[float], values: Sequence[float]) -> tuple[float, float]:
    """Return slope and its standard error, both an hour, of the least-squares line.

    What one sample keeps of the one before makes the samples tell less than as many independent ones: the variance is
    multiplied by (1 + r) / (1 - r), r the residuals' lag-one correlation where it is positive (first-order autoregression).
    """
    hours = np.asarray(minutes) / 60.0
    centred, level = hours - hours.mean(), np.asarray(values, np.float64)
    if len(hours) < 4:
        return 0.0, float("inf")
    slope = float(centred @ level / (centred @ centred))
    left = level - level.mean() - slope * centred
    power = float(left @ left)
    correlation = float(np.clip(left[1:] @ left[:-1] / power, 0.0, 0.95)) if power > 0.0 else 0.0
    variance = power / (len(hours) - 2) / float(centred @ centred) * (1.0 + correlation) / (1.0 - correlation)
    return slope, variance**0.5


def flat(slope: float, error: float) -> str:
    """Say in words whether a slope is flat, by two standard errors either way."""
    if slope - 2.0 * error > 0.0:
        return "grows" + (f", by less than {FLAT_MB:g}" if slope + 2.0 * error < FLAT_MB else "")
    return "flat" if slope + 2.0 * error < FLAT_MB else "not decided: too short or too noisy"
