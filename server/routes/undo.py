"""Undo and redo, and the history of what was changed."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request

from server.routes.reading import LARGEST_WHOLE, Fields, asked, body
from server.routes.wiring import workshop
from server.services.changes.undo import Way

undo = Blueprint("undo", __name__, url_prefix="/api")

LONGEST_KIND = 40


@undo.get("/history")
def history() -> dict[str, Any]:
    """Answer what was changed of an object."""
    number = asked("id", 1, LARGEST_WHOLE)
    given = Fields({"of": request.args.get("of", ""), "id": None if number is None else int(number)})
    return workshop().undo.history((given.text("of", LONGEST_KIND), given.whole("id")))


@undo.post("/undo")
def back() -> dict[str, Any]:
    """Undo the last change of an object."""
    return _turn("undo")


@undo.post("/redo")
def forth() -> dict[str, Any]:
    """Redo what was undone last."""
    return _turn("redo")


def _turn(way: Way) -> dict[str, Any]:
    given = body().only("of", "id", "change")
    expected = given.whole("change") if given.has("change") else None
    return workshop().undo.turn((given.text("of", LONGEST_KIND), given.whole("id")), way, expected)
