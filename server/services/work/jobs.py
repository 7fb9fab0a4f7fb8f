"""Jobs: started from a layout or a pattern, listed, changed, ended."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from server.errors import Refusal
from server.services.light.shown import Shown
from server.services.light.stage import Stage, load
from server.services.table.layouts import LayoutChange, Layouts
from server.services.work.job_path import ORDERS, Order, Place
from server.services.work.job_view import GONE, headline
from server.services.work.step_card import SIDES, Side
from server.store import jobs as stored
from server.store import layouts
from server.store.clock import now
from server.store.database import Database
from server.store.jobs import JobRecord, JobState

__all__ = ["MOST_COPIES", "ORDERS", "RATES", "SIDES", "JobChange", "Jobs", "Start"]

MOST_COPIES = 200
"""More than anyone cuts of one thing in one job."""
RATES = (5.0, 240.0)
"""Slowest and fastest blows a minute; a practised hand strikes about one a second (common practice, no source)."""
RATE = 30.0


@dataclass(frozen=True)
class Start:
    """What a job is started from: a layout, or a pattern on a bench. None leaves the rest as it usually is."""

    copies: int = 1
    layout: int | None = None
    pattern: int | None = None
    bench: int | None = None
    leather: str | None = None
    name: str | None = None
    order: Order = "copy"
    side: Side | None = None
    by_strike: bool = True


@dataclass(frozen=True)
class JobChange:
    """What to change on a job; None leaves it as it is."""

    name: str | None = None
    copies: int | None = None
    side: Side | None = None
    rate: float | None = None
    by_strike: bool | None = None


class Jobs:
    """The jobs as they are kept. Whoever changes one holds no older picture of it: see ``change``."""

    def __init__(self, database: Database, layouts: Layouts) -> None:
        self._database, self._layouts = database, layouts

    def every(self) -> list[dict[str, Any]]:
        """Return all jobs as lists show them, the one worked on last first."""
        with self._database.reading() as session:
            records = stored.every(session)
        return [self._headline(record) for record in records]

    def record(self, number: int) -> JobRecord:
        """Return a job as it is kept; refused (404) when it is not there."""
        with self._database.reading() as session:
            return stored.get(session, number)

    def stage(self, number: int) -> Stage:
        """Return a job at its place, with everything that the light needs for it.

        Raises:
            Refusal: there is no such job (404), or its layout is gone or in the bin (409).

        """
        return self._stage(self.record(number))

    def start(self, start: Start) -> int:
        """Start a job at its first step, and return its number.

        Raises:
            Refusal: neither a layout nor a pattern and a bench; no such one (404); leather that is not understood; or
                a pattern without steps (409).

        """
        layout = self._layouts.get(self._laid(start))
        if start.leather is not None and start.leather != layout["leather"]:
            layout = self._layouts.change(layout["id"], LayoutChange(leather=start.leather))
        if not layout["steps"]:
            raise Refusal("This pattern has no steps to lead through: use the table.", field="layout", status=409)
        with self._database.writing() as session:
            usual = stored.latest_side(session, layout["bench"]["id"]) or "bottom"
            return stored.add(session, layout_id=layout["id"], state=_first(start, layout, usual)).id

    def change(self, number: int, change: Callable[[JobRecord], JobState | None]) -> bool:
        """Save what ``change`` makes of a job, in one go; return False and save nothing where it makes None or the same."""
        with self._database.writing() as session:
            record = stored.get(session, number)
            state = change(record)
            if state is None or state == record.state:
                return False
            stored.change(session, number, state)
        return True

    def _laid(self, start: Start) -> int:
        """The layout that the job is worked on: the one given, or a new one of its pattern on another bench."""
        if start.layout is None:
            if start.pattern is None or start.bench is None:
                raise Refusal("Choose what is to be made, and the bench it is made on.", field="layout")
            return int(self._layouts.add(start.pattern, start.bench, None)["id"])
        with self._database.reading() as session:
            found = layouts.get(session, start.layout)
        if start.bench is None or start.bench == found.bench_id:
            return found.id
        return int(self._layouts.add(found.pattern_id, start.bench, None)["id"])

    def _headline(self, record: JobRecord) -> dict[str, Any]:
        if record.state.done_at is not None:
            return headline(record, None)
        try:
            return headline(record, self._stage(record).work)
        except Refusal:
            return headline(record, None)

    def _stage(self, record: JobRecord) -> Stage:
        if record.layout_id is None:
            raise Refusal(GONE, field="layout", status=409)
        try:
            return load(self._database, Shown(mode="layout", layout=record.layout_id, job=record.id))
        except Refusal as refusal:
            raise Refusal(refusal.sentence, field="layout", status=409) from refusal


def moved(state: JobState, place: Place) -> JobState:
    """Return the job's state at another place."""
    done = (state.done_at or now()) if place.done else None
    return replace(state, copy=place.copy, step=place.step, strike=place.strike, done_at=done)


def _first(start: Start, layout: Mapping[str, Any], usual_side: str) -> JobState:
    """The state of a job that begins."""
    return JobState(
        name=start.name or layout["name"],
        copies=start.copies,
        order=start.order,
        copy=1,
        step=layout["steps"][0]["name"],
        strike=None,
        by_strike=start.by_strike,
        side=start.side or usual_side,
        rate=RATE,
    )
