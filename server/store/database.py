"""The one place where the database is opened and where sessions come from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from json import JSONDecodeError
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, NullPool, Pool, create_engine, event, inspect, make_url
from sqlalchemy.exc import ArgumentError, DatabaseError, IntegrityError, NoSuchModuleError, OperationalError
from sqlalchemy.orm import Session

from server.errors import Refusal
from server.store import bins as _bins  # noqa: F401  (its table belongs to every database)
from server.store import migrate
from server.store.history_record import RecordingSession, recorded
from server.store.tables import Damaged, Table

__all__ = ["Database", "Session", "file_url", "open_database"]

BUSY_MS = 5000
"""How long a writer waits for another one, ms."""


class Database:
    """An open database, at the present version of the tables."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._writing = engine.execution_options(immediate=True)
        self._told: Callable[[], None] = lambda: None

    def tell(self, told: Callable[[], None]) -> None:
        """Call ``told`` each time that something was written of which a history is kept."""
        self._told = told

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session that only reads, and sees one state of the data throughout.

        Raises:
            Refusal: the database, or a value in it, cannot be read (503).

        """
        with _said("The data cannot be read"), Session(self._engine) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """Give a session whose work is durable when the block is left; an exception takes all of it back.

        Raises:
            Refusal: the database could not be written (disk full, locked by another program), or what is in it could
                not be read (503): nothing was saved.

        """
        with (
            _said("Not saved, for the data cannot be read"),
            _saved(),
            RecordingSession(self._writing) as session,
            session.begin(),
        ):
            yield session
        if recorded(session):
            self._told()

    def close(self) -> None:
        """Close every connection; the log is folded into the file."""
        self._engine.dispose()


@contextmanager
def _said(what: str) -> Iterator[None]:
    """Say damage in one sentence; a broken rule between tables stays an error: it would be our own bug."""
    try:
        yield
    except IntegrityError:
        raise
    except DatabaseError as error:
        raise _unread(what, str(error.orig)) from error
    except JSONDecodeError as error:
        raise _unread(what, "a stored value is damaged") from error
    except Damaged as error:
        raise _unread(what, str(error)) from error


@contextmanager
def _saved() -> Iterator[None]:
    """Say in one sentence that there is no room or no turn to write; damage is for others to say."""
    try:
        yield
    except OperationalError as error:
        if str(error.orig).startswith("no such "):
            raise
        sentence = f"Not saved: {error.orig}. Free some space or close the other program, then save again."
        raise Refusal(sentence, status=503) from error


def _unread(what: str, reason: str) -> Refusal:
    return Refusal(f"{what} ({reason}): stop Hidelight and put back a copy of its data.", status=503)


def file_url(path: Path) -> str:
    """Return the URL of an SQLite database in a file."""
    return URL.create("sqlite", database=str(path)).render_as_string(hide_password=False)


def open_database(url: str) -> Database:
    """Open the database at ``url``, making or bringing up its tables.

    Raises:
        Refusal: the URL is not understood, or the file is damaged, newer than this program, or not ours. In all
            these cases it is left as it was.

    """
    plain = _engine(url, foreign_keys=False, pool=NullPool)
    try:
        _examine(plain)
        with plain.begin() as connection:
            migrate.to_head(connection)
            _check_complete(plain, connection)
    except DatabaseError as error:
        raise _unreadable(plain, error) from error
    finally:
        plain.dispose()
    return Database(_engine(url, foreign_keys=True, pool=None))


def _engine(url: str, *, foreign_keys: bool, pool: type[Pool] | None) -> Engine:
    try:
        engine = create_engine(url, poolclass=pool)
    except (ArgumentError, NoSuchModuleError, ImportError) as error:
        sentence = f"The database address {url!r} is not understood: give one such as sqlite:////home/me/hidelight.db."
        raise Refusal(sentence, field="database") from error
    if engine.dialect.name == "sqlite":
        _speak_sqlite(engine, foreign_keys=foreign_keys)
    return engine


def _speak_sqlite(engine: Engine, *, foreign_keys: bool) -> None:
    """Set what SQLite leaves off by default, and let SQLAlchemy alone say where transactions begin.

    Only an engine with foreign keys on sets the write-ahead log: the other one looks at files that may not be ours,
    and must not change them. Migrations run without foreign keys because SQLite rebuilds tables by dropping them.
    """

    @event.listens_for(engine, "connect")
    def on_connect(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        connection.execute("PRAGMA synchronous = FULL")
        if foreign_keys:
            connection.execute("PRAGMA journal_mode = WAL")
            connection.execute("PRAGMA foreign_keys = ON")

    @event.listens_for(engine, "begin")
    def on_begin(connection: Any) -> None:
        immediate = connection.get_execution_options().get("immediate", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")


def _examine(engine: Engine) -> None:
    """Refuse a database that is damaged, newer than this program, or not ours, before anything is written."""
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            found = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one()
            if found != "ok":
                raise Refusal(_damaged(engine, str(found)), field="database")
        tables = set(inspect(connection).get_table_names())
        unknown = migrate.unknown_version(connection)
    if unknown is not None:
        sentence = f"{_place(engine)} was written by a newer Hidelight (its version is {unknown}): update this one."
        raise Refusal(sentence, field="database")
    if tables and migrate.VERSION_TABLE not in tables:
        sentence = (
            f"{_place(engine)} is not a Hidelight database: give another place with --data. It was left as it is."
        )
        raise Refusal(sentence, field="database")


def _check_complete(engine: Engine, connection: Connection) -> None:
    """Refuse a database of the present version in which a table is missing."""
    missing = sorted(Table.metadata.tables.keys() - set(inspect(connection).get_table_names()))
    if missing:
        raise Refusal(_damaged(engine, f"its table {missing[0]} is missing"), field="database")


def _unreadable(engine: Engine, error: DatabaseError) -> Refusal:
    return Refusal(_damaged(engine, str(error.orig)), field="database")


def _damaged(engine: Engine, reason: str) -> str:
    return f"{_place(engine)} cannot be used ({reason}): put back a copy or move it away. It was left as it is."


def _place(engine: Engine) -> str:
    url = make_url(engine.url)
    return f"The database {url.database or url.render_as_string()}"
