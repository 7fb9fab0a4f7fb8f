"""Things to be carried."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.choosing import costing, made_of
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.pattern.things import Choices

things = Blueprint("things", __name__, url_prefix="/api/things")


@things.get("")
def every() -> list[dict[str, Any]]:
    """Answer all things."""
    return workshop().things.every()


@things.post("")
def add() -> tuple[dict[str, Any], int]:
    """Save a new thing."""
    return workshop().things.add(*_read()), 201


@things.get("/costs")
def costs() -> dict[str, str]:
    """Answer what each thing costs, in one line, by its number."""
    return workshop().making.costs()


@things.get("/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a thing."""
    return workshop().things.get(number)


@things.put("/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Save a thing anew."""
    return workshop().things.change(number, *_read())


def _read() -> tuple[str, str, dict[str, Any], Choices]:
    given = body().only("name", "family", "measures", "made_of", "costing")
    choices = Choices(made_of(given), costing(given))
    return given.text("name"), given.text("family"), dict(given.inner("measures").values), choices
