"""The bin: what was deleted lies in it, with everything that hangs on it, until the maker puts it back or empties it.

What hangs on a row is found by following the references between the tables, so later tables are followed too. A row in the
bin stays where it is in its table, marked with the number of its bag (``bin_id``); rows of tables without that mark go unseen
with the row they hang on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Mapped, Session, mapped_column

from server.errors import Refusal
from server.store import clock, history
from server.store.history_objects import Owner, key_of, kind_of, table_of
from server.store.history_turn import named_object
from server.store.tables import NEVER_AGAIN, Table

Hanging = Mapping[str, list[dict[str, Any]]]
"""Keys and bags of rows by table."""

NEVER_BINNED = "Only things, patterns, layouts, benches and files can be deleted."


class Bag(Table):
    """What was deleted at one time: the kind, number and name of the object; the rows marked with this number are in it."""

    __tablename__ = "bins"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    number: Mapped[int]
    name: Mapped[str]
    at: Mapped[str]


BAGS = Table.metadata.tables[Bag.__tablename__]


@dataclass(frozen=True)
class Binned:
    """A bag of the bin: what was deleted, when, and how many rows of which table hang on it."""

    id: int
    kind: str
    number: int
    name: str
    at: str
    hangs: Mapping[str, int]


def put(session: Session, of: Owner) -> Binned:
    """Put an object in the bin, and everything that hangs on it and is not there yet.

    Raises:
        Refusal: it is not there or in the bin already (404), or it is of a kind that cannot be deleted (422).

    """
    connection, table = session.connection(), table_of(of[0])
    row = named_object(connection, of)
    if "bin_id" not in table.c:
        raise Refusal(NEVER_BINNED, field="of")
    name = str(row.get("name") or row.get("title") or of[0])
    values = {"kind": of[0], "number": of[1], "name": name, "at": clock.now()}
    number = int(connection.execute(sa.insert(BAGS).values(**values)).inserted_primary_key[0])  # type: ignore[index]
    for name, rows in hanging(connection, table, of[1]).items():
        _mark(connection, Table.metadata.tables[name], [row for row in rows if row.get("bin_id") is None], number)
    return get(session, number)


def every(session: Session) -> list[Binned]:
    """Return what lies in the bin, the last deleted first."""
    found = session.connection().execute(sa.select(BAGS).order_by(BAGS.c.id.desc())).all()
    return [_told(session.connection(), row) for row in found]


def get(session: Session, number: int) -> Binned:
    """Return one bag; refused (404) when it is not in the bin."""
    return _told(session.connection(), _bag(session.connection(), number))


def back(session: Session, number: int) -> Binned:
    """Put back what lies in a bag. What hangs on something that is still in the bin goes into the bag of that.

    Raises:
        Refusal: no such bag (404), or the object itself hangs on something that is in the bin (409).

    """
    connection = session.connection()
    bag = get(session, number)
    above = _bag_above(connection, bag)
    if above is not None:
        raise Refusal(f"{bag.name} hangs on {above}, which is in the bin too: put that back first.", status=409)
    for table in _with_mark():
        for row in connection.execute(sa.select(table).where(table.c.bin_id == number)).mappings().all():
            _mark(connection, table, [dict(row)], _parents_bag(connection, table, row, number))
    connection.execute(sa.delete(BAGS).where(BAGS.c.id == number))
    return bag


def empty(session: Session, number: int) -> Binned:
    """Delete for good what lies in a bag, everything that hangs on it, and the histories of both; refused (404) if not there."""
    connection, bag = session.connection(), get(session, number)
    table = table_of(bag.kind)
    found = hanging(connection, table, bag.number)
    gone = {
        (kind_of(Table.metadata.tables[name]), row["id"]) for name, rows in found.items() for row in rows if "id" in row
    }
    for below in reversed(Table.metadata.sorted_tables):
        _delete(connection, below, found.get(below.name, ()))
    history.forget(connection, gone)
    for kind, row in gone:
        connection.execute(sa.delete(BAGS).where(BAGS.c.kind == kind, BAGS.c.number == row))
    return bag


def hanging(connection: sa.Connection, table: sa.Table, number: int) -> Hanging:
    """Return a row and everything that refers to it, directly or through others, by table."""
    found: dict[str, list[dict[str, Any]]] = {table.name: _rows(connection, table, table.c.id == number)}
    for below in Table.metadata.sorted_tables:
        if below is not table and (rows := _below(connection, below, found)):
            found[below.name] = rows
    return found


def _below(connection: sa.Connection, table: sa.Table, found: Hanging) -> list[dict[str, Any]]:
    """Return the rows of a table that refer to a found row; a reference that may be lost (SET NULL) holds nothing."""
    hold = [
        key.parent.in_([row[key.column.name] for row in found[key.column.table.name]])
        for key in table.foreign_keys
        if key.column.table.name in found and key.ondelete != "SET NULL"
    ]
    return _rows(connection, table, sa.or_(*hold)) if hold else []


def _rows(connection: sa.Connection, table: sa.Table, where: sa.ColumnElement[bool]) -> list[dict[str, Any]]:
    wanted = [*table.primary_key.columns, *([table.c.bin_id] if "bin_id" in table.c else [])]
    return [dict(row) for row in connection.execute(sa.select(*wanted).where(where)).mappings()]


def _mark(connection: sa.Connection, table: sa.Table, rows: Iterable[Mapping[str, Any]], bag: int | None) -> None:
    if "bin_id" in table.c:
        for row in rows:
            connection.execute(sa.update(table).where(_named(table, row)).values(bin_id=bag))


def _delete(connection: sa.Connection, table: sa.Table, rows: Iterable[Mapping[str, Any]]) -> None:
    for row in rows:
        connection.execute(sa.delete(table).where(_named(table, row)))


def _named(table: sa.Table, row: Mapping[str, Any]) -> sa.ColumnElement[bool]:
    return sa.and_(*(table.c[name] == value for name, value in key_of(table, row).items()))


def _with_mark() -> Iterator[sa.Table]:
    """Give the tables whose rows can lie in the bin, those that others refer to first."""
    return (table for table in Table.metadata.sorted_tables if "bin_id" in table.c)


def _parents_bag(connection: sa.Connection, table: sa.Table, row: Any, leaving: int) -> int | None:
    """Return the bag of something that a row refers to, other than the one it is leaving; None when all of it is out."""
    for key in table.foreign_keys:
        above = key.column.table
        if "bin_id" in above.c and row[key.parent.name] is not None:
            bag = connection.execute(sa.select(above.c.bin_id).where(key.column == row[key.parent.name])).scalar()
            if bag is not None and bag != leaving:
                return int(bag)
    return None


def _bag_above(connection: sa.Connection, bag: Binned) -> str | None:
    """Return the name of what an object in the bin hangs on, if that is in the bin by itself."""
    table = table_of(bag.kind)
    row = connection.execute(sa.select(table).where(table.c.id == bag.number)).mappings().first()
    other = None if row is None else _parents_bag(connection, table, row, bag.id)
    return None if other is None else str(_bag(connection, other).name)


def _bag(connection: sa.Connection, number: int) -> Any:
    row = connection.execute(sa.select(BAGS).where(BAGS.c.id == number)).first()
    if row is None:
        raise Refusal("That is not in the bin any more: look again.", field="bin", status=404)
    return row


def _told(connection: sa.Connection, row: Any) -> Binned:
    table = table_of(row.kind)
    found = hanging(connection, table, row.number)
    return Binned(
        row.id,
        row.kind,
        row.number,
        row.name,
        row.at,
        hangs={name: len(rows) for name, rows in found.items() if name != table.name},
    )
