"""Undo and redo in the store: every change, in order, across restarts, and never half."""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic import command
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule
from sqlalchemy import create_engine

from server.errors import Refusal
from server.services.bench import typed_sightings
from server.store import benches, clock, history, layouts, migrate, patterns, rack, things
from server.store.database import Database, file_url, open_database
from server.store.history_objects import NOT_KEPT, PASSED_OVER, Owner, owner
from server.store.history_turn import turn
from server.store.records import Entry, Lie
from server.store.sessions import add as note
from server.store.tables import Bench, Layout, Table

OBJECTS: tuple[Owner, ...] = (("thing", 1), ("layout", 1), ("bench", 1), ("rack", 1))
COMPARED = ("things", "layouts", "placements", "benches", "racks", "sessions")
SEVEN = st.integers(0, 6)


class Clock:
    """A clock that only goes when it is told to."""

    def __init__(self) -> None:
        self.time = datetime(2031, 5, 4, 9, tzinfo=UTC)

    def __call__(self) -> str:
        """Return the time as the store writes it."""
        return self.time.isoformat(timespec="milliseconds").replace("+00:00", "Z")

    def later(self, seconds: float) -> None:
        """Let time pass."""
        self.time += timedelta(seconds=seconds)


@pytest.fixture
def time(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A clock in the hand of the test."""
    made = Clock()
    monkeypatch.setattr(clock, "now", made)
    return made


@pytest.fixture
def database(tmp_path: Path, time: Clock) -> Iterator[Database]:
    """A furnished database, some time after it was furnished."""
    opened = open_database(file_url(Path(shutil.copy(furnished(), tmp_path / "hidelight.db"))))
    time.later(60)
    yield opened
    opened.close()


@cache
def furnished() -> Path:
    """Return a furnished database to copy: making one takes longer than most tests."""
    place = Path(tempfile.mkdtemp()) / "hidelight.db"
    opened = open_database(file_url(place))
    furnish(opened)
    opened.close()
    return place


def furnish(database: Database) -> None:
    """Make a thing with a pattern laid on a bench; the rack is still the one that stands in."""
    with database.writing() as session:
        things.add(session, name="Lamp", family="belt-pouch", measures={"width": "3 in"}, practice=False)
        values: dict[str, Any] = {"measures_mm": {}, "document": {}, "svg": "<svg/>"}
        patterns.add(session, thing_id=1, family="belt-pouch", title="Belt pouch", **values)
        made = benches.Made("Bay", (1920, 1080))
        benches.add(session, made, sightings=typed_sightings.empty((1920, 1080)))
        lies = {"front": Lie(1.0, 2.0), "back": Lie(3.0, 4.0)}
        laid = layouts.Laid("On Bay", "2 mm", 2.0, None, {}, lies)
        layouts.add(session, pattern_id=1, bench_id=1, laid=laid)


def move(database: Database, x: float, piece: str = "front") -> None:
    """Move a piece across."""
    with database.writing() as session:
        now = layouts.get(session, 1)
        lies = {**now.placements, piece: Lie(x, 2.0)}
        laid = layouts.Laid(now.name, now.leather, now.leather_mm, now.step, now.show, lies)
        layouts.change(session, 1, laid)


def lies_at(database: Database, piece: str = "front") -> float:
    with database.reading() as session:
        return layouts.get(session, 1).placements[piece].x


def changes(database: Database, of: Owner = ("layout", 1)) -> list[tuple[str, bool]]:
    """Return the words of an object's changes, the last first, and whether each is undone."""
    with database.reading() as session:
        return [(entry.words, entry.undone) for entry in history.entries(session, of)]


def turned(database: Database, of: Owner = ("layout", 1), *, back: bool = True, expected: int | None = None) -> bool:
    """Undo or redo once; return whether there was something to do."""
    try:
        with database.writing() as session:
            turn(session, of, back=back, expected=expected)
    except Refusal as refused:
        if refused.status != 409:
            raise
        return False
    return True


def rows(database: Database) -> dict[str, list[dict[str, Any]]]:
    """Return every stored row, without what only says that it was changed."""
    with database.reading() as session:
        connection = session.connection()
        found = {name: connection.execute(sa.select(Table.metadata.tables[name])).mappings().all() for name in COMPARED}
    return {
        name: sorted(({k: v for k, v in row.items() if k not in PASSED_OVER} for row in table), key=str)
        for name, table in found.items()
    }


class Turning(RuleBasedStateMachine):
    """Random changes of all four objects, some undone or redone between, over restarts."""

    def __init__(self) -> None:
        super().__init__()
        self.patch = pytest.MonkeyPatch()
        self.time = Clock()
        self.patch.setattr(clock, "now", self.time)
        self.folder = Path(tempfile.mkdtemp())

    @initialize()
    def begin(self) -> None:
        """Begin with a furnished database."""
        self.database = open_database(file_url(Path(shutil.copy(furnished(), self.folder / "hidelight.db"))))
        self.first = rows(self.database)

    @rule(seconds=st.sampled_from([0.1, 1.0, 5.0]))
    def wait(self, seconds: float) -> None:
        """Let time pass, more or less than what makes two changes one."""
        self.time.later(seconds)

    @rule(x=SEVEN, piece=st.sampled_from(["front", "back"]))
    def place(self, x: int, piece: str) -> None:
        """Move a piece."""
        move(self.database, x, piece)

    @rule(
        step=st.sampled_from([None, "cut", "sew"]),
        show=st.dictionaries(st.sampled_from(["cut", "hole"]), st.booleans()),
    )
    def choose(self, step: str | None, show: dict[str, bool]) -> None:
        """Choose a step and the kinds of line."""
        with self.database.writing() as session:
            now = layouts.get(session, 1)
            laid = layouts.Laid("On Bay", now.leather, now.leather_mm, step, show, now.placements)
            layouts.change(session, 1, laid)

    @rule(width=SEVEN, name=st.sampled_from(["Lamp", "Torch"]))
    def measure(self, width: int, name: str) -> None:
        """Measure and name the thing anew."""
        with self.database.writing() as session:
            things.change(session, 1, name=name, family="belt-pouch", measures={"width": f"{width} in"})

    @rule(length=SEVEN, calibrated=st.booleans())
    def sight(self, length: int, calibrated: bool) -> None:
        """A calibration writes the bench and an entry of its log together."""
        with self.database.writing() as session:
            sighted = {"distances": [{"from": "A", "to": "B", "length": length}]}
            calibration = {"plane": [0.1 * length]} if calibrated else None
            benches.sight(session, 1, sightings=sighted, calibration=calibration, report=None)
            if calibrated:
                note(session, 1, Entry("calibration", "calibrated", f"{length}"))

    @rule(pitch=SEVEN)
    def hang(self, pitch: int) -> None:
        """Save the rack."""
        with self.database.writing() as session:
            empty: dict[str, Any] = {part: [] for part in rack.PARTS} | {"arm_span": "1 m", "rates": {}, "waiting": {}}
            rack.put(session, empty | {"currency": "", "chisels": [{"pitch": f"{pitch} mm"}]})

    @rule(of=st.sampled_from(OBJECTS), back=st.booleans())
    def turn_one(self, of: Owner, back: bool) -> None:
        """Undo or redo one change of one object."""
        turned(self.database, of, back=back)

    @rule()
    def restart(self) -> None:
        """Close the database and open it again."""
        self.database.close()
        self.database = open_database(file_url(self.folder / "hidelight.db"))

    def all_the_way(self, back: bool) -> dict[str, list[dict[str, Any]]]:
        """Undo or redo everything, and return every row."""
        for of in OBJECTS:
            while turned(self.database, of, back=back):
                pass
        return rows(self.database)

    def teardown(self) -> None:
        """Undo everything, redo everything: back to the beginning, and to the end."""
        if hasattr(self, "first"):
            last = self.all_the_way(back=False)
            assert self.all_the_way(back=True) == self.first, "undoing everything must lead back to the beginning"
            self.restart()
            assert self.all_the_way(back=False) == last, "redoing everything must lead to the end"
            self.database.close()
        self.patch.undo()
        shutil.rmtree(self.folder)


TestTurning = Turning.TestCase
TestTurning.settings = settings(
    max_examples=10,
    stateful_step_count=15,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow],
)


