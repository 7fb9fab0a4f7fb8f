"""What is settled before the server starts: where the data lives, which port, which token."""

from __future__ import annotations

import os
import secrets
from dataclasses import dataclass
from pathlib import Path

from platformdirs import user_data_path

from server.errors import Refusal
from server.store.database import file_url

DEFAULT_PORT = 8417
"""The port when none is given: free in the registry of well-known ports when it was chosen."""

ADDRESS = "127.0.0.1"
"""The only address that listens."""


@dataclass(frozen=True)
class Settings:
    """The settings of one run.

    Args:
        folder: the data folder; made when it is not there.
        database: database URL in SQLAlchemy's notation.
        port: TCP port on 127.0.0.1.
        token: secret of this run; state-changing requests carry it.

    """

    folder: Path
    database: str
    port: int
    token: str

    @property
    def address(self) -> str:
        """Return the address of the first page, such as ``http://127.0.0.1:8417/``."""
        return f"http://{ADDRESS}:{self.port}/"


def settle(folder: Path | None = None, database: str | None = None, port: int = DEFAULT_PORT) -> Settings:
    """Return the settings of a run and make the data folder.

    Args:
        folder: data folder; without it the folder of this user that the system has for such data.
        database: database URL; without it the variable HIDELIGHT_DATABASE, else a file in the data folder.
        port: TCP port, 1 to 65535.

    Raises:
        Refusal: the folder cannot be used, or the port is out of range.

    """
    if not 1 <= port <= 65535:
        raise Refusal(f"The port is {port}: choose a whole number from 1024 to 65535 with --port.", field="port")
    home = (folder or user_data_path("hidelight", appauthor=False)).expanduser().absolute()
    try:
        home.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        sentence = f"The data folder {home} cannot be made ({error.strerror}): choose another with --data."
        raise Refusal(sentence, field="data") from error
    url = database or os.environ.get("HIDELIGHT_DATABASE") or file_url(home / "hidelight.db")
    return Settings(folder=home, database=url, port=port, token=secrets.token_urlsafe(32))
