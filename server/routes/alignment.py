"""Bring the light to the leather with the cross-hair, or the leather to the light."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.errors import Refusal
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.table.lies import FARTHEST_MM, MOST_TURN

alignment = Blueprint("alignment", __name__, url_prefix="/api/alignment")


@alignment.get("")
def told() -> dict[str, Any]:
    """Answer how far the aiming is."""
    return workshop().alignment.told()


@alignment.post("")
def begin() -> dict[str, Any]:
    """Put the cross-hair over a piece."""
    given = body().only("layout", "piece")
    return workshop().alignment.begin(given.whole("layout"), given.text("piece") if given.has("piece") else None)


@alignment.post("/aim")
def aim() -> dict[str, Any]:
    """Move the cross-hair, to a picture px or to a place on the table."""
    given = body().only("pixel", "place")
    if given.has("pixel") == given.has("place"):
        raise Refusal("Give either the pixel or the place of the cross-hair.", field="pixel")
    if given.has("pixel"):
        return workshop().alignment.aim(given.pixel("pixel"), None)
    return workshop().alignment.aim(None, given.place("place", FARTHEST_MM))


@alignment.post("/ask")
def ask() -> dict[str, Any]:
    """Ask for another place of the piece."""
    return workshop().alignment.ask(body().only("feature").text("feature"))


@alignment.post("/point")
def point() -> dict[str, Any]:
    """Take the cross-hair to lie on the place asked for."""
    body().only()
    return workshop().alignment.point()


@alignment.post("/drop")
def drop() -> dict[str, Any]:
    """Leave a place out."""
    return workshop().alignment.drop(body().only("feature").text("feature"))


@alignment.post("/lay")
def lay() -> dict[str, Any]:
    """Save how the piece lies."""
    given = body().only("turned_over")
    return workshop().alignment.lay(turned_over=given.flag("turned_over") if given.has("turned_over") else False)


@alignment.post("/push")
def push() -> dict[str, Any]:
    """Show an outline to push the leather against."""
    given = body().only("layout", "piece")
    return workshop().alignment.push(given.whole("layout"), given.text("piece") if given.has("piece") else None)


@alignment.post("/carry")
def carry() -> dict[str, Any]:
    """Carry the outline to push against from one picture px to another, and turn it."""
    given = body().only("from", "to", "turn", "done")
    turn = given.number("turn", -MOST_TURN, MOST_TURN) if given.has("turn") else 0.0
    done = given.flag("done") if given.has("done") else False
    return workshop().alignment.carry(given.pixel("from"), given.pixel("to"), turn, done=done)


@alignment.post("/end")
def end() -> dict[str, Any]:
    """Take what the hand has out of the light."""
    body().only()
    return workshop().alignment.end()


@alignment.post("/fit")
def fit() -> dict[str, Any]:
    """Answer how a piece lies by places that were aimed at, without saving."""
    given = body().only("layout", "piece", "points")
    points = given.inner("points")
    pixels = {name: points.pixel(name) for name in points.values}
    return workshop().alignment.align(given.whole("layout"), given.text("piece"), pixels)
