"""How the light is to be seen, in the database: by layout, or for every layout of a leather of that colour."""

from __future__ import annotations

from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from server.store.clock import now
from server.store.records import Document
from server.store.tables import NEVER_AGAIN, Table


class Seeing(Table):
    """What was chosen about the light on one layout, or on a leather of that colour: one of the two is set."""

    __tablename__ = "seeings"
    __table_args__ = (CheckConstraint("(layout_id IS NULL) <> (leather IS NULL)", name="scope"), NEVER_AGAIN)

    id: Mapped[int] = mapped_column(primary_key=True)
    layout_id: Mapped[int | None] = mapped_column(ForeignKey("layouts.id", ondelete="CASCADE"), unique=True)
    leather: Mapped[str | None] = mapped_column(unique=True)
    choices: Mapped[dict[str, Any]]
    changed_at: Mapped[str]
    revision: Mapped[int]


def of_layout(session: Session, number: int) -> Document | None:
    """Return what was chosen on a layout, or None."""
    row = session.scalars(select(Seeing).where(Seeing.layout_id == number)).first()
    return None if row is None else dict(row.choices)


def of_leather(session: Session, leather: str) -> Document | None:
    """Return what is kept for leather of that colour, or None."""
    row = session.scalars(select(Seeing).where(Seeing.leather == leather)).first()
    return None if row is None else dict(row.choices)


def keep(session: Session, choices: Document, *, layout: int | None = None, leather: str | None = None) -> None:
    """Keep choices for a layout or for a leather, in place of those before."""
    owner = Seeing.leather == leather if layout is None else Seeing.layout_id == layout
    row = session.scalars(select(Seeing).where(owner)).first()
    if row is None:
        row = Seeing(layout_id=layout, leather=leather, revision=0)
        session.add(row)
    row.choices, row.changed_at, row.revision = dict(choices), now(), row.revision + 1
