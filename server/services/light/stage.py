"""Everything that the present frame is made of, loaded once when the light is told what to show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeAlias

from calibration.bench import Bench
from calibration.sightings import Pair
from server.errors import Refusal
from server.leather.pattern import Pattern, Step
from server.leather.piece import ROLES, Role
from server.leather.rack import Rack
from server.services.bench import witness
from server.services.bench.bench_check import bench_check
from server.services.bench.optics import optics
from server.services.light import seeing_choices
from server.services.light.seeing_choices import Choices
from server.services.light.shown import Shown
from server.services.making.made_of import rack_of
from server.services.making.made_with import made_with
from server.services.making.strikes import ShownStrike
from server.services.pattern import drafted
from server.services.table.alignment_over import Over
from server.services.work.at_work import AtWork, at_work
from server.store import benches, jobs, layouts, patterns
from server.store.database import Database
from server.store.records import BenchRecord, LayoutRecord, Lie, PatternRecord

Nudges: TypeAlias = Mapping[str, Pair]
"""Where witness crosses were moved to, picture px by letter."""


@dataclass(frozen=True)
class BenchInUse:
    """A bench with its optics."""

    record: BenchRecord

    @cached_property
    def optics(self) -> Bench:
        """Return the optics: calibrated, or the nominal guess."""
        return optics(self.record)

    @property
    def calibrated(self) -> bool:
        """Tell whether the bench is calibrated."""
        return self.record.calibration is not None


@dataclass(frozen=True)
class Laid:
    """A layout with the pattern that it lays; ``blows`` of its step when they are shown one by one, ``blow`` the present one.

    ``rack`` is the one it is made with; its steps then name the tools and the thread of that rack.
    """

    layout: LayoutRecord
    pattern: PatternRecord
    blows: tuple[ShownStrike, ...] = ()
    blow: int | None = None
    rack: Rack | None = None

    @cached_property
    def drafted(self) -> Pattern:
        """Return the pattern, as it was saved."""
        return drafted.of_pattern(self.pattern) if self.rack is None else made_with(self.pattern, self.rack).pattern

    @property
    def step(self) -> Step | None:
        """Return the present step of the work, or None for all at once."""
        return next((step for step in self.drafted.steps if step.name == self.layout.step), None)

    @property
    def height(self) -> float:
        """Return how high the lit surface is, mm: the plies under the light; one ply while no step is chosen."""
        leather = self.layout.leather_mm
        return leather if self.step is None else self.step.height(leather)

    def roles(self) -> tuple[Role, ...]:
        """Return the kinds of line that are switched on; one that was never switched is on."""
        return tuple(role for role in ROLES if self.layout.show.get(role, True))


@dataclass(frozen=True)
class Stage:
    """What is shown, with what it needs.

    Args:
        shown: what was asked for.
        over: what a hand has in the light over the layout, such as the cross-hair.
        bench: the bench, None only while the light is dark.
        laid: the layout and its pattern, in that mode.
        moves: where a drag has taken pieces since the layout was saved.
        nudges: where a hand has taken witness crosses since they were shown.
        sentence: why it is dark, when something that was shown is no longer there.
        work: the job that leads through the layout, when one does; the layout then stands at the job's step.
        seeing: how the light is to be seen on the layout's leather.

    """

    shown: Shown
    bench: BenchInUse | None = None
    laid: Laid | None = None
    moves: Mapping[str, Lie] = field(default_factory=dict)
    nudges: Nudges = field(default_factory=dict)
    over: Over | None = None
    work: AtWork | None = None
    seeing: Choices = field(default_factory=Choices)
    sentence: str | None = None

    def lies(self) -> dict[str, Lie]:
        """Return where each piece lies now."""
        return {**self.laid.layout.placements, **self.moves} if self.laid else {}

    def moved(self, piece: str, lie: Lie) -> Stage:
        """Return the stage with one piece moved; refused (404) for a piece that is not there."""
        if piece not in self.lies():
            raise Refusal(f"The layout has no piece {piece[:40]!r}.", field="piece", status=404)
        return replace(self, moves={**self.moves, piece: lie})

    def with_moves_of(self, before: Stage) -> Stage:
        """Return the stage with what a drag had moved ``before``, if the layout was not saved since."""
        if self.laid is None or before.laid is None:
            return self
        now, then = self.laid.layout, before.laid.layout
        return replace(self, moves=before.moves) if (now.id, now.revision) == (then.id, then.revision) else self

    def with_over_of(self, before: Stage) -> Stage:
        """Return the stage with what a hand had over the same layout ``before``."""
        if self.laid is None or before.laid is None or self.laid.layout.id != before.laid.layout.id:
            return self
        return replace(self, over=before.over)

    def witnesses(self) -> dict[str, Pair]:
        """Return where each witness cross stands now, px: where it belongs, or where it was moved to.

        Raises:
            Refusal: the bench has no marks that can be used (409).

        """
        if self.bench is None:
            return {}
        return {**witness.predicted(witness.usable(self.bench.record), self.bench.optics), **self.nudges}

    def nudged(self, nudges: Nudges) -> Stage:
        """Return the stage with these witness crosses moved, none when there are none.

        Raises:
            Refusal: a letter that is no mark (404), or a place outside the picture.

        """
        if self.shown.mode != "witness" or self.bench is None or not nudges:
            return replace(self, nudges={})
        known = self.witnesses()
        unknown = next((name for name in nudges if name not in known), None)
        if unknown is not None:
            raise Refusal(f"There is no witness mark {unknown[:20]!r}.", field="name", status=404)
        witness.check_inside(self.bench.record, nudges, "pixel")
        return replace(self, nudges={**self.nudges, **nudges})

    def choosing(self, name: str) -> Stage:
        """Return the stage with this cross marked out."""
        return replace(self, shown=replace(self.shown, selected=name))

    def with_nudges_of(self, before: Stage) -> Stage:
        """Return the stage with the witness crosses where they were ``before``, if it shows the same marks."""
        same = self.shown.mode == before.shown.mode == "witness" and self.bench is not None and before.bench is not None
        if not same or self.bench is None or before.bench is None:
            return self
        now, then = self.bench.record, before.bench.record
        unmoved = (now.id, now.calibrated_at, now.witness) == (then.id, then.calibrated_at, then.witness)
        return replace(self, nudges=before.nudges) if unmoved else self

    @property
    def height(self) -> float:
        """Return how high the lit surface is, mm above the table."""
        if self.shown.mode == "check":
            return self.shown.height
        return self.laid.height if self.laid else 0.0


def darkened(database: Database, shown: Shown, sentence: str) -> Stage:
    """Return darkness that says why, on the bench of what was shown if that is still there."""
    try:
        dark = load(database, Shown(bench=shown.bench))
    except Refusal:
        dark = load(database, Shown())
    return replace(dark, sentence=sentence)


def load(database: Database, shown: Shown) -> Stage:
    """Return the stage for what is to be shown.

    Raises:
        Refusal: the bench or the layout is not there (404).

    """
    with database.reading() as session:
        if shown.mode == "layout" and shown.layout is not None:
            layout = layouts.get(session, shown.layout)
            record = benches.get(session, layout.bench_id)
            pattern, on = patterns.get(session, layout.pattern_id), replace(shown, bench=record.id)
            rack = rack_of(session, pattern)
            laid = Laid(layout, pattern, rack=rack)
            seeing = seeing_choices.of_layout(session, layout.id)
            if shown.job is None:
                return Stage(on, BenchInUse(record), _struck(laid, shown, rack), seeing=seeing)
            job = jobs.get(session, shown.job)
            check = bench_check(session, record, job.state.unchecked_at)
            work = at_work(job, made_with(pattern, rack), check, layout.leather_mm, rack)
            return Stage(on, BenchInUse(record), _led(laid, work), work=work, seeing=seeing)
        if shown.bench is None:
            return Stage(shown)
        return Stage(shown, BenchInUse(benches.get(session, shown.bench)))


def _struck(laid: Laid, shown: Shown, rack: Rack) -> Laid:
    """Return the layout with the one blow that is asked for, if its step has it; else as it is."""
    if shown.strike is None or laid.step is None or laid.step.name != shown.step:
        return laid
    blows = made_with(laid.pattern, rack).blows.get(laid.step.name, ())
    return replace(laid, blows=blows, blow=shown.strike) if shown.strike < len(blows) else laid


def _led(laid: Laid, work: AtWork) -> Laid:
    """Return the layout at the step and the blow of a job, which shows every kind of line that the step has."""
    layout = replace(laid.layout, step=work.place.step, show={})
    return replace(laid, layout=layout, blows=work.strikes, blow=work.place.strike)
