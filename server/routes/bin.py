"""Deleting into the bin, putting back, and emptying it."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.pages import page
from server.routes.wiring import workshop

bins = Blueprint("bin", __name__)


@bins.get("/bin")
def shown() -> str:
    """The page of the bin."""
    return page("bin")


@bins.get("/api/bin")
def every() -> list[dict[str, Any]]:
    """Answer what lies in the bin."""
    return workshop().bin.every()


@bins.delete("/api/things/<int:number>")
def thing(number: int) -> dict[str, Any]:
    """Delete a thing with its patterns and layouts."""
    return workshop().bin.put(("thing", number))


@bins.delete("/api/patterns/<int:number>")
def pattern(number: int) -> dict[str, Any]:
    """Delete a saved pattern with its layouts."""
    return workshop().bin.put(("pattern", number))


@bins.delete("/api/layouts/<int:number>")
def layout(number: int) -> dict[str, Any]:
    """Delete a layout."""
    return workshop().bin.put(("layout", number))


@bins.delete("/api/benches/<int:number>")
def bench(number: int) -> dict[str, Any]:
    """Delete a bench with its layouts and its history."""
    return workshop().bin.put(("bench", number))


@bins.post("/api/bin/<int:number>/back")
def back(number: int) -> dict[str, Any]:
    """Put back what lies in a bag of the bin."""
    return workshop().bin.back(number)


@bins.delete("/api/bin/<int:number>")
def empty(number: int) -> dict[str, Any]:
    """Delete for good what lies in a bag of the bin."""
    return workshop().bin.empty(number)