# ---- what is one change


def test_what_follows_at_once_is_one_change(database: Database, time: Clock) -> None:
    """A piece that is nudged and nudged again was moved once; after a rest, or another piece, it is a new change."""
    for x in (10, 11, 12):
        move(database, x)
        time.later(history.TOGETHER_S - 0.1)
    assert changes(database) == [("moved front", False)]
    move(database, 20, "back")
    time.later(history.TOGETHER_S + 0.1)
    move(database, 21, "back")
    assert changes(database) == [("moved back", False), ("moved back", False), ("moved front", False)]
    for _ in range(3):
        assert turned(database)
    assert (lies_at(database), lies_at(database, "back")) == (1.0, 3.0)


def test_what_comes_back_at_once_to_where_it_was_is_no_change(database: Database) -> None:
    move(database, 10)
    move(database, 1)
    assert changes(database) == []


def test_saving_the_same_again_is_no_change(database: Database) -> None:
    move(database, 1)
    assert changes(database) == []


def test_a_new_change_ends_what_could_be_redone(database: Database, time: Clock) -> None:
    move(database, 10)
    assert turned(database)
    time.later(0.5)
    move(database, 30)
    assert changes(database) == [("moved front", False)]
    assert not turned(database, back=False)
    assert lies_at(database) == 30


