"""Benches, their sightings, and how sure each place is."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, json

from server.routes.light import HIGHEST_MM
from server.routes.reading import LARGEST_WHOLE, Fields, asked, body
from server.routes.wiring import workshop
from server.services.bench.bench_file import PICTURE_PX, TABLE_MM, TOLERANCES_MM
from server.services.bench.benches import TOLERANCE_MM, BenchChange, Made

benches = Blueprint("benches", __name__, url_prefix="/api/benches")

MADE = ("name", "width", "height", "table_width", "table_depth", "tolerance")

SIGHTINGS = ("unit", "grid", "crosses", "positions", "distances", "lens", "mirrored")


@benches.get("")
def every() -> list[dict[str, Any]]:
    """Answer all benches."""
    return workshop().benches.every()


@benches.post("")
def add() -> tuple[dict[str, Any], int]:
    """Make a bench."""
    given = body().only(*MADE)
    picture = (given.whole("width", *PICTURE_PX), given.whole("height", *PICTURE_PX))
    sides = (_side(given, "table_width") or None, _side(given, "table_depth") or None)
    return workshop().benches.add(Made(given.text("name"), picture, sides, _tolerance(given) or TOLERANCE_MM)), 201


@benches.post("/import")
def bring() -> tuple[dict[str, Any], int]:
    """Make a bench from a bench file."""
    given = body().only("name", "file")
    return workshop().benches.bring(given.text("name"), given.inner("file").values), 201


@benches.get("/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a bench with its sightings."""
    return workshop().benches.get(number)


@benches.put("/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Change a bench; what is left out stays as it is."""
    given = body().only(*MADE)
    change = BenchChange(
        name=given.text("name") if "name" in given.values else None,
        width=given.whole("width", *PICTURE_PX) if "width" in given.values else None,
        height=given.whole("height", *PICTURE_PX) if "height" in given.values else None,
        table_width=_side(given, "table_width"),
        table_depth=_side(given, "table_depth"),
        tolerance=_tolerance(given),
    )
    return workshop().benches.change(number, change)


@benches.put("/<int:number>/sightings")
def sight(number: int) -> dict[str, Any]:
    """Save sightings, and calibrate by them if they suffice."""
    return workshop().benches.sight(number, body().only(*SIGHTINGS).values)


@benches.get("/<int:number>/map")
def error_map(number: int) -> dict[str, Any]:
    """Answer the expected error over the table."""
    return workshop().benches.map(number, asked("height", 0.0, HIGHEST_MM) or 0.0)


@benches.get("/<int:number>/insight")
def insight(number: int) -> dict[str, Any]:
    """Answer mistake, next sighting, and where the error comes from."""
    height, tolerance = asked("height", 0.0, HIGHEST_MM), asked("tolerance", *TOLERANCES_MM)
    layout = asked("layout", 1, LARGEST_WHOLE)
    return workshop().insights.read(number, height, tolerance, None if layout is None else int(layout))


@benches.get("/<int:number>/file.json")
def file(number: int) -> Response:
    """Send the bench file."""
    name, document = workshop().benches.file(number)
    response = Response(json.dumps(document), mimetype="application/json")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _side(given: Fields, name: str) -> float | None:
    """Return a side of the table, mm: None when it was not said, 0 when it is to be forgotten."""
    if name not in given.values:
        return None
    return given.length(name, *TABLE_MM) if given.has(name) else 0.0


def _tolerance(given: Fields) -> float | None:
    return given.length("tolerance", *TOLERANCES_MM) if given.has("tolerance") else None
