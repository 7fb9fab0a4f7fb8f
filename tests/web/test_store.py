"""The database: its tables and migrations, what it refuses, and that everything outlives a restart."""

from __future__ import annotations

import json
import os
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, inspect
from sqlalchemy.exc import IntegrityError

from server.errors import Refusal
from server.settings import settle
from server.store import migrate, patterns, settings, things
from server.store.database import Database, file_url, open_database
from server.store.tables import Table
from tests.web.desk import Desk, open_desk


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where a database may be made."""
    return tmp_path / "hidelight.db"


def test_migrations_lead_from_nothing_to_the_present_tables(place: Path) -> None:
    """Upgrading an empty database gives exactly the tables of the metadata: columns, types, keys, indexes."""
    open_database(file_url(place)).close()
    engine = create_engine(file_url(place))
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, Table.metadata) == []
        migrated = _described(inspect(connection))
    engine.dispose()
    direct = create_engine("sqlite://")
    Table.metadata.create_all(direct)
    with direct.connect() as connection:
        assert _described(inspect(connection)) == migrated
    direct.dispose()


def _described(inspector: Any) -> dict[str, Any]:
    """Return what also the comparison of metadata does not see: check constraints, names of keys, cascades."""
    tables = [name for name in inspector.get_table_names() if name != migrate.VERSION_TABLE]
    return {
        table: {
            "checks": inspector.get_check_constraints(table),
            "keys": sorted(inspector.get_foreign_keys(table), key=lambda key: str(key["name"])),
            "primary": inspector.get_pk_constraint(table),
            "indexes": inspector.get_indexes(table),
            "columns": [(c["name"], str(c["type"]), c["nullable"]) for c in inspector.get_columns(table)],
        }
        for table in tables
    }


def test_a_database_of_the_first_version_is_brought_up_whole(place: Path) -> None:
    """Made by migration 1, with a row in every table: afterwards every old value is there, and the new ones have their defaults."""
    before = _first_version(place)
    open_database(file_url(place)).close()
    with sqlite3.connect(place) as connection:
        for table, (columns, rows) in before.items():
            assert connection.execute(f"SELECT {', '.join(columns)} FROM {table}").fetchall() == rows  # noqa: S608
        added = connection.execute(
            "SELECT table_width, table_depth, tolerance, witness, warm_since, guard FROM benches"
        )
        assert added.fetchall() == [(None, None, 0.5, "[]", None, "{}")]
        assert connection.execute("SELECT count(*) FROM sessions").fetchone() == (0,)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        assert connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'benches'").fetchone() == (41,)
    connection.close()


def test_a_bench_of_the_first_version_works_on(tmp_path: Path) -> None:
    """The practice bench as it was saved before there were sessions: read, marked, checked."""
    first = open_desk(tmp_path / "first")
    first.practice("marks", "block")
    record = first.shop.benches.record(1)
    first.shop.close()
    place = tmp_path / "second" / "hidelight.db"
    place.parent.mkdir()
    _first_version(place)
    kept = [json.dumps(part) for part in (record.sightings, record.calibration, record.report)]
    with sqlite3.connect(place) as connection:
        connection.execute("UPDATE benches SET practice = 1, sightings = ?, calibration = ?, report = ?", kept)
    connection.close()
    second = open_desk(place.parent)
    assert second.get("/api/benches/41")["calibrated"] is True
    marks = second.put("/api/benches/41/witness", {"names": ["A", "E", "P", "T"], "own": True})["witness"]["marks"]
    seen = {mark["name"]: mark["predicted"] for mark in marks}
    assert second.post("/api/benches/41/session", {"seen": seen})["decision"] == "still"
    second.shop.close()


def _first_version(place: Path) -> dict[str, tuple[list[str], list[Any]]]:
    """Make a database by the first migration alone, fill it, and return what it holds, table by table."""
    engine = create_engine(file_url(place))
    with engine.begin() as connection:
        config = migrate._config()
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        for statement in FIRST_ROWS:
            connection.exec_driver_sql(statement)
        names = [name for name in inspect(connection).get_table_names() if name != migrate.VERSION_TABLE]
        assert "sessions" not in names
        held = {}
        for name in names:
            columns = [column["name"] for column in inspect(connection).get_columns(name)]
            rows = connection.exec_driver_sql(f"SELECT {', '.join(columns)} FROM {name}").fetchall()  # noqa: S608
            held[name] = (columns, [tuple(row) for row in rows])
    engine.dispose()
    assert all(rows for _, rows in held.values()), "every table must hold something"
    return held


FIRST_ROWS = [
    'INSERT INTO benches VALUES (41, \'Bay\', 0, 1920, 1080, \'{"unit": "mm"}\', \'{"kind": "x"}\', \'{"a": 1.5}\', '
    "'2031-01-01T00:00:00.000Z', '2031-01-01T00:00:00.000Z', '2031-01-02T00:00:00.000Z', 7)",
    "INSERT INTO things VALUES (3, 'Lamp', 0, 'belt-pouch', '{\"width\": \"3 in\"}', 'a', 'b', 2)",
    "INSERT INTO patterns VALUES (5, 3, 'belt-pouch', 'Belt pouch', '{\"width\": 76.2}', '{}', '<svg/>', 'a')",
    "INSERT INTO layouts VALUES (6, 'On Bay', 5, 41, '4-5 oz', 1.7859, 'cut', '{\"cut\": true}', 'a', 'b', 9)",
    "INSERT INTO placements VALUES (6, 'front', 1.25, -2.5, 90.0, 1)",
    "INSERT INTO settings VALUES ('light', '{\"mode\": \"dark\"}')",
    "INSERT INTO checks VALUES (8, 41, 7, 300.0, 0.0, '{\"top\": 300.1}', 'holds', 'Well.', 'a')",
]


def test_a_half_finished_migration_leaves_nothing(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(connection: Any) -> None:
        connection.exec_driver_sql("CREATE TABLE benches (id INTEGER)")
        raise RuntimeError("power cut")

    monkeypatch.setattr(migrate, "to_head", broken)
    with pytest.raises(RuntimeError):
        open_database(file_url(place))
    monkeypatch.undo()
    open_database(file_url(place)).close()


def test_sqlite_is_set_for_durability(place: Path) -> None:
    database = open_database(file_url(place))
    with database.reading() as session:
        asked = {name: session.connection().exec_driver_sql(f"PRAGMA {name}").scalar() for name in PRAGMAS}
    database.close()
    assert asked == PRAGMAS


PRAGMAS = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000}


def test_foreign_keys_hold(place: Path) -> None:
    database = open_database(file_url(place))
    with pytest.raises(IntegrityError), database.writing() as session:
        session.connection().exec_driver_sql(
            "INSERT INTO checks (bench_id, bench_revision, size, height, readings, verdict, sentence, made_at)"
            " VALUES (7, 1, 300, 0, '{}', 'holds', '', '')"
        )
    database.close()


def test_an_exception_takes_the_whole_change_back(place: Path) -> None:
    database = open_database(file_url(place))

    def half_done() -> None:
        with database.writing() as session:
            settings.remember(session, "light", {"mode": "dark"})
            session.flush()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        half_done()
    with database.reading() as session:
        assert settings.recall(session, "light") is None
    database.close()


def test_records_are_free_of_their_session_and_frozen(place: Path) -> None:
    database = open_database(file_url(place))
    with database.writing() as session:
        thing = things.add(session, name="Lamp", family="belt-pouch", measures={"width": "3 in"}, practice=False)
    database.close()
    assert thing.measures["width"] == "3 in"
    with pytest.raises(AttributeError):
        thing.name = "Other"  # type: ignore[misc]


def test_a_pattern_of_nothing_is_refused(place: Path) -> None:
    database = open_database(file_url(place))
    with pytest.raises(Refusal) as refused, database.writing() as session:
        patterns.add(session, thing_id=3, family="f", title="t", measures_mm={}, document={}, svg="")
    assert refused.value.status == 404
    database.close()


FOREIGN = {
    "text": b"these are not the tables you are looking for" * 100,
    "a header and then nothing": b"SQLite format 3\x00" + b"\x10\x00\x01\x01\x00" + b"\x00" * 500,
    "zeros": bytes(8192),
}


@pytest.mark.parametrize("content", FOREIGN.values(), ids=FOREIGN.keys())
def test_a_file_that_is_no_database_is_refused_and_left_as_it_was(place: Path, content: bytes) -> None:
    place.write_bytes(content)
    with pytest.raises(Refusal) as refused:
        open_database(file_url(place))
    assert str(place) in refused.value.sentence
    assert place.read_bytes() == content
    assert os.listdir(place.parent) == [place.name]


def test_a_damaged_database_is_refused_and_left_as_it_was(place: Path) -> None:
    _fill(place)
    content = bytearray(place.read_bytes())
    content[4096 * 2 : 4096 * 4] = os.urandom(4096 * 2)
    place.write_bytes(content)
    with pytest.raises(Refusal) as refused:
        open_database(file_url(place))
    assert "left as it is" in refused.value.sentence
    assert place.read_bytes() == bytes(content)


def test_another_program_s_database_is_refused_and_left_as_it_was(place: Path) -> None:
    with sqlite3.connect(place) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")
    connection.close()
    before = place.read_bytes()
    with pytest.raises(Refusal, match="not a Hidelight database"):
        open_database(file_url(place))
    assert place.read_bytes() == before


def test_a_newer_database_is_refused_and_left_as_it_was(place: Path) -> None:
    _fill(place)
    with sqlite3.connect(place) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()
    before = place.read_bytes()
    with pytest.raises(Refusal, match="newer Hidelight"):
        open_database(file_url(place))
    assert place.read_bytes() == before


@pytest.mark.parametrize("url", ["hidelight.db", "carrier-pigeon://coop", "sqlite:////no/such/folder/hidelight.db"])
def test_an_address_that_cannot_be_used_is_said(url: str) -> None:
    with pytest.raises(Refusal) as refused:
        open_database(url)
    assert refused.value.field == "database" or "cannot be used" in refused.value.sentence


def test_a_full_disk_is_said_and_nothing_is_saved(place: Path) -> None:
    """SQLite's page limit stands in for the disk: the error it raises is the same."""
    database = open_database(file_url(place))

    def too_much() -> None:
        with database.writing() as session:
            session.connection().exec_driver_sql("PRAGMA max_page_count = 1")
            settings.remember(session, "large", {"text": "x" * 5_000_000})

    with pytest.raises(Refusal, match="Not saved") as refused:
        too_much()
    assert refused.value.status == 503
    with database.reading() as session:
        assert settings.recall(session, "large") is None
    database.close()