def test_a_change_right_after_an_undo_is_not_mixed_into_an_older_one(database: Database, time: Clock) -> None:
    move(database, 10)
    time.later(5)
    move(database, 20)
    assert turned(database)
    move(database, 30)
    assert turned(database)
    assert lies_at(database) == 10


def test_objects_have_histories_of_their_own(database: Database) -> None:
    move(database, 10)
    with database.writing() as session:
        things.change(session, 1, name="Torch", family="belt-pouch", measures={"width": "4 in", "height": "6 in"})
    assert changes(database, ("thing", 1)) == [("renamed it Torch and changed width and height", False)]
    assert turned(database, ("thing", 1))
    assert lies_at(database) == 10
    with database.reading() as session:
        assert things.get(session, 1).name == "Lamp"


def test_undo_counts_the_revision_up(database: Database) -> None:
    """A row that went back is newer than before, for everyone who asks whether it changed."""
    move(database, 10)
    with database.reading() as session:
        before = layouts.get(session, 1).revision
    turned(database)
    with database.reading() as session:
        assert layouts.get(session, 1).revision == before + 1


# ---- refusals


def test_nothing_to_undo_is_said(database: Database) -> None:
    with pytest.raises(Refusal, match="nothing left to undo"), database.writing() as session:
        turn(session, ("layout", 1), back=True)
    with pytest.raises(Refusal, match="nothing to redo"), database.writing() as session:
        turn(session, ("layout", 1), back=False)


@pytest.mark.parametrize("of", [("layout", 99), ("nonsense", 1), ("settings", 1), ("job", 1)])
def test_what_has_no_history_is_refused(database: Database, of: Owner) -> None:
    with pytest.raises(Refusal) as refused, database.writing() as session:
        turn(session, of, back=True)
    assert refused.value.status == 404


def test_a_change_that_is_not_expected_is_refused(database: Database, time: Clock) -> None:
    """Two windows: one has changed something that the other one's button does not speak of yet."""
    move(database, 10)
    with database.reading() as session:
        seen = history.entries(session, ("layout", 1))[0].id
    time.later(5)
    move(database, 20)
    assert not turned(database, expected=seen)
    assert lies_at(database) == 20
    assert turned(database, expected=seen + 1)


