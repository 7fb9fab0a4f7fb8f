"""Where things stand, and the event streams."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from server.errors import Refusal
from server.routes.wiring import workshop
from server.services.streams import Source
from server.services.workshop import Workshop

state = Blueprint("state", __name__, url_prefix="/api")

LONGEST_WINDOW = 64

HUNG_UP = "waitress.client_disconnected"
"""Under this name the server gives a function that tells whether the client has hung up."""


@state.get("/state")
def read_state() -> dict[str, Any]:
    """Answer where things stand."""
    return workshop().state.read()


@state.get("/events")
def events() -> Response:
    """Stream the events of a role: page, projector or practice."""
    shop, role = workshop(), request.args.get("role", "")
    window = window_name(request.args.get("window", ""))
    source = replace(_source(shop, role, window), gone=request.environ.get(HUNG_UP, _stays))
    shop.streams.enter()
    arrived = role == "projector"
    if arrived:
        shop.light.arrive(window)
    response = Response(shop.streams.events(source), mimetype="text/event-stream")
    response.call_on_close(lambda: _leave(shop, window if arrived else None))
    return response


def window_name(given: str) -> str:
    """Return a window's name as its page chose it; refused when it is not one."""
    if not 1 <= len(given) <= LONGEST_WINDOW or not given.isascii() or not given.isalnum():
        raise Refusal(f"window must be 1 to {LONGEST_WINDOW} letters and figures.", field="window")
    return given


def _source(shop: Workshop, role: str, window: str) -> Source:
    if role == "page":
        return Source("state", shop.state.text)
    if role == "projector":
        return Source("frame", lambda: shop.light.frame_text(window))
    if role == "practice":
        return Source("landing", shop.practice.landing_text)
    raise Refusal("role must be page, projector or practice.", field="role")


def _stays() -> bool:
    return False


def _leave(shop: Workshop, window: str | None) -> None:
    shop.streams.leave()
    if window is not None:
        shop.light.leave(window)
