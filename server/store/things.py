"""Things in the database."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import Document, ThingRecord
from server.store.tables import Thing


def add(
    session: Session,
    *,
    name: str,
    family: str,
    measures: Mapping[str, str],
    practice: bool,
    made_of: Mapping[str, str] | None = None,
    costing: Document | None = None,
) -> ThingRecord:
    """Add a thing and return its record."""
    time = now()
    row = Thing(name=name, family=family, measures=dict(measures), practice=practice)
    row.made_of, row.costing = dict(made_of or {}), dict(costing or {})
    row.made_at, row.changed_at, row.revision = time, time, 1
    session.add(row)
    session.flush()
    return _record(row)


def change(
    session: Session,
    number: int,
    *,
    name: str,
    family: str,
    measures: Mapping[str, str],
    made_of: Mapping[str, str] | None = None,
    costing: Document | None = None,
) -> ThingRecord:
    """Give a thing another name, family and measures; refused when it is not there.

    ``made_of`` and ``costing`` stay as they are where they are None.
    """
    row = rows.one(session, Thing, number, "thing")
    row.made_of = row.made_of if made_of is None else dict(made_of)
    row.costing = row.costing if costing is None else dict(costing)
    row.name, row.family, row.measures = name, family, dict(measures)
    row.changed_at, row.revision = now(), row.revision + 1
    return _record(row)


def get(session: Session, number: int) -> ThingRecord:
    """Return a thing; refused when it is not there."""
    return _record(rows.one(session, Thing, number, "thing"))


def every(session: Session) -> list[ThingRecord]:
    """Return all things, the last made first."""
    return [_record(row) for row in rows.newest_first(session, Thing)]


def of_practice(session: Session) -> ThingRecord | None:
    """Return the practice workshop's thing, if it was made."""
    row = rows.of_practice(session, Thing)
    return None if row is None else _record(row)


def latest(session: Session) -> ThingRecord | None:
    """Return the thing that was made or changed last."""
    row = rows.last_changed(session, Thing)
    return None if row is None else _record(row)


def _record(row: Thing) -> ThingRecord:
    return ThingRecord(
        id=row.id,
        name=row.name,
        practice=row.practice,
        family=row.family,
        measures=dict(row.measures),
        made_at=row.made_at,
        changed_at=row.changed_at,
        revision=row.revision,
        made_of=dict(row.made_of),
        costing=dict(row.costing),
    )
