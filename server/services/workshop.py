"""All services, wired once to one database."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from server.services.bench.answers import Guard
from server.services.bench.benches import Benches
from server.services.bench.checks import Checks
from server.services.bench.insights import Insights
from server.services.bench.sessions import Sessions
from server.services.changes.bin import Bin
from server.services.changes.undo import Undo
from server.services.light.light import Light
from server.services.light.seeing import Seeing
from server.services.making.making import Making
from server.services.making.rack import MakersRack
from server.services.paper.paper import Paper
from server.services.pattern.compare import Compare
from server.services.pattern.own import Own
from server.services.pattern.patterns import Patterns
from server.services.pattern.things import Things
from server.services.pattern.versions import Versions
from server.services.practice.alignment_practice import MovedLeather
from server.services.practice.practice import Practice
from server.services.practice.truth import PracticeTruth
from server.services.state import State
from server.services.streams import Streams
from server.services.table.alignment import Alignment
from server.services.table.layout_strikes import layout_strikes
from server.services.table.layouts import Layouts
from server.services.table.spans import Spans
from server.services.work.jobs import Jobs
from server.services.work.pace import Pace
from server.services.work.phones import Phones
from server.services.work.work import Work
from server.store.database import Database, open_database


@dataclass(frozen=True)
class Workshop:
    """The maker's verbs, by what they are about."""

    database: Database
    streams: Streams
    light: Light
    things: Things
    patterns: Patterns
    benches: Benches
    sessions: Sessions
    insights: Insights
    layouts: Layouts
    checks: Checks
    practice: Practice
    state: State
    guard: Guard
    rack: MakersRack
    seeing: Seeing
    making: Making
    paper: Paper
    own: Own
    jobs: Jobs
    work: Work
    phones: Phones
    pace: Pace
    undo: Undo
    bin: Bin
    alignment: Alignment
    moved_leather: MovedLeather
    spans: Spans
    compare: Compare
    versions: Versions

    def layout_strikes(self, number: int) -> dict[str, Any]:
        """Return the blows of a layout's present step; refused (404) when it is not there."""
        return layout_strikes(self.database, number)

    def close(self) -> None:
        """Shut the phones out, end the streams and close the database."""
        self.phones.turn_off()
        self.pace.end()
        self.streams.end()
        self.own.close()
        self.database.close()


def open_workshop(url: str, streams: Streams | None = None, random: np.random.Generator | None = None) -> Workshop:
    """Open the database at ``url`` and wire the services to it.

    Args:
        url: database URL.
        streams: the event streams; tests give their own cap and beat.
        random: the practice hand's noise; tests give a seeded one.

    Raises:
        Refusal: the database cannot be used.

    """
    database, hub = open_database(url), streams or Streams()
    database.tell(lambda: hub.touch("state"))
    light = Light(database, hub)
    things, benches, state = Things(database, hub), Benches(database, light), State(database, light, pace := Pace())
    noise = random or np.random.default_rng()
    truth, rack = PracticeTruth(database, noise), MakersRack(database)
    layouts = Layouts(database, light)
    jobs = Jobs(database, layouts)
    alignment = Alignment(database, light, layouts, hub)
    making = Making(database, rack, state)
    work = Work(jobs, light, hub, pace)
    return Workshop(
        database=database,
        streams=hub,
        light=light,
        things=things,
        patterns=Patterns(database, hub),
        benches=benches,
        sessions=Sessions(database, light, truth),
        insights=Insights(database),
        layouts=layouts,
        checks=Checks(database, light),
        practice=Practice(database, (benches, things), light, truth),
        state=state,
        guard=Guard(database, light, state),
        rack=rack,
        seeing=Seeing(database, light, rack),
        making=making,
        paper=Paper(database, making),
        own=Own(database, hub, making),
        jobs=jobs,
        work=work,
        phones=Phones(work, layouts, state, light, hub),
        pace=pace,
        undo=Undo(database, light),
        bin=Bin(database, light),
        alignment=alignment,
        moved_leather=MovedLeather(light, alignment, truth, noise),
        spans=Spans(database, light, layouts, alignment),
        compare=Compare(database),
        versions=Versions(database),
    )
