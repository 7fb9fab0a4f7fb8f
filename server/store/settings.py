"""Remembered choices of the workshop in the database, by name."""

from __future__ import annotations

from sqlalchemy.orm import Session

from server.store.records import Document
from server.store.tables import Setting


def remember(session: Session, name: str, value: Document) -> None:
    """Keep ``value`` under ``name``, in place of what was there."""
    session.merge(Setting(name=name, value=dict(value)))


def recall(session: Session, name: str) -> Document | None:
    """Return what is kept under ``name``, or None."""
    row = session.get(Setting, name)
    return None if row is None else dict(row.value)
