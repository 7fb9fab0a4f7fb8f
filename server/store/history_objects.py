"""What a row belongs to: whose history a change of it is kept in, and which rows are kept in none."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import sqlalchemy as sa

from server.errors import Refusal
from server.store.tables import Table

Owner = tuple[str, int]
"""The kind of an object, such as "layout", and its number."""

Row = Mapping[str, Any]

NOT_KEPT: Mapping[str, str] = {
    "settings": "what the light shows and where the practice projector really hangs: neither is an edit of anything made",
    "checks": "readings of the steel rule: what was measured stays measured",
    "jobs": "how far the work at the table has come: going to the next step is no edit",
    "changes": "the history itself",
    "bins": "the bin has its own way back",
}
"""Tables whose rows are in no history, and why. Every other table is, without being named anywhere."""

KINDS: Mapping[str, str] = {
    "things": "thing",
    "patterns": "pattern",
    "layouts": "layout",
    "benches": "bench",
    "racks": "rack",
    "drawings": "drawing",
    "seeings": "seeing",
}
"""What a row of these tables is called; rows of a table that is not named are called as the table is."""

PARTS: Mapping[str, str] = {"sessions": "bench_id", "drawings": "thing_id", "seeings": "layout_id"}
"""Tables whose rows belong to another row though the reference to it is not in their own key."""

LOGS = frozenset({"sessions"})
"""Tables whose rows are no change by themselves: they go back and forth with the change that wrote them."""

BORN_BY_A_CHANGE = frozenset({"rack"})
"""Objects that stand in from the beginning, so that even their first row is a change and not their making."""

PASSED_OVER = frozenset({"revision", "changed_at", "bin_id"})
"""Columns that say nothing about what was made: they are neither compared nor put back."""


def owner(table: sa.Table, row: Row) -> Owner | None:
    """Return whose history a row belongs to, or None when it is in no history.

    Raises:
        LookupError: the table has neither a number of its own nor a reference in its key; name it in NOT_KEPT.

    """
    if table.name in NOT_KEPT:
        return None
    above = _reference(table)
    if above is not None and row.get(above.parent.name) is not None:
        return kind_of(above.column.table), int(row[above.parent.name])
    keys = list(table.primary_key.columns)
    if len(keys) != 1 or not isinstance(keys[0].type, sa.Integer):
        raise LookupError(f"table {table.name}: say in NOT_KEPT or PARTS whose history its rows are in")
    return kind_of(table), int(row[keys[0].name])


def kind_of(table: sa.FromClause) -> str:
    """Return what a row of the table is called."""
    name = str(getattr(table, "name", ""))
    return KINDS.get(name, name)


def table_of(kind: str) -> sa.Table:
    """Return the table whose rows are called so; refused (404) when there is none of which a history is kept."""
    tables = (table for table in Table.metadata.sorted_tables if table.name not in NOT_KEPT and "id" in table.c)
    found = next((table for table in tables if kind_of(table) == kind), None)
    if found is None:
        raise Refusal(f"There is no history of {kind[:40]!r}.", field="of", status=404)
    return found


def key_of(table: sa.Table, row: Row) -> dict[str, Any]:
    """Return the part of a row that names it."""
    return {column.name: row[column.name] for column in table.primary_key.columns}


def stored(connection: sa.Connection, table: sa.Table, key: Row) -> dict[str, Any] | None:
    """Return a row as it is in the database now, or None when it is not there."""
    named = sa.and_(*(table.c[name] == value for name, value in key.items()))
    found = connection.execute(sa.select(table).where(named)).mappings().first()
    return None if found is None else dict(found)


def _reference(table: sa.Table) -> sa.ForeignKey | None:
    """Return the reference that says what a row belongs to: the named one, or the one in its own key."""
    named = PARTS.get(table.name)
    columns = [table.c[named]] if named else list(table.primary_key.columns)
    return next((key for column in columns for key in column.foreign_keys), None)
