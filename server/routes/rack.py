"""The maker's rack."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.pages import page
from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.rack_words import COLUMNS, RATES

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
    given = body().only(*COLUMNS, "arm_span", "rates")
    parts: dict[str, Any] = {
        part: [_words(line, columns) for line in given.objects(part, MOST)] for part, columns in COLUMNS.items()
    }
    rates = _words(given.inner("rates"), RATES)
    return workshop().rack.save({**parts, "arm_span": given.text("arm_span"), "rates": rates})


def _words(line: Fields, columns: tuple[str, ...]) -> dict[str, str]:
    """The typed words of a line; what is left out or empty is an empty text."""
    line.only(*columns)
    return {name: line.text(name) if line.values.get(name) not in (None, "") else "" for name in columns}