def test_a_row_that_was_changed_behind_the_history_is_left_alone(database: Database, tmp_path: Path) -> None:
    """Somebody has changed the file with another program: undo says so, and changes nothing of that object."""
    move(database, 10)
    with sqlite3.connect(tmp_path / "hidelight.db") as connection:
        connection.execute("UPDATE placements SET x = 55 WHERE piece = 'front'")
    connection.close()
    with pytest.raises(Refusal, match='"moved front" cannot be undone'), database.writing() as session:
        turn(session, ("layout", 1), back=True)
    assert lies_at(database) == 55
    assert changes(database) == [("moved front", False)]


def test_many_rows_at_once_cannot_pass_by_the_history(database: Database) -> None:
    with pytest.raises(TypeError, match="history"), database.writing() as session:
        session.execute(sa.update(Layout).values(name="All"))
    with pytest.raises(TypeError, match="history"), database.writing() as session:
        session.execute(sa.delete(Bench))


def test_a_save_that_fails_leaves_no_change_behind(database: Database) -> None:
    with pytest.raises(ZeroDivisionError):
        fail(database)
    assert changes(database, ("thing", 1)) == []


def fail(database: Database) -> None:
    """Change a thing, and fail before it is saved."""
    with database.writing() as session:
        things.change(session, 1, name="Torch", family="belt-pouch", measures={})
        session.flush()
        raise ZeroDivisionError


# ---- what is kept


def test_every_table_is_in_a_history_or_says_why_not() -> None:
    """A new table is kept without being named anywhere; one that cannot be must give its reason."""
    for table in Table.metadata.sorted_tables:
        row = {column.name: 1 for column in table.columns}
        assert (owner(table, row) is None) == (table.name in NOT_KEPT)
    assert NOT_KEPT.keys() <= {*Table.metadata.tables, "jobs"}
    assert all(NOT_KEPT.values())


def test_the_oldest_changes_of_an_object_are_forgotten(
    database: Database, time: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(history, "MOST_CHANGES", 4)
    for x in range(10, 17):
        move(database, x)
        time.later(5)
    assert len(changes(database)) == 4
    while turned(database):
        pass
    assert lies_at(database) == 12, "as far back as is kept"


def test_the_oldest_changes_of_all_are_forgotten_when_they_grow_too_large(
    database: Database, time: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    with database.writing() as session:
        things.change(session, 1, name="Torch", family="belt-pouch", measures={"width": "4 in"})
    monkeypatch.setattr(history, "MOST_BYTES", 700)
    for x in range(10, 17):
        time.later(5)
        move(database, x)
    assert changes(database, ("thing", 1)) == []
    with database.reading() as session:
        kept = session.connection().execute(sa.select(sa.func.sum(history.CHANGES.c.size))).scalar_one()
    assert 350 < kept <= 700
    assert turned(database)
    assert lies_at(database) == 15


# ---- older databases


def test_a_database_from_before_there_was_a_history_is_brought_up(tmp_path: Path) -> None:
    """Made by the migrations up to 0003: its rows are whole, nothing is in the bin, and changes are kept from now on."""
    place = tmp_path / "hidelight.db"
    engine = create_engine(file_url(place))
    with engine.begin() as connection:
        config = migrate._config()
        config.attributes["connection"] = connection
        command.upgrade(config, "0003")
        connection.exec_driver_sql(
            "INSERT INTO things VALUES (3, 'Lamp', 0, 'belt-pouch', '{\"width\": \"3 in\"}', 'a', '2031-01-02T00:00:00.000Z', 2)"
        )
    engine.dispose()
    opened = open_database(file_url(place))
    with opened.reading() as session:
        assert [(thing.id, thing.name, thing.revision) for thing in things.every(session)] == [(3, "Lamp", 2)]
        assert history.entries(session, ("thing", 3)) == []
    with opened.writing() as session:
        things.change(session, 3, name="Torch", family="belt-pouch", measures={"width": "3 in"})
    assert turned(opened, ("thing", 3))
    with opened.reading() as session:
        assert things.get(session, 3).name == "Lamp"
    opened.close()
