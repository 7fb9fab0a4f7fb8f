"""Writes down each change in the transaction that makes it, so that no service can forget it and no crash can part the two.

A recording session looks at each row before it is first written and again before the commit; what differs is kept. Rows
are written through the session, one by one: a statement that writes many rows at once would not be seen, and is refused.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import Any

import sqlalchemy as sa
from sqlalchemy import event
from sqlalchemy.orm import ORMExecuteState, Session, UOWTransaction

from server.store import history
from server.store.history_objects import BORN_BY_A_CHANGE, LOGS, NOT_KEPT, Owner, key_of, owner, stored, table_of
from server.store.history_words import Change
from server.store.tables import Table

Key = tuple[str, tuple[Any, ...]]
"""A row: the name of its table and the values of its key."""

SEEN, RECORDED = "rows before they were written", "whether anything was recorded"


class RecordingSession(Session):
    """A session that keeps the history of what is written through it."""


def recorded(session: Session) -> bool:
    """Tell whether the session has kept any change."""
    return bool(session.info.get(RECORDED, False))


@event.listens_for(RecordingSession, "before_flush")
def _look_before(session: Session, _flush: UOWTransaction, _objects: object) -> None:
    """See each row that is to be changed or removed as it is now, if this is its first time."""
    for thing in [*session.dirty, *session.deleted]:
        table = _table(thing)
        if table.name not in NOT_KEPT and (thing in session.deleted or session.is_modified(thing)):
            key = tuple(sa.inspect(thing).identity)
            if (table.name, key) not in _seen(session):
                _seen(session)[table.name, key] = stored(session.connection(), table, _named(table, key))


@event.listens_for(RecordingSession, "after_flush")
def _note_new(session: Session, _flush: UOWTransaction) -> None:
    """Note each row that was not there before; only now has it its number."""
    for thing in session.new:
        table = _table(thing)
        if table.name not in NOT_KEPT:
            key = tuple(sa.inspect(thing).mapper.primary_key_from_instance(thing))
            _seen(session).setdefault((table.name, key), None)


@event.listens_for(RecordingSession, "before_commit")
def _keep(session: Session) -> None:
    session.flush()
    connection = session.connection()
    seen = _seen(session)
    for of, changes in _by_owner(connection, seen).items():
        if not _is_new(of, seen) and any(change["table"] not in LOGS for change in changes):
            history.keep(connection, of, changes)
            session.info[RECORDED] = True
    seen.clear()


@event.listens_for(RecordingSession, "do_orm_execute")
def _refuse_many(state: ORMExecuteState) -> None:
    if state.is_insert or state.is_update or state.is_delete:
        raise TypeError("rows are written through the session, one by one, so that their history is kept")


def _by_owner(connection: sa.Connection, seen: Mapping[Key, Any]) -> Mapping[Owner, list[Change]]:
    found: dict[Owner, list[Change]] = defaultdict(list)
    for of, change in _changes(connection, seen):
        found[of].append(change)
    return found


def _changes(connection: sa.Connection, seen: Mapping[Key, Any]) -> Iterator[tuple[Owner, Change]]:
    for (name, key), before in seen.items():
        table = Table.metadata.tables[name]
        after = stored(connection, table, _named(table, key))
        parts = history.difference(before, after)
        of = owner(table, after or before or {}) if parts is not None else None
        if parts is not None and of is not None:
            yield of, {"table": name, "key": key_of(table, after or before), "before": parts[0], "after": parts[1]}


def _is_new(of: Owner, seen: Mapping[Key, Any]) -> bool:
    """Tell whether the object was made just now: that is its beginning, not a change of it."""
    row = (table_of(of[0]).name, (of[1],))
    return of[0] not in BORN_BY_A_CHANGE and row in seen and seen[row] is None


def _seen(session: Session) -> dict[Key, Any]:
    found: dict[Key, Any] = session.info.setdefault(SEEN, {})
    return found


def _table(thing: object) -> sa.Table:
    return Table.metadata.tables[sa.inspect(thing).mapper.local_table.name]


def _named(table: sa.Table, key: tuple[Any, ...]) -> dict[str, Any]:
    return dict(zip((column.name for column in table.primary_key.columns), key, strict=True))
