"""Patterns of the maker's own: a file brought, what its lines are for, and the thing it becomes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from server.errors import Refusal
from server.reading.sheet import Sheet
from server.reading.warm import WarmReader
from server.reading.wire import pack
from server.services.making.making import Making
from server.services.pattern import own_choices
from server.services.pattern.drafted import OWN
from server.services.pattern.sheet_view import view
from server.services.pattern.things import Choices
from server.services.streams import Streams
from server.store import drawings as stored
from server.store import things
from server.store.database import Database, Session
from server.store.drawings import DrawingRecord
from server.store.records import ThingRecord

LARGEST = 8 * 1024 * 1024
"""Bytes of the largest file that may be brought to the page."""


class Own:
    """The maker's verbs about files they bring."""

    def __init__(self, database: Database, streams: Streams, making: Making) -> None:
        self._database, self._streams, self._making = database, streams, making
        self.reader = WarmReader()

    def ready(self) -> None:
        """Make ready to read a file; the page that asks for one calls this, and nobody waits."""
        self.reader.ready()

    def close(self) -> None:
        """End the process that reads."""
        self.reader.close()

    def every(self) -> list[dict[str, Any]]:
        """Return all drawings, the last brought first, without their sheets."""
        with self._database.reading() as session:
            return [_headline(record) for record in stored.every(session)]

    def bring(self, data: bytes, name: str) -> dict[str, Any]:
        """Read a file and keep what was read, with what is proposed for its lines.

        Raises:
            Refusal: what is wrong with the file, in one sentence.

        """
        sheet = self.reader.read(data, name)
        if not sheet.lines:
            raise Refusal(_empty(sheet), field="file")
        with self._database.writing() as session:
            record = stored.add(
                session, name=sheet.name, kind=sheet.kind, sheet=pack(sheet), choices=own_choices.first(sheet)
            )
        return _headline(record)

    def check(self, number: int) -> None:
        """Refuse (404) when there is no such drawing."""
        with self._database.reading() as session:
            stored.get(session, number)

    def get(self, number: int) -> dict[str, Any]:
        """Return a drawing with its sheet, the proposal, the choices, and the pattern they make."""
        with self._database.reading() as session:
            record = stored.get(session, number)
            thing = _thing(session, record)
        proposal = own_choices.proposal(record.sheet)
        return _headline(record) | {
            "thing": None if thing is None else {"id": thing.id, "name": thing.name},
            "sheet": view(own_choices.unpacked(record.sheet)),
            "proposal": {
                "looks": dict(proposal.assignment.looks),
                "lines": {str(number): choice for number, choice in proposal.assignment.lines.items()},
                "reasons": [asdict(reason) for reason in proposal.reasons],
            },
            **self._now(record, thing),
        }

    def change(self, number: int, revision: int, choices: Mapping[str, Any]) -> dict[str, Any]:
        """Keep other choices, and return the pattern they make, or why they make none.

        Raises:
            Refusal: there is no such drawing (404), it was changed elsewhere since ``revision`` (409), or there is no such
                look, line or choice, or nothing of that name on the rack. Words for a length that are not understood are
                kept, and the answer says so.

        """
        with self._database.writing() as session:
            before = stored.get(session, number)
            own_choices.assigned(own_choices.unpacked(before.sheet), choices)
            kept = _making_of(before, _thing(session, before))
            anew = {name: said for name, said in choices.items() if name in kept and said != kept[name]}
            Choices(**anew).read(session)
            record = stored.change(session, number, revision, {**kept, **choices})
            thing = _pass_on(session, record, anew)
        self._streams.touch("state")
        return self._now(record, thing)

    def keep(self, number: int, name: str) -> dict[str, Any]:
        """Make a thing of a drawing, or give the one it became another name; return the thing."""
        with self._database.writing() as session:
            record = stored.get(session, number)
            if record.thing is None:
                kept = _making_of(record, None)
                thing = things.add(session, name=name, family=OWN, measures={}, practice=False, **kept)
                stored.become(session, number, thing.id)
            else:
                thing = things.change(session, record.thing, name=name, family=OWN, measures={})
        self._streams.touch("state")
        return {"id": thing.id, "name": thing.name}

    def remove(self, number: int) -> None:
        """Forget a drawing that became no thing; refused (409) for one that did."""
        with self._database.writing() as session:
            stored.remove(session, number)

    def of_thing(self, thing: int) -> int:
        """Return the number of the drawing that became a thing; refused (404) when there is none."""
        with self._database.reading() as session:
            return stored.of_thing(session, thing).id

    def _now(self, record: DrawingRecord, thing: ThingRecord | None) -> dict[str, Any]:
        """Return the choices, how large they make the drawing, and the pattern or why there is none."""
        kept, sheet = _making_of(record, thing), own_choices.unpacked(record.sheet)
        choices = {**record.choices, **kept}
        found: dict[str, Any] = {"factor": 1.0, "unit_known": sheet.unit_known, "draft": None, "refusal": None}
        try:
            true = own_choices.scaled(sheet, choices)
            found |= {"factor": own_choices.factor(sheet, true), "unit_known": true.unit_known}
            found["draft"] = self._making.said(record.brought, kept["made_of"], kept["costing"])
        except Refusal as refused:
            found["refusal"] = {"sentence": refused.sentence, "field": refused.field}
        return {"revision": record.revision, "choices": choices, **found}


def _thing(session: Session, record: DrawingRecord) -> ThingRecord | None:
    return None if record.thing is None else things.get(session, record.thing)


def _making_of(record: DrawingRecord, thing: ThingRecord | None) -> dict[str, Any]:
    """What the rack gives and what it costs: the thing keeps that, and until there is one the drawing does."""
    if thing is not None:
        return {"made_of": dict(thing.made_of), "costing": dict(thing.costing)}
    return {name: dict(record.choices.get(name, {})) for name in ("made_of", "costing")}


def _pass_on(session: Session, record: DrawingRecord, anew: Mapping[str, Any]) -> ThingRecord | None:
    """Let the thing of a drawing keep what was chosen anew, and return it."""
    thing = _thing(session, record)
    if thing is None or not anew:
        return thing
    return things.change(session, thing.id, name=thing.name, family=OWN, measures={}, **anew)


def _headline(record: DrawingRecord) -> dict[str, Any]:
    return {
        "id": record.id,
        "name": record.name,
        "kind": record.kind,
        "title": record.choices["title"],
        "thing": record.thing,
        "made_at": record.made_at,
        "changed_at": record.changed_at,
    }


def _empty(sheet: Sheet) -> str:
    words = " ".join(drop.words for drop in sheet.dropped)[:300]
    return f"There are no lines in the file {sheet.name!r}: export its outlines as lines. {words}".strip()
