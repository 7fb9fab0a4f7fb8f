"""Saved patterns."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response

from server.routes.reading import body
from server.routes.wiring import workshop

patterns = Blueprint("patterns", __name__, url_prefix="/api/patterns")


@patterns.get("")
def every() -> list[dict[str, Any]]:
    """Answer all patterns."""
    return workshop().patterns.every()


@patterns.post("")
def add() -> tuple[dict[str, Any], int]:
    """Draft a thing and save the pattern."""
    return workshop().patterns.add(body().only("thing").whole("thing")), 201


@patterns.get("/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a pattern."""
    return workshop().patterns.get(number)


@patterns.get("/<int:number>/file.svg")
def file(number: int) -> Response:
    """Send the pattern file, at true size."""
    name, svg = workshop().patterns.svg(number)
    response = Response(svg, mimetype="image/svg+xml")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
