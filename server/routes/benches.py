"""Benches, their sightings, and how sure each place is."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, request

from server.errors import Refusal
from server.routes.light import HIGHEST_MM
from server.routes.reading import Fields, body
from server.routes.wiring import workshop

benches = Blueprint("benches", __name__, url_prefix="/api/benches")

PICTURE_PX = (64, 16_384)
"""The smallest and the largest side of a picture, px."""

SIGHTINGS = ("unit", "grid", "crosses", "positions", "distances", "lens", "mirrored")


@benches.get("")
def every() -> list[dict[str, Any]]:
    """Answer all benches."""
    return workshop().benches.every()


@benches.post("")
def add() -> tuple[dict[str, Any], int]:
    """Make a bench."""
    return workshop().benches.add(*_read()), 201


@benches.get("/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a bench with its sightings."""
    return workshop().benches.get(number)


@benches.put("/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Rename a bench, or give it another picture."""
    return workshop().benches.change(number, *_read())


@benches.put("/<int:number>/sightings")
def sight(number: int) -> dict[str, Any]:
    """Save sightings, and calibrate by them if they suffice."""
    return workshop().benches.sight(number, body().only(*SIGHTINGS).values)


@benches.get("/<int:number>/map")
def error_map(number: int) -> dict[str, Any]:
    """Answer the expected error over the table."""
    return workshop().benches.map(number, _height(request.args.get("height", "0")))


def _read() -> tuple[str, tuple[int, int]]:
    given: Fields = body().only("name", "width", "height")
    return given.text("name"), (given.whole("width", *PICTURE_PX), given.whole("height", *PICTURE_PX))


def _height(text: str) -> float:
    try:
        height = float(text)
    except ValueError:
        height = -1.0
    if not 0.0 <= height <= HIGHEST_MM:
        raise Refusal(f"height must be 0 to {HIGHEST_MM:g} mm above the table.", field="height")
    return height
