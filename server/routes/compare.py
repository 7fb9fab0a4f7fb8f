"""Versions of a pattern, and two patterns compared."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, render_template

from server.routes.wiring import token, workshop

compare = Blueprint("compare", __name__)


@compare.get("/compare/<int:old>/<int:new>")
def shown(old: int, new: int) -> str:
    """The page of two patterns drawn over each other."""
    for number in (old, new):
        workshop().patterns.get(number)
    return render_template("compare.html", page="compare", token=token(), old=old, new=new)


@compare.get("/api/compare/<int:old>/<int:new>")
def read(old: int, new: int) -> dict[str, Any]:
    """Answer what differs between two saved patterns."""
    return workshop().compare.read(old, new)


@compare.get("/api/things/<int:number>/versions")
def versions(number: int) -> list[dict[str, Any]]:
    """Answer the saved patterns of a thing."""
    return workshop().versions.of_thing(number)
