"""The work sheet of a saved pattern."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.pages import page
from server.routes.wiring import workshop

sheets = Blueprint("sheets", __name__)


@sheets.get("/sheet/<int:pattern_id>")
def shown(pattern_id: int) -> str:
    """The page of a work sheet."""
    workshop().patterns.get(pattern_id)
    return page("sheet", pattern_id=pattern_id)


@sheets.get("/api/patterns/<int:number>/sheet")
def read(number: int) -> dict[str, Any]:
    """Answer the work sheet."""
    return workshop().making.sheet(number)
