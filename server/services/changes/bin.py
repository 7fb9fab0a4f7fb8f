"""The bin: what the maker deletes, with everything that hangs on it, until it is put back or the bin is emptied of it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from server.services.light.light import Light
from server.store import bins
from server.store.database import Database
from server.store.history_objects import Owner


class Bin:
    """The maker's verbs about the bin. An object is given as its kind, such as "layout", and its number."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light

    def every(self) -> list[dict[str, Any]]:
        """Return what lies in the bin, the last deleted first."""
        with self._database.reading() as session:
            return [asdict(bag) for bag in bins.every(session)]

    def put(self, of: Owner) -> dict[str, Any]:
        """Delete an object into the bin, with everything that hangs on it; a light that shows any of it goes dark.

        Raises:
            Refusal: it is not there, or already in the bin (404); or its kind cannot be deleted.

        """
        with self._database.writing() as session:
            bag = bins.put(session, of)
        self._light.refresh()
        return asdict(bag)

    def back(self, number: int) -> dict[str, Any]:
        """Put back what lies in a bag; the light stays as it is.

        Raises:
            Refusal: it is not in the bin (404), or what it hangs on still is (409).

        """
        with self._database.writing() as session:
            bag = bins.back(session, number)
        self._light.refresh()
        return asdict(bag)

    def empty(self, number: int) -> dict[str, Any]:
        """Delete for good what lies in a bag; refused (404) when it is not in the bin."""
        with self._database.writing() as session:
            bag = bins.empty(session, number)
        self._light.refresh()
        return asdict(bag)
