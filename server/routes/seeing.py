"""How the light shows on the maker's leather, and the key that blacks it out."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.reading import Fields, body
from server.routes.wiring import workshop
from server.services.light.seeing import LUMENS, Change, Room, read_room

seeing = Blueprint("seeing", __name__, url_prefix="/api")


@seeing.get("/layouts/<int:number>/seeing")
def read(number: int) -> dict[str, Any]:
    """Answer what is chosen for a layout, and how every kind of line shows."""
    return workshop().seeing.read(number)


@seeing.put("/layouts/<int:number>/seeing")
def change(number: int) -> dict[str, Any]:
    """Save choices; what is left out stays as it is."""
    given = body().only("leather", "weight", "colours", "fill", "blink", "runner", "room", "lumens")
    return workshop().seeing.change(number, _change(given))


@seeing.post("/layouts/<int:number>/seeing/keep")
def keep(number: int) -> dict[str, Any]:
    """Keep the choices for every layout on that leather."""
    body().only()
    return workshop().seeing.keep(number)


@seeing.post("/light/blackout")
def blackout() -> dict[str, Any]:
    """Make the light black at once, or let it come back as it was."""
    on = body().only("on").flag("on")
    workshop().light.black_out(on)
    return {"on": on}


def _change(given: Fields) -> Change:
    colours = given.inner("colours") if given.has("colours") else None
    return Change(
        leather=given.text("leather", 40) if given.has("leather") else None,
        weight=given.text("weight", 40) if given.has("weight") else None,
        colours=None if colours is None else {kind: colours.text(kind, 40) for kind in colours.values},
        fill=given.flag("fill") if given.has("fill") else None,
        blink=_blink(given),
        runner=given.flag("runner") if given.has("runner") else None,
        room=_room(given),
    )


def _blink(given: Fields) -> str | None:
    """Return the kind that blinks; null, which means none, becomes the empty name."""
    if "blink" not in given.values:
        return None
    return given.text("blink", 40) if given.has("blink") else ""


def _room(given: Fields) -> Room | None:
    """Return the room's light with the projector's lumens; the two are said together."""
    if not given.has("room"):
        return None
    return read_room(given.text("room", 40), given.number("lumens", *LUMENS) if given.has("lumens") else None)
