"""The picture guard."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.reading import LARGEST_WHOLE, asked, body
from server.routes.wiring import workshop
from server.services.bench.answers import ANSWERS
from server.services.bench.guard import ASKED

guard = Blueprint("guard", __name__, url_prefix="/api")


@guard.get("/guard")
def read() -> list[dict[str, Any]]:
    """Answer every item of the guard."""
    bench = asked("bench", 1, LARGEST_WHOLE)
    return workshop().guard.read(None if bench is None else int(bench))


@guard.post("/guard")
def answer() -> list[dict[str, Any]]:
    """Keep what an eye has seen."""
    given = body().only("name", "answer", "bench")
    bench = given.whole("bench") if given.has("bench") else None
    return workshop().guard.answer(given.choice("name", ASKED), given.choice("answer", ANSWERS), bench)
