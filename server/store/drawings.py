"""Files that makers brought, in the database: the sheet as it was read, and what is chosen about it.

The sheet of a drawing never changes; the choices do. A saved pattern keeps the choices it was made with, so that it stays
what it was whatever is chosen later.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ForeignKey, select
from sqlalchemy.orm import Mapped, Session, defer, mapped_column

from server.errors import Refusal
from server.store import bins, rows
from server.store.clock import now
from server.store.records import Brought, Document
from server.store.tables import NEVER_AGAIN, Pattern, Table, Thing

CHANGED_ELSEWHERE = "These choices were changed in another window since this page read them: load the page again."


class Drawing(Table):
    """A file that was brought: its sheet as packed by the reader, the maker's choices, and the thing it became."""

    __tablename__ = "drawings"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    kind: Mapped[str]
    sheet: Mapped[bytes]
    choices: Mapped[dict[str, Any]]
    thing_id: Mapped[int | None] = mapped_column(ForeignKey("things.id"), unique=True)
    made_at: Mapped[str]
    changed_at: Mapped[str]
    revision: Mapped[int]
    bin_id: Mapped[int | None]


class OwnPattern(Table):
    """What a saved pattern of a maker's own was made of: the drawing, and the choices as they then were."""

    __tablename__ = "own_patterns"

    pattern_id: Mapped[int] = mapped_column(ForeignKey("patterns.id", ondelete="CASCADE"), primary_key=True)
    drawing_id: Mapped[int] = mapped_column(ForeignKey("drawings.id"), index=True)
    choices: Mapped[dict[str, Any]]


@dataclass(frozen=True)
class DrawingRecord:
    """A drawing; ``sheet`` is packed, and empty in lists; ``thing`` is the thing it became, if it did."""

    id: int
    name: str
    kind: str
    sheet: bytes
    choices: Document
    thing: int | None
    made_at: str
    changed_at: str
    revision: int

    @property
    def brought(self) -> Brought:
        """Return what a pattern is made of: this drawing with its present choices."""
        return Brought(self.id, self.sheet, self.choices)


def add(session: Session, *, name: str, kind: str, sheet: bytes, choices: Mapping[str, Any]) -> DrawingRecord:
    """Add a drawing and return its record."""
    time = now()
    row = Drawing(name=name, kind=kind, sheet=sheet, choices=dict(choices), thing_id=None)
    row.made_at, row.changed_at, row.revision = time, time, 1
    session.add(row)
    session.flush()
    return _record(row, row.sheet)


def get(session: Session, number: int) -> DrawingRecord:
    """Return a drawing with its sheet; refused (404) when it is not there."""
    row = rows.one(session, Drawing, number, "drawing")
    return _record(row, row.sheet)


def every(session: Session) -> list[DrawingRecord]:
    """Return all drawings, the last made first, without their sheets."""
    found = session.scalars(
        select(Drawing).where(rows.kept(Drawing)).options(defer(Drawing.sheet)).order_by(Drawing.id.desc())
    )
    return [_record(row, b"") for row in found]


def of_thing(session: Session, thing: int) -> DrawingRecord:
    """Return the drawing that became a thing; refused (404) when there is none."""
    row = session.scalars(select(Drawing).where(Drawing.thing_id == thing)).first()
    if row is None:
        raise Refusal(f"The file of thing number {thing} is gone: bring it again.", field="thing", status=404)
    return _record(row, row.sheet)


def change(session: Session, number: int, revision: int, choices: Mapping[str, Any]) -> DrawingRecord:
    """Keep other choices; refused (409) unless ``revision`` is the present one."""
    row = rows.one(session, Drawing, number, "drawing")
    if row.revision != revision:
        raise Refusal(CHANGED_ELSEWHERE, field="revision", status=409)
    row.choices, row.changed_at, row.revision = dict(choices), now(), revision + 1
    return _record(row, row.sheet)


def become(session: Session, number: int, thing: int) -> None:
    """Note which thing a drawing became."""
    rows.one(session, Thing, thing, "thing")
    rows.one(session, Drawing, number, "drawing").thing_id = thing


def remove(session: Session, number: int) -> None:
    """Put a drawing in the bin; refused (409) when it has become a thing."""
    row = rows.one(session, Drawing, number, "drawing")
    if row.thing_id is not None:
        raise Refusal(f"{row.name} has become a thing: it stays with it.", field="drawing", status=409)
    bins.put(session, ("drawing", number))


def keep_with(session: Session, pattern: int, brought: Brought) -> None:
    """Keep what a saved pattern was made of."""
    rows.one(session, Pattern, pattern, "pattern")
    session.add(OwnPattern(pattern_id=pattern, drawing_id=brought.drawing, choices=dict(brought.choices)))


def of_pattern(session: Session, pattern: int) -> Brought | None:
    """Return what a saved pattern was made of, or None when it was drafted."""
    kept = session.get(OwnPattern, pattern)
    if kept is None:
        return None
    return Brought(kept.drawing_id, rows.one(session, Drawing, kept.drawing_id, "drawing").sheet, kept.choices)


def _record(row: Drawing, sheet: bytes) -> DrawingRecord:
    return DrawingRecord(
        id=row.id,
        name=row.name,
        kind=row.kind,
        sheet=sheet,
        choices=row.choices,
        thing=row.thing_id,
        made_at=row.made_at,
        changed_at=row.changed_at,
        revision=row.revision,
    )
