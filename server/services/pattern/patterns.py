"""Patterns: drafted from a thing and saved as they are."""

from __future__ import annotations

from typing import Any

from server.output.svg import pattern_svg
from server.services.making import made_of, sewing
from server.services.making.rack import stock as stock_in
from server.services.pattern import drafted, drafting
from server.services.streams import Streams
from server.store import patterns as stored
from server.store import things
from server.store.database import Database
from server.store.records import PatternRecord


class Patterns:
    """The maker's verbs about patterns."""

    def __init__(self, database: Database, streams: Streams) -> None:
        self._database, self._streams = database, streams

    def every(self) -> list[dict[str, Any]]:
        """Return all patterns, the last made first, without their drawings."""
        with self._database.reading() as session:
            return [_headline(record) for record in stored.every(session)]

    def get(self, number: int) -> dict[str, Any]:
        """Return a pattern with its drawings; refused when it is not there."""
        record = self._record(number)
        return {**record.document, **_headline(record)}

    def svg(self, number: int) -> tuple[str, str]:
        """Return a file name and the pattern file; refused when it is not there."""
        record = self._record(number)
        return f"{record.family}-{record.id}.svg", record.svg

    def add(self, thing: int) -> dict[str, Any]:
        """Draft a thing and save the pattern.

        Raises:
            Refusal: there is no such thing (404), or it cannot be drafted.

        """
        with self._database.writing() as session:
            record = things.get(session, thing)
            pattern, stock = drafted.of_thing(session, record), stock_in(session)
            made = made_of.recall(record.made_of, stock.rack)
            saved = stored.add(
                session,
                thing_id=thing,
                family=pattern.family,
                title=pattern.title,
                measures_mm=dict(pattern.measures),
                document=drafting.document(sewing.work(pattern, made.on(stock.rack)).pattern),
                svg=pattern_svg(pattern),
                own=drafted.made_of(session, record),
                made_of=made_of.kept(made),
            )
        self._streams.touch("state")
        return {**saved.document, **_headline(saved)}

    def _record(self, number: int) -> PatternRecord:
        with self._database.reading() as session:
            return stored.get(session, number)


def _headline(record: PatternRecord) -> dict[str, Any]:
    return {
        "id": record.id,
        "thing": record.thing_id,
        "family": record.family,
        "title": record.title,
        "measures_mm": record.measures_mm,
        "made_at": record.made_at,
    }
