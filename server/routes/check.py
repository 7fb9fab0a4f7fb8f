"""The verdict on what a steel rule reads."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.light import HIGHEST_MM
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.check_figure import CHECK_SIZES

check = Blueprint("check", __name__, url_prefix="/api")

LONGEST_MM = 10_000.0


@check.post("/check")
def judge() -> dict[str, Any]:
    """Judge readings of the check figure."""
    given = body().only("bench", "size", "height", "readings")
    readings = given.inner("readings")
    height = given.number("height", 0.0, HIGHEST_MM) if given.has("height") else 0.0
    read = {name: readings.number(name, 0.0, LONGEST_MM) for name in readings.values if readings.has(name)}
    return workshop().checks.judge(given.whole("bench"), given.number("size", *CHECK_SIZES), height, read)
