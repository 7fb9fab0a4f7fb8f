"""The history: each change of an object, with what was before and after, so that it can be undone and redone.

At most MOST_CHANGES are kept of an object and MOST_BYTES in all; beyond that the oldest are forgotten, which means that
they can no longer be undone. What they led to stays.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from json import dumps
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, Session, mapped_column

from server.store import clock
from server.store.history_objects import PASSED_OVER, Owner, Row
from server.store.history_words import Change, told
from server.store.tables import NEVER_AGAIN, Table

MOST_CHANGES = 500
"""Changes kept of one object."""

MOST_BYTES = 50_000_000
"""Bytes of JSON kept of all objects together."""

TOGETHER_S = 2.0
"""Changes of the same columns of the same rows that follow each other faster than this are one change."""


class Changed(Table):
    """One change of an object. ``rows`` are the changed rows, ``size`` their bytes, ``turned_at`` its last undo or redo."""

    __tablename__ = "changes"
    __table_args__ = (sa.Index("ix_changes_kind_number", "kind", "number"), NEVER_AGAIN)

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    number: Mapped[int]
    at: Mapped[str] = mapped_column(index=True)
    words: Mapped[str]
    undone: Mapped[bool]
    turned_at: Mapped[str | None] = mapped_column(index=True)
    size: Mapped[int] = mapped_column(index=True)
    rows: Mapped[list[dict[str, Any]]]


CHANGES = Table.metadata.tables[Changed.__tablename__]


@dataclass(frozen=True)
class Entry:
    """One change as lists show it."""

    id: int
    at: str
    words: str
    undone: bool


@dataclass(frozen=True)
class Version:
    """When something was last changed, and when a change was last undone or redone; None when never."""

    changed_at: str | None
    turned_at: str | None


def difference(before: Row | None, after: Row | None) -> tuple[dict[str, Any] | None, dict[str, Any] | None] | None:
    """Return the columns of a row that differ, before and after, or None when nothing does; a whole row where there was none."""
    if before is None or after is None:
        return None if before is after else (_plain(before), _plain(after))
    names = [name for name in before if name not in PASSED_OVER and before[name] != after[name]]
    return (_plain(before, names), _plain(after, names)) if names else None


def keep(connection: sa.Connection, of: Owner, changes: Sequence[Change]) -> None:
    """Keep a change of an object; what was undone before it can no longer be redone."""
    forgotten = connection.execute(sa.delete(CHANGES).where(mine(of), CHANGES.c.undone)).rowcount
    last = connection.execute(sa.select(CHANGES).where(mine(of)).order_by(CHANGES.c.id.desc()).limit(1)).first()
    if last is not None and not forgotten and _together(last, changes):
        _widen(connection, last, changes)
    else:
        _add(connection, of, changes)
    _forget_old(connection, of)


def entries(session: Session, of: Owner) -> list[Entry]:
    """Return the changes of an object, the last one first."""
    columns = (CHANGES.c.id, CHANGES.c.at, CHANGES.c.words, CHANGES.c.undone)
    found = session.connection().execute(sa.select(*columns).where(mine(of)).order_by(CHANGES.c.id.desc()))
    return [Entry(*row) for row in found]


def version(session: Session, of: Owner | None = None) -> Version:
    """Return when an object, or anything at all, was last changed, undone or redone."""
    these = sa.true() if of is None else mine(of)
    found = [
        session.connection().execute(sa.select(sa.func.max(column)).where(these)).scalar_one()
        for column in (CHANGES.c.at, CHANGES.c.turned_at)
    ]
    return Version(*found)


def forget(connection: sa.Connection, objects: Iterable[Owner]) -> None:
    """Forget the histories of objects that are gone for good."""
    for of in objects:
        connection.execute(sa.delete(CHANGES).where(mine(of)))


def mine(of: Owner) -> sa.ColumnElement[bool]:
    """Return what picks the changes of one object."""
    return sa.and_(CHANGES.c.kind == of[0], CHANGES.c.number == of[1])


def _add(connection: sa.Connection, of: Owner, changes: Sequence[Change]) -> None:
    rows = [dict(change) for change in changes]
    values = {"kind": of[0], "number": of[1], "at": clock.now(), "undone": False, "turned_at": None}
    connection.execute(sa.insert(CHANGES).values(**values, words=told(rows), size=_size(rows), rows=rows))


def _together(last: Any, changes: Sequence[Change]) -> bool:
    """Tell whether a change goes on with the last one: soon after it, and of nothing that the last one had not changed."""
    soon = _seconds(last.at, clock.now()) < TOGETHER_S
    return soon and last.turned_at is None and all(_goes_on(change, _same(last.rows, change)) for change in changes)


def _same(rows: Sequence[Change], change: Change) -> Change | None:
    """Return what happened before to the row of a change, if anything."""
    named = (change["table"], change["key"])
    return next((row for row in rows if (row["table"], row["key"]) == named), None)


def _goes_on(change: Change, last: Change | None) -> bool:
    if last is None or last["after"] is None or change["before"] is None or change["after"] is None:
        return False
    return _aspects(change["table"], change["after"]) <= _aspects(last["table"], last["after"])


def _aspects(table: str, columns: Iterable[str]) -> set[str]:
    """Return what the columns tell of: the two halves of a place are one."""
    return {"place" if table == "placements" and name in ("x", "y") else name for name in columns}


def _widen(connection: sa.Connection, last: Any, changes: Sequence[Change]) -> None:
    """Let the last change reach to where the next one led; one that led back to where it began is none."""
    rows = [row for row in (_joined(old, _same(changes, old)) for old in last.rows) if row["before"] != row["after"]]
    here = CHANGES.c.id == last.id
    if rows:
        values = {"at": clock.now(), "words": told(rows), "size": _size(rows), "rows": rows}
        connection.execute(sa.update(CHANGES).where(here).values(**values))
    else:
        connection.execute(sa.delete(CHANGES).where(here))


def _joined(old: Change, new: Change | None) -> dict[str, Any]:
    if new is None:
        return dict(old)
    before = None if old["before"] is None else {**new["before"], **old["before"]}
    return dict(old) | {"before": before, "after": {**old["after"], **new["after"]}}


def _forget_old(connection: sa.Connection, of: Owner) -> None:
    newest = sa.select(CHANGES.c.id).where(mine(of)).order_by(CHANGES.c.id.desc()).limit(MOST_CHANGES)
    connection.execute(sa.delete(CHANGES).where(mine(of), CHANGES.c.id.not_in(newest)))
    if (connection.execute(sa.select(sa.func.sum(CHANGES.c.size))).scalar_one() or 0) > MOST_BYTES:
        so_far = sa.func.sum(CHANGES.c.size).over(order_by=CHANGES.c.id.desc()).label("so_far")
        sums = sa.select(CHANGES.c.id, so_far).subquery()
        too_old = sa.select(sums.c.id).where(sums.c.so_far > MOST_BYTES)
        connection.execute(sa.delete(CHANGES).where(CHANGES.c.id.in_(too_old)))


def _plain(row: Row | None, names: Iterable[str] | None = None) -> dict[str, Any] | None:
    """Return the columns of a row as JSON can hold them."""
    if row is None:
        return None
    wanted = row if names is None else names
    return {name: jsonable(row[name]) for name in wanted}


def jsonable(value: Any) -> Any:
    """Return a column's value as JSON can hold it: bytes as base64."""
    return {"base64": b64encode(value).decode()} if isinstance(value, bytes) else value


def _size(rows: Sequence[Change]) -> int:
    return len(dumps(rows).encode())


def _seconds(earlier: str, later: str) -> float:
    return (datetime.fromisoformat(later) - datetime.fromisoformat(earlier)).total_seconds()
