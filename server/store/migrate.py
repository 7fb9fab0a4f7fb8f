"""Brings the tables to the present version, step by step, inside the caller's transaction."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

VERSION_TABLE = "alembic_version"


def to_head(connection: Connection) -> None:
    """Run every step that the database has not had; all of them or, on an exception, none."""
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def unknown_version(connection: Connection) -> str | None:
    """Return the version of the database when this program does not know it, else None."""
    present = MigrationContext.configure(connection).get_current_heads()
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    return next((version for version in present if version not in known), None)


def _config() -> Config:
    config = Config()
    folder = Path(__file__).parent / "migrations"
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    return config
