"""Undo and redo: each change of an object taken back in order, across restarts; the light and the pages follow."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Literal

from server.services.light.light import Light
from server.store import history
from server.store.database import Database, Session
from server.store.history_objects import Owner
from server.store.history_turn import named_object, turn

Way = Literal["undo", "redo"]


class Undo:
    """The maker's verbs about what was changed. An object is given as its kind, such as "layout", and its number."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light

    def history(self, of: Owner) -> dict[str, Any]:
        """Return the changes of an object, the last one first, and which of them is to be undone or redone next.

        Raises:
            Refusal: it is not there, or it is in the bin (404).

        """
        with self._database.reading() as session:
            return _told(session, of)

    def turn(self, of: Owner, way: Way, expected: int | None = None) -> dict[str, Any]:
        """Undo the last change of an object, or redo the one that was undone last.

        Args:
            of: kind and number of the object.
            way: which of the two.
            expected: the change that the maker sees on the button; None takes whichever comes next.

        Raises:
            Refusal: it is not there (404), nothing is to be turned, or another change came in between (409).

        """
        with self._database.writing() as session:
            done = turn(session, of, back=way == "undo", expected=expected)
            told = _told(session, of)
        self._light.refresh()
        return told | {"done": asdict(done)}


def _told(session: Session, of: Owner) -> dict[str, Any]:
    row = named_object(session.connection(), of)
    entries = history.entries(session, of)
    done = [entry for entry in entries if not entry.undone]
    undone = [entry for entry in entries if entry.undone]
    return {
        "of": of[0],
        "id": of[1],
        "name": row.get("name") or row.get("title"),
        "made_at": row.get("made_at"),
        "undo": asdict(done[0]) if done else None,
        "redo": asdict(undone[-1]) if undone else None,
        "entries": [asdict(entry) for entry in entries],
    } | asdict(history.version(session, of))
