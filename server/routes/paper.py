"""Paper: the page, the print, its preview, the work sheet, the drawings to take away, and the printers."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from flask import Blueprint, Response, request

from server.errors import Refusal
from server.routes.pages import page
from server.routes.reading import body
from server.routes.wiring import workshop

paper = Blueprint("paper", __name__)

LONGEST_WORDS = 4000
"""Characters that one choice of a print may have: 200 pieces by name."""


@paper.get("/paper/<int:pattern_id>")
def shown(pattern_id: int) -> str:
    """The page of a print."""
    workshop().patterns.get(pattern_id)
    return page("paper", pattern_id=pattern_id)


@paper.get("/api/patterns/<int:number>/paper")
def offered(number: int) -> dict[str, Any]:
    """Answer what can be chosen."""
    return workshop().paper.offered(number)


@paper.get("/api/patterns/<int:number>/paper/pages")
def preview(number: int) -> dict[str, Any]:
    """Answer what the print would be."""
    return workshop().paper.preview(number, _typed())


@paper.get("/api/patterns/<int:number>/paper/page-<int:which>.svg")
def one_page(number: int, which: int) -> Response:
    """Send the picture of one page."""
    return Response(workshop().paper.page(number, _typed(), which), mimetype="image/svg+xml")


@paper.get("/api/patterns/<int:number>/paper/print.pdf")
def print_pdf(number: int) -> Response:
    """Send the print."""
    return _file(*workshop().paper.pdf(number, _typed()), "application/pdf")


@paper.get("/api/patterns/<int:number>/work-sheet.pdf")
def work_sheet(number: int) -> Response:
    """Send the work sheet."""
    size = _typed().get("size", "A4")
    return _file(*workshop().paper.work_sheet(number, size), "application/pdf")


@paper.get("/api/patterns/<int:number>/file.dxf")
def dxf(number: int) -> Response:
    """Send the pattern as DXF."""
    return _file(*workshop().paper.dxf(number), "image/vnd.dxf")


@paper.get("/api/printers")
def printers() -> list[dict[str, Any]]:
    """Answer the printers that have been measured."""
    return workshop().paper.printers.every()


@paper.post("/api/printers")
def measure() -> list[dict[str, Any]]:
    """Keep what a printer's check rules measured."""
    given = body().only("name", "across", "down", "corrected")
    corrected = given.flag("corrected") if given.has("corrected") else False
    across, down = given.length("across", 1.0, 1000.0), given.length("down", 1.0, 1000.0)
    return workshop().paper.printers.measure(given.text("name", 60), across, down, corrected)


@paper.post("/api/printers/forget")
def forget() -> list[dict[str, Any]]:
    """Forget a printer."""
    return workshop().paper.printers.forget(body().only("name").text("name", 60))


def _typed() -> dict[str, str]:
    """The choices in the address, each given once and not longer than anyone types."""
    for name, words in request.args.items(multi=True):
        if len(words) > LONGEST_WORDS or len(request.args.getlist(name)) > 1:
            raise Refusal(f"{name[:40]} must be given once, in a few words.", field=name[:40])
    return dict(request.args.items())


def _file(name: str, content: str | bytes, kind: str) -> Response:
    response = Response(content, mimetype=kind)
    response.headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{quote(name)}"
    return response
