"""Families of patterns, and drafts that are not saved."""

from __future__ import annotations

from typing import Any

from flask import Blueprint

from server.routes.choosing import costing, made_of
from server.routes.reading import body
from server.routes.wiring import workshop
from server.services.pattern import drafting as service

drafting = Blueprint("drafting", __name__, url_prefix="/api")


@drafting.get("/families")
def families() -> list[dict[str, Any]]:
    """Answer what can be drafted."""
    return service.families()


@drafting.get("/families/<name>")
def family(name: str) -> dict[str, Any]:
    """Answer a family's measures."""
    return service.family(name)


@drafting.post("/draft")
def draft() -> dict[str, Any]:
    """Draft from what was typed, with the rack in use; nothing is saved."""
    given = body().only("family", "measures", "made_of", "costing")
    family, measures = given.text("family"), given.inner("measures").values
    return workshop().making.draft(family, measures, made_of(given), costing(given))
