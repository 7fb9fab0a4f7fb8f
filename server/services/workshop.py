"""All services, wired once to one database."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from server.services.benches import Benches
from server.services.checks import Checks
from server.services.layouts import Layouts
from server.services.light import Light
from server.services.patterns import Patterns
from server.services.practice import Practice
from server.services.state import State
from server.services.streams import Streams
from server.services.things import Things
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
    layouts: Layouts
    checks: Checks
    practice: Practice
    state: State

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
    things, benches = Things(database, hub), Benches(database, light)
    return Workshop(
        database=database,
        streams=hub,
        light=light,
        things=things,
        patterns=Patterns(database, hub),
        benches=benches,
        layouts=Layouts(database, light),
        checks=Checks(database, light),
        practice=Practice(database, (benches, things), light, random or np.random.default_rng()),
        state=State(database, light),
    )
