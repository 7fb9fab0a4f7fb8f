"""Repeat, time, print median and 95 %."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

import numpy as np


def repeat(work: Callable[[], object], count: int, warm: int = 5) -> list[float]:
    """Return the times of ``count`` runs in ms, after ``warm`` runs that do not count."""
    for _ in range(warm):
        work()
    return [_once(work) for _ in range(count)]


def _once(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def title(words: str) -> None:
    """Print the head of a table."""
    print(f"\n{words:<52} {'runs':>5} {'median':>9} {'95 %':>9}  ms", flush=True)


def line(words: str, times: Sequence[float], aim: float | None = None, more: str = "") -> None:
    """Print one row; with an aim for the 95 % figure, whether it is met."""
    late = float(np.quantile(times, 0.95))
    told = "" if aim is None else f"aim {aim:g}: {'met' if late < aim else 'MISSED'}"
    print(f"{words:<52} {len(times):5d} {np.median(times):9.3f} {late:9.3f}  {told} {more}".rstrip(), flush=True)
