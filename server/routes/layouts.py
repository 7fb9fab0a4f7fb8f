"""Layouts of patterns on benches."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.light import read_lie
from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.table.layouts import LEATHER_MM, LayoutChange

layouts = Blueprint("layouts", __name__, url_prefix="/api/layouts")


@layouts.get("")
def every() -> list[dict[str, Any]]:
    """Answer all layouts."""
    return workshop().layouts.every()


@layouts.post("")
def add() -> tuple[dict[str, Any], int]:
    """Lay a pattern on a bench."""
    given = body().only("pattern", "bench", "name")
    name = given.text("name") if given.has("name") else None
    return workshop().layouts.add(given.whole("pattern"), given.whole("bench"), name), 201


@layouts.get("/<int:number>")
def get(number: int) -> dict[str, Any]:
    """Answer a layout."""
    return workshop().layouts.get(number)


@layouts.get("/<int:number>/strikes")
def strikes(number: int) -> dict[str, Any]:
    """Answer the blows of the layout's present step."""
    return workshop().layout_strikes(number)


@layouts.put("/<int:number>")
def change(number: int) -> dict[str, Any]:
    """Save a layout as it lies; what is left out stays as it is."""
    given = body().only("name", "leather", "step", "show", "placements")
    return workshop().layouts.change(number, _read(given))


def _read(given: Fields) -> LayoutChange:
    show = given.inner("show") if given.has("show") else None
    lies = given.inner("placements") if given.has("placements") else None
    return LayoutChange(
        name=given.text("name") if given.has("name") else None,
        leather=_leather(given) if given.has("leather") else None,
        step=_step(given),
        show=None if show is None else {kind: show.flag(kind) for kind in show.values},
        placements=None if lies is None else {piece: _lie(lies.inner(piece)) for piece in lies.values},
    )


def _leather(given: Fields) -> str:
    """Return the leather in words; a bare number is mm."""
    value = given.values["leather"]
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    return f"{given.number('leather', *LEATHER_MM):g} mm" if bare else given.text("leather", 40)


def _step(given: Fields) -> str | None:
    """Return the step; null, which means all steps at once, becomes the empty name."""
    if "step" not in given.values:
        return None
    return given.text("step") if given.has("step") else ""


def _lie(given: Fields) -> Any:
    return read_lie(given.only("x", "y", "turn", "mirror"))
