"""A job and everything that follows from where it stands: its step, its blow, and the way ahead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import cast

from server.errors import Refusal
from server.leather.pattern import Pattern, Step
from server.leather.rack import Rack
from server.services.bench.bench_check import BenchCheck
from server.services.making.made_with import Made
from server.services.making.strikes import ShownStrike
from server.services.making.waits import waits
from server.services.work.job_path import JobPath, Leg, Order, Place
from server.store.jobs import JobRecord


@dataclass(frozen=True)
class AtWork:
    """A job at its present place.

    Args:
        job: as it is kept.
        pattern: what is made.
        blows: the blows of each step that has any, by step; none while pricking is shown whole.
        check: whether its bench was checked today.
        leather: thickness of one ply, mm.
        rack: what it is made with.

    """

    job: JobRecord
    pattern: Pattern
    blows: Mapping[str, tuple[ShownStrike, ...]]
    check: BenchCheck
    leather: float
    rack: Rack

    @cached_property
    def path(self) -> JobPath:
        """Return the way through the job."""
        state = self.job.state
        legs = tuple(Leg(step.name, len(self.blows.get(step.name, ()))) for step in self.pattern.steps)
        return JobPath(legs, state.copies, cast(Order, state.order))

    @cached_property
    def place(self) -> Place:
        """Return where the job stands, as far as the pattern and the rack still have that place."""
        state = self.job.state
        return self.path.nearest(Place(state.copy, state.step, state.strike, state.done_at is not None))

    @property
    def step(self) -> Step:
        """Return the present step."""
        return self.pattern.step(self.place.step)

    @property
    def waits(self) -> tuple[str, ...]:
        """Return what the present step makes the maker wait for, a sentence each."""
        return tuple(wait["words"] for wait in waits(self.step, self.rack))

    @property
    def strikes(self) -> tuple[ShownStrike, ...]:
        """Return the blows of the present step; none where it is shown whole."""
        return self.blows.get(self.place.step, ())

    @property
    def strike(self) -> ShownStrike | None:
        """Return the present blow."""
        return None if self.place.strike is None else self.strikes[self.place.strike]


def at_work(job: JobRecord, made: Made, check: BenchCheck, leather: float, rack: Rack) -> AtWork:
    """Return a job at its present place; ``leather`` is the thickness of one ply, mm.

    Raises:
        Refusal: the pattern has no steps to be led through (409).

    """
    pattern = made.pattern
    if not pattern.steps:
        raise Refusal(f"{pattern.title} has no steps to lead through: use the table.", field="layout", status=409)
    return AtWork(job, pattern, made.blows if job.state.by_strike else {}, check, leather, rack)
