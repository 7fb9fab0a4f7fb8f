"""Reads what a maker chooses for a thing beside its measures: from the rack, and for its cost."""

from __future__ import annotations

from typing import Any

from server.routes.reading import Fields
from server.services.making.costing import COLUMNS
from server.services.making.made_of import PARTS

MOST_HARDWARE = 50
"""More kinds of hardware than one thing carries."""


def made_of(given: Fields) -> dict[str, str] | None:
    """Return the names of what was chosen from the rack, "" for nothing; None when the body does not speak of it."""
    return words(given.inner("made_of"), PARTS) if given.has("made_of") else None


def costing(given: Fields) -> dict[str, Any] | None:
    """Return copies and hardware as typed; None when the body does not speak of them.

    Without ``hardware`` the pattern's own proposal holds.
    """
    if not given.has("costing"):
        return None
    inner = given.inner("costing").only("copies", "hardware")
    found: dict[str, Any] = {"copies": text(inner, "copies")}
    if inner.has("hardware"):
        found["hardware"] = [words(line, COLUMNS) for line in inner.objects("hardware", MOST_HARDWARE)]
    return found


def words(line: Fields, columns: tuple[str, ...]) -> dict[str, str]:
    """Return the typed words of a line; what is left out or empty is an empty text."""
    line.only(*columns)
    return {name: text(line, name) for name in columns}


def text(line: Fields, name: str) -> str:
    """Return a text, empty when it is left out."""
    return line.text(name) if line.values.get(name) not in (None, "") else ""
