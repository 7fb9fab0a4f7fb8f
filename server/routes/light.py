"""What the light shows, where pieces move in it, and the projector window."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.reading import Fields, body
from server.routes.state import window_name
from server.routes.wiring import workshop
from server.services.bench.check_figure import CHECK_SIZES
from server.services.light.shown import CHECK_SIZE_MM, MODES, Shown
from server.services.light.windows import WindowSize
from server.services.table.lies import FARTHEST_MM, MOST_TURN, Lie, lie

light = Blueprint("light", __name__, url_prefix="/api")

HIGHEST_MM = 500.0
"""No leather, block or fixture on a bench is higher, mm."""

LARGEST_PX = 32_768
"""No picture is larger, px."""


@light.post("/light")
def show() -> dict[str, Any]:
    """Choose what the light shows."""
    given = body().only("mode", "bench", "layout", "size", "height", "selected", "pixels", "strike", "step")
    shown = Shown(
        mode=given.choice("mode", MODES),
        bench=given.whole("bench") if given.has("bench") else None,
        layout=given.whole("layout") if given.has("layout") else None,
        size=given.number("size", *CHECK_SIZES) if given.has("size") else CHECK_SIZE_MM,
        height=given.number("height", 0.0, HIGHEST_MM) if given.has("height") else 0.0,
        selected=given.text("selected") if given.has("selected") else None,
        strike=given.whole("strike", 0) if given.has("strike") else None,
        step=given.text("step") if given.has("step") else None,
    )
    pixels = given.inner("pixels") if given.has("pixels") else None
    nudges = None if pixels is None else {name: pixels.pixel(name) for name in pixels.values}
    workshop().light.show(shown, nudges)
    return workshop().state.read()["light"]  # type: ignore[no-any-return]


@light.post("/light/move")
def move() -> dict[str, Any]:
    """Move a piece in the light, without saving it."""
    given = body().only("layout", "piece", "x", "y", "turn", "mirror")
    live = workshop().light.move(given.whole("layout"), given.text("piece"), read_lie(given))
    return {"live": live}


@light.post("/light/witness")
def nudge() -> dict[str, Any]:
    """Move a witness cross in the light, without saving it."""
    given = body().only("name", "pixel")
    name = given.text("name")
    return {"live": workshop().light.nudge({name: given.pixel("pixel")}, name)}


@light.post("/window")
def report() -> dict[str, Any]:
    """Note how large a projector window is."""
    given = body().only("window", "width", "height", "ratio", "fullscreen", "screen", "scale", "outer")
    screen = given.inner("screen").only("width", "height") if given.has("screen") else None
    size = WindowSize(
        width=given.whole("width", 1, LARGEST_PX),
        height=given.whole("height", 1, LARGEST_PX),
        ratio=given.number("ratio", 0.05, 20.0),
        fullscreen=given.flag("fullscreen"),
        screen=None
        if screen is None
        else (screen.whole("width", 1, LARGEST_PX), screen.whole("height", 1, LARGEST_PX)),
        scale=given.number("scale", 0.05, 20.0) if given.has("scale") else 1.0,
        outer=given.whole("outer", 1, LARGEST_PX) if given.has("outer") else None,
    )
    return {"active": workshop().light.report(window_name(given.text("window")), size)}


@light.post("/window/take")
def take() -> dict[str, Any]:
    """Let this projector window have the light."""
    workshop().light.take(window_name(body().only("window").text("window")))
    return {"active": True}


def read_lie(given: Fields) -> Lie:
    """Return where a piece lies, from the fields x, y, turn and mirror."""
    return lie(
        x=given.number("x", -FARTHEST_MM, FARTHEST_MM, called="Across"),
        y=given.number("y", -FARTHEST_MM, FARTHEST_MM, called="Towards you"),
        turn=given.number("turn", -MOST_TURN, MOST_TURN, called="Turn") if given.has("turn") else 0.0,
        mirror=given.flag("mirror") if given.has("mirror") else False,
    )
