"""Reads what a maker chooses for a thing beside its measures: from the rack, and for its cost."""

from __future__ import annotations

import re
from typing import Any

from server.errors import Refusal
from server.routes.reading import Fields
from server.services.making.costing import COLUMNS
from server.services.making.made_of import PARTS

MOST_HARDWARE = 50
"""More kinds of hardware than one thing carries."""
MOST_STEPS = 2000
STEP_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,79}")


def made_of(given: Fields) -> dict[str, str] | None:
    """Return the names of what was chosen from the rack, "" for nothing; None when the body does not speak of it."""
    return words(given.inner("made_of"), PARTS) if given.has("made_of") else None


def costing(given: Fields) -> dict[str, Any] | None:
    """Return copies, hardware and minutes of steps as typed; None when the body does not speak of them.

    Without ``hardware`` the pattern's own proposal holds.
    """
    if not given.has("costing"):
        return None
    inner = given.inner("costing").only("copies", "hardware", "steps")
    found: dict[str, Any] = {"copies": text(inner, "copies")}
    if inner.has("hardware"):
        found["hardware"] = [words(line, COLUMNS) for line in inner.objects("hardware", MOST_HARDWARE)]
    if inner.has("steps"):
        found["steps"] = _minutes(inner.inner("steps"))
    return found


def _minutes(given: Fields) -> dict[str, str]:
    """What was typed beside steps, by name; what is left empty is not kept."""
    odd = next((name for name in given.values if not STEP_NAME.fullmatch(name)), None)
    if odd is not None or len(given.values) > MOST_STEPS:
        raise Refusal(
            f"A step goes by its name, such as prick, not by {ascii(odd)[:40]}, and a pattern has at most {MOST_STEPS}.",
            field="costing.steps",
        )
    return {name: typed for name in given.values if (typed := text(given, name).strip())}


def words(line: Fields, columns: tuple[str, ...]) -> dict[str, str]:
    """Return the typed words of a line; what is left out or empty is an empty text."""
    line.only(*columns)
    return {name: text(line, name) for name in columns}


def text(line: Fields, name: str) -> str:
    """Return a text, empty when it is left out."""
    return line.text(name) if line.values.get(name) not in (None, "") else ""