def test_the_database_s_address_is_a_setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HIDELIGHT_DATABASE", "sqlite:////somewhere/else.db")
    assert settle(tmp_path).database == "sqlite:////somewhere/else.db"
    assert settle(tmp_path, database="sqlite:////given.db").database == "sqlite:////given.db"
    monkeypatch.delenv("HIDELIGHT_DATABASE")
    assert settle(tmp_path / "a b%c?d").database.startswith("sqlite:///")


@pytest.mark.parametrize("name", ["plain", "with blank", "per%cent", "question?mark", "hash#tag", "ümlaut"])
def test_any_folder_name_will_do(tmp_path: Path, name: str) -> None:
    folder = tmp_path / name
    open_database(settle(folder, database=None).database).close()
    assert (folder / "hidelight.db").stat().st_size > 0


@pytest.mark.parametrize("port", [0, -1, 65536])
def test_an_impossible_port_is_refused(tmp_path: Path, port: int) -> None:
    with pytest.raises(Refusal) as refused:
        settle(tmp_path, port=port)
    assert refused.value.field == "port"


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(Refusal) as refused:
        settle(tmp_path / "file" / "data")
    assert "--data" in refused.value.sentence


def test_everything_outlives_a_restart(tmp_path: Path) -> None:
    first = open_desk(tmp_path)
    layout = first.layout(first.practice("marks", "block"))
    first.post("/api/check", {"bench": 1, "size": 300, "readings": {"top": 300, "left": 300, "diagonal-up": 424.3}})
    first.put(f"/api/layouts/{layout}", {"placements": {"front": {"x": 444.5, "y": 222, "turn": 12.5, "mirror": True}}})
    first.post("/api/light", {"mode": "layout", "layout": layout})
    before, light = _everything(first), first.frame()
    first.shop.close()

    second = open_desk(tmp_path)
    assert _everything(second) == before
    after = second.frame()
    assert [after[key] for key in ("mode", "bench", "strokes", "texts")] == [
        light[key] for key in ("mode", "bench", "strokes", "texts")
    ]
    second.shop.close()


def test_a_light_whose_layout_is_gone_starts_dark(tmp_path: Path) -> None:
    first = open_desk(tmp_path)
    first.shop.close()
    database = open_database(settle(tmp_path, database=None).database)
    with database.writing() as session:
        settings.remember(session, "light", {"mode": "layout", "bench": 3, "layout": 4, "not known here": 1})
    database.close()
    second = open_desk(tmp_path)
    assert second.get("/api/state")["light"]["mode"] == "dark"
    second.shop.close()


def _everything(desk: Desk) -> list[Any]:
    lists = [desk.get(f"/api/{name}") for name in ("state", "things", "patterns", "benches", "layouts")]
    return [*lists, desk.get("/api/benches/1"), desk.get("/api/layouts/1"), desk.get("/api/patterns/1")]


def _fill(place: Path) -> None:
    database: Database = open_database(file_url(place))
    with database.writing() as session:
        for number in range(200):
            settings.remember(session, f"note {number}", {"text": "x" * 500})
    database.close()
