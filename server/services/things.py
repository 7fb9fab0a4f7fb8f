"""Things to be carried: measured, renamed, measured again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from server.errors import Refusal
from server.services import drafting
from server.services.streams import Streams
from server.store import things as stored
from server.store.database import Database
from server.store.records import ThingRecord


class Things:
    """The maker's verbs about things."""

    def __init__(self, database: Database, streams: Streams) -> None:
        self._database, self._streams = database, streams

    def every(self) -> list[dict[str, Any]]:
        """Return all things, the last made first."""
        with self._database.reading() as session:
            return [asdict(record) for record in stored.every(session)]

    def get(self, number: int) -> dict[str, Any]:
        """Return a thing; refused when it is not there."""
        with self._database.reading() as session:
            return _whole(stored.get(session, number))

    def add(self, name: str, family: str, typed: Mapping[str, Any], *, practice: bool = False) -> dict[str, Any]:
        """Save a new thing.

        Raises:
            Refusal: no such family or measure, or words that are not understood. A thing whose measures do not go
                together is saved all the same, and the answer says what is wrong.

        """
        measures = _as_typed(family, typed)
        with self._database.writing() as session:
            record = stored.add(session, name=name, family=family, measures=measures, practice=practice)
        self._streams.touch("state")
        return _whole(record)

    def change(self, number: int, name: str, family: str, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Save a thing anew; refused as ``add``."""
        measures = _as_typed(family, typed)
        with self._database.writing() as session:
            record = stored.change(session, number, name=name, family=family, measures=measures)
        self._streams.touch("state")
        return _whole(record)


def _as_typed(family: str, typed: Mapping[str, Any]) -> dict[str, str]:
    """Return the measures that are filled in, as typed, once all of them are understood."""
    understood = drafting.read_measures(family, typed)
    return {name: str(typed[name]).strip() for name, value in understood.items() if value is not None}


def _whole(record: ThingRecord) -> dict[str, Any]:
    """Return the thing, and why it cannot be drafted yet."""
    refusal = None
    try:
        drafting.draft(record.family, drafting.read_measures(record.family, record.measures))
    except Refusal as refused:
        refusal = {"sentence": refused.sentence, "field": refused.field}
    return asdict(record) | {"refusal": refusal}
