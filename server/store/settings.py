"""Remembered choices of the workshop in the database, by name."""

from __future__ import annotations

from sqlalchemy.orm import Session

from server.errors import Refusal
from server.store.records import Document
from server.store.tables import Setting


def remember(session: Session, name: str, value: Document) -> None:
    """Keep ``value`` under ``name``, in place of what was there."""
    session.merge(Setting(name=name, value=dict(value)))


def recall(session: Session, name: str) -> Document | None:
    """Return what is kept under ``name``, or None.

    Raises:
        Refusal: what is kept is not a document (503).

    """
    row = session.get(Setting, name)
    if row is not None and not isinstance(row.value, dict):
        raise Refusal(f"What was kept as {name} cannot be read: put back a copy of the data.", status=503)
    return None if row is None else dict(row.value)
