"""The maker's rack in the database: one row, as typed; absent until the maker saves a rack of their own."""

from __future__ import annotations

from sqlalchemy.orm import Session

from server.store.clock import now
from server.store.records import Document
from server.store.tables import Rack

ONLY = 1
"""A workshop has one rack."""

PARTS = (
    "leathers",
    "threads",
    "chisels",
    "punches",
    "needles",
    "hardware",
    "waiting",
    "currency",
    "arm_span",
    "rates",
)
"""The parts of a rack document."""


def get(session: Session) -> Document | None:
    """Return the rack as typed, by part, or None while the maker has not saved one."""
    row = session.get(Rack, ONLY)
    return None if row is None else {part: getattr(row, part) for part in PARTS}


def put(session: Session, document: Document) -> None:
    """Keep a rack in place of the one before; ``document`` has every part."""
    row = session.get(Rack, ONLY)
    if row is None:
        row = Rack(id=ONLY, revision=0)
        session.add(row)
    for part in PARTS:
        setattr(row, part, document[part])
    row.changed_at, row.revision = now(), row.revision + 1
