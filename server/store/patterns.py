"""Patterns in the database: added, never changed."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session

from server.store import drawings, rows
from server.store.clock import now
from server.store.records import Brought, Document, PatternRecord
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
    own: Brought | None = None,
    made_of: Document | None = None,
) -> PatternRecord:
    """Add a pattern of a thing; refused when there is no such thing.

    ``own`` is what it was made of, if not drafted; ``made_of`` the leather, thread and irons as they hang on the rack.
    """
    rows.one(session, Thing, thing_id, "thing")
    row = Pattern(thing_id=thing_id, family=family, title=title, svg=svg, made_at=now())
    row.measures_mm, row.document, row.made_of = dict(measures_mm), dict(document), dict(made_of or {})
    session.add(row)
    session.flush()
    if own is not None:
        drawings.keep_with(session, row.id, own)
    return _record(row, own)


def get(session: Session, number: int) -> PatternRecord:
    """Return a pattern; refused when it is not there."""
    return _record(rows.one(session, Pattern, number, "pattern"), drawings.of_pattern(session, number))


def every(session: Session) -> list[PatternRecord]:
    """Return all patterns, the last made first."""
    return [_record(row) for row in rows.newest_first(session, Pattern)]


def of_thing(session: Session, thing: int) -> list[PatternRecord]:
    """Return the patterns of a thing that are not in the bin, the first made first."""
    found = session.scalars(select(Pattern).where(Pattern.thing_id == thing, rows.kept(Pattern)).order_by(Pattern.id))
    return [_record(row) for row in found]


def _record(row: Pattern, own: Brought | None = None) -> PatternRecord:
    return PatternRecord(
        id=row.id,
        thing_id=row.thing_id,
        family=row.family,
        title=row.title,
        measures_mm=dict(row.measures_mm),
        document=row.document,
        svg=row.svg,
        made_at=row.made_at,
        own=own,
        made_of=row.made_of,
    )
