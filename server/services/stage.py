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
from server.services import drafting, witness
from server.services.optics import optics
from server.services.shown import Shown
from server.store import benches, layouts, patterns
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
    """A layout with the pattern that it lays."""

    layout: LayoutRecord
    pattern: PatternRecord

    @cached_property
    def drafted(self) -> Pattern:
        """Return the pattern, drafted by its saved measures."""
        return drafting.draft(self.pattern.family, self.pattern.measures_mm)

    @property
    def step(self) -> Step | None:
        """Return the present step of the work, or None for all at once."""
        return next((step for step in self.drafted.steps if step.name == self.layout.step), None)

    @property
    def height(self) -> float:
        """Return how high the lit surface is, mm: the plies under the light; one ply while no step is chosen."""
        return self.layout.leather_mm * (1 if self.step is None else self.step.plies_under)

    def roles(self) -> tuple[Role, ...]:
        """Return the kinds of line that are switched on; one that was never switched is on."""
        return tuple(role for role in ROLES if self.layout.show.get(role, True))


@dataclass(frozen=True)
class Stage:
    """What is shown, with what it needs.

    Args:
        shown: what was asked for.
        bench: the bench, None only while the light is dark.
        laid: the layout and its pattern, in that mode.
        moves: where a drag has taken pieces since the layout was saved.
        nudges: where a hand has taken witness crosses since they were shown.

    """

    shown: Shown
    bench: BenchInUse | None = None
    laid: Laid | None = None
    moves: Mapping[str, Lie] = field(default_factory=dict)
    nudges: Nudges = field(default_factory=dict)

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


def load(database: Database, shown: Shown) -> Stage:
    """Return the stage for what is to be shown.

    Raises:
        Refusal: the bench or the layout is not there (404).

    """
    with database.reading() as session:
        if shown.mode == "layout" and shown.layout is not None:
            layout = layouts.get(session, shown.layout)
            record = benches.get(session, layout.bench_id)
            laid = Laid(layout, patterns.get(session, layout.pattern_id))
            return Stage(replace(shown, bench=record.id), BenchInUse(record), laid)
        if shown.bench is None:
            return Stage(shown)
        return Stage(shown, BenchInUse(benches.get(session, shown.bench)))
