"""Where things stand, in one look, and what to do next."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any, TypeVar

from server.errors import Refusal
from server.services.bench import guard, history
from server.services.bench.bench_view import in_use
from server.services.light.light import Light
from server.services.next_step import Standing, next_step
from server.services.work.job_view import in_state
from server.services.work.pace import Pace
from server.store import benches, checks, jobs, layouts, things
from server.store.database import Database, Session
from server.store.history import version
from server.store.jobs import JobRecord
from server.store.records import BenchRecord, LayoutRecord

Found = TypeVar("Found")

NO_WINDOW = "No projector window is open."

UNKNOWN: dict[str, Any] = dict.fromkeys(("width", "height", "ratio", "screen")) | {"fullscreen": False, "scale": 1.0}
"""What is known of a window that has not reported its size."""


@dataclass(frozen=True)
class Current:
    """The bench and the layout in use, by number."""

    bench: int | None
    layout: int | None


class State:
    """Reads where things stand from the store and the light."""

    def __init__(self, database: Database, light: Light, pace: Pace) -> None:
        self._database, self._light, self._pace = database, light, pace

    def current(self) -> Current:
        """Return what is in use: what the light works on, else what was changed last."""
        now = self._standing()
        return Current(bench=now.bench.id if now.bench else None, layout=now.layout.id if now.layout else None)

    def read(self) -> dict[str, Any]:
        """Return where things stand, as GET /api/state answers it."""
        now, bench = self._standing(), None
        with self._database.reading() as session:
            changes = version(session)
            if now.bench:
                bench = in_use(session, now.bench)
        return {
            "window": self._window(now),
            "bench": bench,
            "thing": {"id": now.thing.id, "name": now.thing.name, "family": now.thing.family} if now.thing else None,
            "layout": {"id": now.layout.id, "name": now.layout.name} if now.layout else None,
            "job": in_state(now.job, self._light.shown.job, self._pace.running),
            "next": asdict(next_step(now)),
            "light": self._light.shown.to_json() | self._light.frame().told(),
            "check": _check(now),
            "guard": guard.counts(self._light.windows.size(), now.bench),
            "history": asdict(changes),
            "first_start": now.thing is None and now.bench is None,
        }

    def text(self) -> str:
        """Return ``read`` as JSON text, for the event stream."""
        return json.dumps(self.read(), allow_nan=False)

    def _standing(self) -> Standing:
        light = self._light
        with self._database.reading() as session:
            bench = self._bench(session)
            return Standing(
                thing=things.latest(session),
                bench=bench,
                layout=self._layout(session, bench),
                check=checks.latest(session, bench.id) if bench else None,
                checked=history.last_check(session, bench.id) if bench else None,
                corrected_at=history.corrected_at(session, bench) if bench else None,
                wants_calibration=bench is not None and history.wants_calibration(session, bench.id),
                window_open=light.windows.open,
                misfit=light.misfit(),
                job=self._job(session),
            )

    def _job(self, session: Session) -> JobRecord | None:
        """The job that the light shows, else the one under way that was worked on last."""
        shown = self._light.shown.job
        found = None if shown is None else _if_there(jobs.get, session, shown)
        return found or jobs.latest_under_way(session)

    def _bench(self, session: Session) -> BenchRecord | None:
        shown = self._light.shown.bench
        found = None if shown is None else _if_there(benches.get, session, shown)
        return found or benches.latest(session)

    def _layout(self, session: Session, bench: BenchRecord | None) -> LayoutRecord | None:
        shown = self._light.shown.layout
        found = None if shown is None else _if_there(layouts.get, session, shown)
        if found is not None:
            return found
        return layouts.latest_on(session, bench.id) if bench else None

    def _window(self, now: Standing) -> dict[str, Any]:
        size = self._light.windows.size()
        known = UNKNOWN if size is None else asdict(size)
        sentence = now.misfit if now.window_open else NO_WINDOW
        fits = size is not None and now.misfit is None
        return {"open": now.window_open, **known, "fits": fits, "sentence": sentence}


def _if_there(get: Callable[[Session, int], Found], session: Session, number: int) -> Found | None:
    """Return what the light works on, or None when it was put in the bin just now."""
    try:
        return get(session, number)
    except Refusal:
        return None


def _check(now: Standing) -> dict[str, Any] | None:
    if now.check is None or now.bench is None:
        return None
    changed = max(now.bench.calibrated_at or "", now.corrected_at or "")
    valid = now.check.made_at >= changed and now.bench.calibration is not None
    return {"verdict": now.check.verdict, "sentence": now.check.sentence, "made_at": now.check.made_at, "valid": valid}
