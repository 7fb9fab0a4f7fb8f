"""The practice workshop."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.bench.check_figure import CHECK_SIZES
from server.services.practice.practice import HOWS, WAYS

practice = Blueprint("practice", __name__, url_prefix="/api/practice")


@practice.post("/start")
def start() -> dict[str, Any]:
    """Make the practice workshop, or come back to it."""
    body().only()
    return workshop().practice.start()


@practice.post("/sight")
def sight() -> dict[str, Any]:
    """Take sightings of the practice bench."""
    given = body().only("bench", "way", "replace")
    replace = given.flag("replace") if given.has("replace") else False
    return workshop().practice.sight(given.whole("bench"), given.choice("way", WAYS), replace)


@practice.post("/knock")
def knock() -> dict[str, Any]:
    """Knock the practice projector."""
    return workshop().practice.knock(body().only("how").choice("how", HOWS))


@practice.post("/witness")
def witness() -> dict[str, Any]:
    """Move the witness crosses onto their marks."""
    return workshop().practice.witness(body().only("bench").whole("bench"))


@practice.post("/shift-leather")
def shift_leather() -> dict[str, Any]:
    """Let the cut piece slip on the practice table."""
    given = body().only("piece")
    return workshop().moved_leather.shift(given.text("piece") if given.has("piece") else None)


@practice.post("/aim")
def aim() -> dict[str, Any]:
    """Bring the cross-hair onto the place that is asked for, with a hand's error."""
    body().only()
    return workshop().moved_leather.aim()


@practice.post("/read")
def read() -> dict[str, Any]:
    """Read the steel rule on the check figure."""
    return workshop().practice.read(body().only("size").number("size", *CHECK_SIZES))
