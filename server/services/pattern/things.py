"""Things to be carried: measured, renamed, measured again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from server.errors import Refusal
from server.services.making import costing
from server.services.making.made_of import choose
from server.services.making.rack import stock
from server.services.pattern import drafted, drafting
from server.services.streams import Streams
from server.store import things as stored
from server.store.database import Database, Session
from server.store.records import ThingRecord


@dataclass(frozen=True)
class Choices:
    """What of the rack a thing is made of, by name, and its copies and hardware, as typed; None where nothing is said."""

    made_of: Mapping[str, str] | None = None
    costing: Mapping[str, Any] | None = None

    def read(self, session: Session) -> dict[str, Any]:
        """Return what is to be kept, once it is understood; refused by its field."""
        if self.made_of is not None:
            choose(self.made_of, stock(session).rack)
        if self.costing is not None:
            costing.check(self.costing, stock(session).rack)
        return {"made_of": self.made_of, "costing": self.costing}


NOTHING = Choices()


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
            return _whole(session, stored.get(session, number))

    def add(
        self, name: str, family: str, typed: Mapping[str, Any], choices: Choices = NOTHING, *, practice: bool = False
    ) -> dict[str, Any]:
        """Save a new thing.

        Raises:
            Refusal: no such family or measure, or words that are not understood. A thing whose measures do not go
                together is saved all the same, and the answer says what is wrong.

        """
        drafted.check_kind(None, family)
        measures = _as_typed(family, typed)
        with self._database.writing() as session:
            kept = choices.read(session)
            record = stored.add(session, name=name, family=family, measures=measures, practice=practice, **kept)
            found = _whole(session, record)
        self._streams.touch("state")
        return found

    def change(
        self, number: int, name: str, family: str, typed: Mapping[str, Any], choices: Choices = NOTHING
    ) -> dict[str, Any]:
        """Save a thing anew; refused as ``add``. What is not chosen in ``choices`` stays as it was."""
        measures = _as_typed(family, typed)
        with self._database.writing() as session:
            drafted.check_kind(stored.get(session, number).family, family)
            kept = choices.read(session)
            record = stored.change(session, number, name=name, family=family, measures=measures, **kept)
            found = _whole(session, record)
        self._streams.touch("state")
        return found


def _as_typed(family: str, typed: Mapping[str, Any]) -> dict[str, str]:
    """Return the measures that are filled in, as typed, once all of them are understood."""
    if family == drafted.OWN:
        return {}
    understood = drafting.read_measures(family, typed)
    return {name: str(typed[name]).strip() for name, value in understood.items() if value is not None}


def _whole(session: Session, record: ThingRecord) -> dict[str, Any]:
    """Return the thing, and why it cannot be drafted yet."""
    refusal = None
    try:
        drafted.of_thing(session, record)
    except Refusal as refused:
        refusal = {"sentence": refused.sentence, "field": refused.field}
    return asdict(record) | {"refusal": refusal}
