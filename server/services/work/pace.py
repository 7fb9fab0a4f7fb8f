"""Blows that follow each other by themselves: this clock decides when, so that all windows agree."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable

Strike = Callable[[int], bool]
"""Goes on by one blow of the job with this number; tells whether another is to follow."""

_log = logging.getLogger(__name__)


class Pace:
    """One job at most goes by itself: there is one light. Every method may be called from any thread."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._changed = threading.Condition()
        self._job: int | None = None
        self._due = self._every = 0.0
        self._strike: Strike | None = None
        self._thread: threading.Thread | None = None
        self._ended = False

    @property
    def running(self) -> int | None:
        """Return the job that goes by itself, or None."""
        return self._job

    def start(self, job: int, rate: float, strike: Strike) -> None:
        """Let a job go by itself, ``rate`` blows a minute; the first follows after one interval."""
        with self._changed:
            self._every = 60.0 / rate
            self._job, self._strike, self._due = job, strike, self._clock() + self._every
            if self._thread is None and not self._ended:
                self._thread = threading.Thread(target=self._run, name="pace", daemon=True)
                self._thread.start()
            self._changed.notify_all()

    def stop(self, job: int | None = None) -> bool:
        """Let this job, or any, go by itself no longer; tell whether it did."""
        with self._changed:
            if self._job is None or (job is not None and job != self._job):
                return False
            self._job = None
            self._changed.notify_all()
            return True

    def end(self) -> None:
        """Stop for good, and wait for a blow that is on its way."""
        with self._changed:
            self._job, self._ended = None, True
            self._changed.notify_all()
        if self._thread is not None:
            self._thread.join(5.0)

    def _run(self) -> None:
        while (turn := self._await()) is not None:
            job, strike = turn
            if not self._struck(job, strike):
                self.stop(job)

    def _await(self) -> tuple[int, Strike] | None:
        """Wait for the next blow that is due; None when the clock has ended."""
        with self._changed:
            while not self._ended:
                left = self._due - self._clock()
                if self._job is not None and self._strike is not None and left <= 0:
                    self._due = max(self._due + self._every, self._clock())
                    return self._job, self._strike
                self._changed.wait(left if self._job is not None else None)
            return None

    @staticmethod
    def _struck(job: int, strike: Strike) -> bool:
        try:
            return strike(job)
        except Exception:
            _log.exception("the blows cannot follow by themselves")
            return False
