"""Witness marks and session checks of a bench, and its history."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.errors import Refusal
from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.table.lies import FARTHEST_MM

sessions = Blueprint("sessions", __name__, url_prefix="/api/benches/<int:number>")

MOST_MARKS = 100
"""More marks are not even counted; the service says how many a bench may have."""


@sessions.put("/witness")
def mark(number: int) -> dict[str, Any]:
    """Take crosses of the light, or known places, for witness marks."""
    given = body().only("names", "marks", "own")
    if given.flag("own"):
        return workshop().sessions.mark_own(number, given.only("names", "own").texts("names", MOST_MARKS))
    marks = given.only("marks", "own").objects("marks", MOST_MARKS)
    places = {_letter(one.only("name", "place")): one.place("place", FARTHEST_MM) for one in marks}
    if len(places) < len(marks):
        raise Refusal("Two witness marks have the same letter: give each its own.", field="marks")
    return workshop().sessions.mark_known(number, places)


@sessions.post("/session")
def decide(number: int) -> dict[str, Any]:
    """Decide whether the bench still holds."""
    seen = body().only("seen").inner("seen")
    return workshop().sessions.decide(number, {name: seen.pixel(name) for name in seen.values})


@sessions.get("/sessions")
def history(number: int) -> list[dict[str, Any]]:
    """Answer the history of the bench."""
    return workshop().sessions.history(number)


def _letter(given: Fields) -> str:
    name = given.text("name", 1)
    if not ("A" <= name <= "Z"):
        raise Refusal("The name of a witness mark must be a letter from A to Z.", field="marks")
    return name
