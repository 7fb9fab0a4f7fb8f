"""Pieces longer than the light, span by span."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.table.spans import WAYS
from server.services.table.spans_marks import GROUNDS

spans = Blueprint("spans", __name__, url_prefix="/api/spans")


@spans.get("/<int:layout>")
def told(layout: int) -> dict[str, Any]:
    """Answer which pieces are longer than the light, and their spans."""
    return workshop().spans.told(layout)


@spans.post("/<int:layout>")
def plan(layout: int) -> dict[str, Any]:
    """Plan the spans of a piece."""
    given = body().only("piece", "ground")
    ground = given.choice("ground", GROUNDS) if given.has("ground") else GROUNDS[0]
    return workshop().spans.plan(layout, given.text("piece"), ground)


@spans.post("/<int:layout>/go")
def go(layout: int) -> dict[str, Any]:
    """Lay a span, by its number from 1."""
    return workshop().spans.go(layout, body().only("span").whole("span") - 1)


@spans.post("/<int:layout>/show")
def show(layout: int) -> dict[str, Any]:
    """Show the present span with its crosses."""
    body().only()
    return workshop().spans.show(layout)


@spans.post("/<int:layout>/meet")
def meet(layout: int) -> dict[str, Any]:
    """Begin to meet the crosses of the span before."""
    return workshop().spans.meet(layout, body().only("way").choice("way", WAYS))


@spans.post("/<int:layout>/end")
def end(layout: int) -> dict[str, Any]:
    """Forget the spans."""
    body().only()
    return workshop().spans.end(layout)
