"""The maker's rack."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.choosing import text, words
from server.routes.pages import page
from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.making.rack_lines import COLUMNS
from server.services.making.rack_words import RATES, WAITS

MOST = 200
"""More lines of one part than any maker's wall holds."""

rack = Blueprint("rack", __name__)


@rack.get("/rack")
def shown() -> str:
    """The page of the rack."""
    return page("rack")


@rack.get("/api/rack")
def read() -> dict[str, Any]:
    """Answer the rack as typed and as understood."""
    return workshop().rack.read()


@rack.put("/api/rack")
def save() -> dict[str, Any]:
    """Save the rack."""
    given = body().only(*COLUMNS, "arm_span", "rates", "waiting", "currency")
    whole: dict[str, Any] = {part: _lines(given, part, columns) for part, columns in COLUMNS.items()}
    whole["arm_span"], whole["currency"] = given.text("arm_span"), text(given, "currency")
    whole["rates"] = words(given.inner("rates"), RATES)
    whole["waiting"] = words(given.inner("waiting"), WAITS) if given.has("waiting") else {}
    saved = workshop().rack.save(whole)
    workshop().light.refresh()
    return saved


def _lines(given: Fields, part: str, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """One shelf; the drawer of hardware may be left out."""
    if part == "hardware" and not given.has(part):
        return []
    return [words(line, columns) for line in given.objects(part, MOST)]
