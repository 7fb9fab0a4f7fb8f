"""Turns a change of an object back, or forth again: in order, whole, and only while nothing else has touched its rows."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Iterator, Sequence
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from server.errors import Refusal
from server.store import clock
from server.store.history import CHANGES, Entry, jsonable, mine
from server.store.history_objects import BORN_BY_A_CHANGE, PASSED_OVER, Owner, Row, stored, table_of
from server.store.history_words import Change
from server.store.rows import refuse_binned
from server.store.tables import Table

NOTHING = {
    True: "There is nothing left to undo here: this is how it was made, or as far back as is kept.",
    False: "There is nothing to redo here.",
}

MOVED_ON = "Something else was changed here since this page looked: look again, then undo or redo."


def turn(session: Session, of: Owner, *, back: bool, expected: int | None = None) -> Entry:
    """Undo the last change of an object (``back``), or redo the one that was undone last; return it.

    Args:
        session: a writing session.
        of: kind and number of the object.
        back: True to undo, False to redo.
        expected: the change that the maker means; refused (409) when it is not its turn.

    Raises:
        Refusal: no such object or it is in the bin (404), nothing to turn, or its rows are not as the change left them (409).

    """
    connection = session.connection()
    named_object(connection, of)
    entry = _next(connection, of, back)
    if entry is None or (expected is not None and expected != entry.id):
        raise Refusal(NOTHING[back] if entry is None else MOVED_ON, field="change", status=409)
    time = clock.now()
    for change in reversed(entry.rows) if back else entry.rows:
        _apply(connection, change, entry.words, back)
    for table, key in _touched(of, entry.rows):
        _count_up(connection, table, key, time)
    values = {"undone": back, "turned_at": time}
    connection.execute(sa.update(CHANGES).where(CHANGES.c.id == entry.id).values(**values))
    session.expire_all()
    return Entry(entry.id, entry.at, entry.words, back)


def named_object(connection: sa.Connection, of: Owner) -> dict[str, Any]:
    """Return an object's own row, empty for one that stands in while it has none; refused (404) when it is not there."""
    row = stored(connection, table_of(of[0]), {"id": of[1]})
    if row is None and of[0] not in BORN_BY_A_CHANGE:
        raise Refusal(f"There is no {of[0]} number {of[1]}: choose one from the first page.", field="id", status=404)
    refuse_binned(row or {}, of[0])
    return row or {}


def _next(connection: sa.Connection, of: Owner, back: bool) -> Any:
    """Return the change whose turn it is: the last done, or the first undone."""
    order = CHANGES.c.id.desc() if back else CHANGES.c.id
    wanted = sa.select(CHANGES).where(mine(of), CHANGES.c.undone.is_(not back))
    return connection.execute(wanted.order_by(order).limit(1)).first()


def _apply(connection: sa.Connection, change: Change, words: str, back: bool) -> None:
    leave, reach = ("after", "before") if back else ("before", "after")
    table = Table.metadata.tables.get(change["table"])
    if table is None or not _is_as(connection, table, change, change[leave]):
        sentence = (
            f'"{words}" cannot be {"undone" if back else "redone"}: what it changed was changed since in another way.'
        )
        raise Refusal(sentence, field="change", status=409)
    here = sa.and_(*(table.c[name] == value for name, value in change["key"].items()))
    if change[reach] is None:
        connection.execute(sa.delete(table).where(here))
    elif change[leave] is None:
        connection.execute(sa.insert(table).values(**_values(table, change[reach])))
    else:
        connection.execute(sa.update(table).where(here).values(**_values(table, change[reach])))


def _is_as(connection: sa.Connection, table: sa.Table, change: Change, expected: Row | None) -> bool:
    """Tell whether a row is as one end of a change left it, as far as that change speaks of it."""
    row = stored(connection, table, change["key"])
    if row is None or expected is None:
        return row is expected
    whole = change["before"] is None or change["after"] is None
    names = [name for name in expected if not (whole and name in PASSED_OVER)]
    return all(name in row and jsonable(row[name]) == expected[name] for name in names)


def _values(table: sa.Table, row: Row) -> dict[str, Any]:
    return {
        name: _binary(value) if isinstance(table.c[name].type, sa.LargeBinary) else value for name, value in row.items()
    }


def _binary(value: Any) -> Any:
    return None if value is None else b64decode(value["base64"])


def _touched(of: Owner, changes: Sequence[Change]) -> Iterator[tuple[sa.Table, Row]]:
    """Give the rows of a change and the object's own row, each once."""
    own = table_of(of[0])
    yield own, {"id": of[1]}
    for change in changes:
        if change["table"] != own.name:
            yield Table.metadata.tables[change["table"]], change["key"]


def _count_up(connection: sa.Connection, table: sa.Table, key: Row, time: str) -> None:
    """Let a row say that it has changed, as after any other change."""
    if {"revision", "changed_at"} <= set(table.c.keys()):
        here = sa.and_(*(table.c[name] == value for name, value in key.items()))
        connection.execute(sa.update(table).where(here).values(revision=table.c.revision + 1, changed_at=time))
