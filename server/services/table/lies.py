"""Where a piece may lie."""

from __future__ import annotations

from server.geometry.placement import wrap_degrees
from server.store.records import Lie

__all__ = ["FARTHEST_MM", "MOST_TURN", "Lie", "lie"]

FARTHEST_MM = 10_000.0
"""No place on a table is farther from its corner, mm."""

MOST_TURN = 3600.0
"""Nobody turns a piece more than ten times round, degrees."""


def lie(x: float, y: float, turn: float = 0.0, *, mirror: bool = False) -> Lie:
    """Return a placement: mirrored first, turned by ``turn`` degrees clockwise, its origin moved to (x, y) mm."""
    return Lie(x, y, wrap_degrees(turn), mirror)
