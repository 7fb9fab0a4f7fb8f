"""The versions of a thing's pattern: each time it was saved, and what had changed since the time before."""

from __future__ import annotations

from typing import Any

from server.services.pattern.compare import measures_apart
from server.store import patterns, things
from server.store.database import Database
from server.store.records import PatternRecord


class Versions:
    """The maker's verb about the saved patterns of a thing."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def of_thing(self, thing: int) -> list[dict[str, Any]]:
        """Return the saved patterns of a thing, the last first, each with the titles of the measures changed before it.

        Raises:
            Refusal: the thing is not there or in the bin (404).

        """
        with self._database.reading() as session:
            things.get(session, thing)
            saved = patterns.of_thing(session, thing)
        return [_told(number, saved) for number in reversed(range(len(saved)))]


def _told(number: int, saved: list[PatternRecord]) -> dict[str, Any]:
    here, before = saved[number], saved[number - 1] if number else None
    changed = [] if before is None else [measure["title"] for measure in measures_apart(before, here)]
    return {
        "id": here.id,
        "number": number + 1,
        "made_at": here.made_at,
        "changed": changed,
        "same": before is not None and before.svg == here.svg,
    }
