"""Letting phones in: the maker's side of it, on this computer only."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.pages import page
from server.routes.reading import body
from server.routes.wiring import workshop

phones = Blueprint("phones", __name__)


@phones.get("/phones")
def shown() -> str:
    """The page on which phones are let in and dropped."""
    return page("phones")


@phones.get("/api/phones")
def read() -> dict[str, Any]:
    """Answer whether phones are let in, and which are paired."""
    return workshop().phones.read()


@phones.post("/api/phones")
def switch() -> dict[str, Any]:
    """Let phones in, or shut them out."""
    given = body().only("on", "address")
    if not given.flag("on"):
        return workshop().phones.turn_off()
    return workshop().phones.turn_on(given.text("address", 40) if given.has("address") else None)


@phones.post("/api/phones/code")
def offer() -> dict[str, Any]:
    """Make a new code; ``in_light`` shows it on the table as well."""
    return workshop().phones.offer(in_light=body().only("in_light").flag("in_light"))


@phones.delete("/api/phones/code")
def withdraw() -> dict[str, Any]:
    """Make the present code good no more."""
    return workshop().phones.withdraw()


@phones.delete("/api/phones/<int:number>")
def drop(number: int) -> dict[str, Any]:
    """Forget a phone."""
    return workshop().phones.drop(number)
