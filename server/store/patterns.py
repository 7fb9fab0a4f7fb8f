"""Patterns in the database: added, never changed."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import Document, PatternRecord
from server.store.tables import Pattern, Thing


def add(
    session: Session,
    *,
    thing_id: int,
    family: str,
    title: str,
    measures_mm: Mapping[str, float],
    document: Document,
    svg: str,
) -> PatternRecord:
    """Add a pattern of a thing; refused when there is no such thing."""
    rows.one(session, Thing, thing_id, "thing")
    row = Pattern(thing_id=thing_id, family=family, title=title, svg=svg, made_at=now())
    row.measures_mm, row.document = dict(measures_mm), dict(document)
    session.add(row)
    session.flush()
    return _record(row)


def get(session: Session, number: int) -> PatternRecord:
    """Return a pattern; refused when it is not there."""
    return _record(rows.one(session, Pattern, number, "pattern"))


def every(session: Session) -> list[PatternRecord]:
    """Return all patterns, the last made first."""
    return [_record(row) for row in rows.newest_first(session, Pattern)]


def _record(row: Pattern) -> PatternRecord:
    return PatternRecord(
        id=row.id,
        thing_id=row.thing_id,
        family=row.family,
        title=row.title,
        measures_mm=dict(row.measures_mm),
        document=row.document,
        svg=row.svg,
        made_at=row.made_at,
    )
