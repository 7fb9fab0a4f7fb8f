"""All services, wired once to one database."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from server.services.answers import Guard
from server.services.benches import Benches
from server.services.checks import Checks
from server.services.insights import Insights
from server.services.layouts import Layouts
from server.services.light import Light
from server.services.making import Making
from server.services.patterns import Patterns
from server.services.practice import Practice
from server.services.rack import MakersRack
from server.services.sessions import Sessions
from server.services.state import State
from server.services.streams import Streams
from server.services.things import Things
from server.services.truth import PracticeTruth
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
    making: Making

    def close(self) -> None:
        """End the streams and close the database."""
        self.streams.end()
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
    light = Light(database, hub)
    things, benches, state = Things(database, hub), Benches(database, light), State(database, light)
    truth, rack = PracticeTruth(database, random or np.random.default_rng()), MakersRack(database)
    return Workshop(
        database=database,
        streams=hub,
        light=light,
        things=things,
        patterns=Patterns(database, hub),
        benches=benches,
        sessions=Sessions(database, light, truth),
        insights=Insights(database),
        layouts=Layouts(database, light),
        checks=Checks(database, light),
        practice=Practice(database, (benches, things), light, truth),
        state=state,
        guard=Guard(database, light, state),
        rack=rack,
        making=Making(database, rack, state),
    )
