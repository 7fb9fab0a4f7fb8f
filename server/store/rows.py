"""Getting a row, or refusing in one sentence when it is not there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, select, true
from sqlalchemy.orm import Session

from server.errors import Refusal
from server.store.tables import Table

Row = TypeVar("Row", bound=Table)


LARGEST_ID = 2**63 - 1
"""The database has no larger whole number."""


def one(session: Session, table: type[Row], number: int, word: str) -> Row:
    """Return the row with this number.

    Args:
        session: an open session.
        table: the table's class.
        number: its id.
        word: what the maker calls such a row, for the refusal.

    Raises:
        Refusal: there is none (status 404).

    """
    row = session.get(table, number) if 1 <= number <= LARGEST_ID else None
    if row is None:
        raise Refusal(f"There is no {word} number {number}: choose one from the first page.", field=word, status=404)
    refuse_binned({name: getattr(row, name, None) for name in ("bin_id", "name", "title")}, word)
    return row


def refuse_binned(row: Mapping[str, Any], word: str) -> None:
    """Refuse (404) a row that lies in the bin."""
    if row.get("bin_id") is not None:
        name = row.get("name") or row.get("title") or f"That {word}"
        raise Refusal(f"{name} is in the bin: put it back first.", field=word, status=404)


def kept(table: type[Table]) -> ColumnElement[bool]:
    """Return what picks the rows that do not lie in the bin."""
    columns = table.__table__.c
    return columns.bin_id.is_(None) if "bin_id" in columns else true()


def newest_first(session: Session, table: type[Row]) -> Sequence[Row]:
    """Return every row, the last made first."""
    return session.scalars(select(table).where(kept(table)).order_by(table.__table__.c.id.desc())).all()


def last_changed(session: Session, table: type[Row]) -> Row | None:
    """Return the row that was made or changed last."""
    columns = table.__table__.c
    newest = select(table).where(kept(table)).order_by(columns.changed_at.desc(), columns.id.desc())
    return session.scalars(newest).first()


def of_practice(session: Session, table: type[Row]) -> Row | None:
    """Return the row of the practice workshop, if it was made."""
    columns = table.__table__.c
    return session.scalars(select(table).where(columns.practice, kept(table)).order_by(columns.id)).first()
