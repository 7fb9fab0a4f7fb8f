"""The verdict on what a steel rule reads."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.errors import Refusal
from server.routes.light import HIGHEST_MM
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services import lengths
from server.services.bench.check_figure import CHECK_SIZES

check = Blueprint("check", __name__, url_prefix="/api")

LONGEST_MM = 10_000.0
"""No rule is longer, mm."""

LINES = {
    "top": "the top side",
    "bottom": "the bottom side",
    "left": "the left side",
    "right": "the right side",
    "diagonal-down": "the diagonal ↘",
    "diagonal-up": "the diagonal ↗",
}
"""What the page calls the lines of the figure."""


@check.post("/check")
def judge() -> dict[str, Any]:
    """Judge readings of the check figure."""
    given = body().only("bench", "size", "height", "readings")
    readings = given.inner("readings")
    height = given.number("height", 0.0, HIGHEST_MM) if given.has("height") else 0.0
    read = {name: _reading(name, readings.values[name]) for name in readings.values if readings.has(name)}
    return workshop().checks.judge(given.whole("bench"), given.number("size", *CHECK_SIZES), height, read)


def _reading(name: str, given: object) -> float:
    """Return what the rule reads, mm, from a number of mm or from words such as ``11 13/16 in``."""
    line, field = LINES.get(name, "a line"), f"readings.{name}"[:120]
    advice = f"write what the rule reads along {line}, such as 299.8 or 11 13/16 in."
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise Refusal(f"This is not a length: {advice}", field=field)
    try:
        mm = lengths.read(given, line)
    except Refusal:
        raise Refusal(f"{str(given)[:40]!r} is not a length: {advice}", field=field) from None
    if not 0.0 < mm <= LONGEST_MM:
        raise Refusal(f"{str(given)[:40]} cannot be the length of {line}: {advice}", field=field)
    return mm
