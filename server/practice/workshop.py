"""What stands in the practice workshop: a table, a panel of leather, a steel rule, and a thing to be carried. All invented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

BENCH_NAME = "Practice bench"
THING_NAME = "Practice lamp"
FAMILY = "belt-pouch"

MEASURES: Mapping[str, str] = {
    "width": "3 in",
    "height": "6 in",
    "thickness": "1/2 in",
    "stands-out": "1 in",
    "belt": "1 1/2 in",
    "leather": "4-5 oz",
}
"""A flat pocket lamp as its owner would measure it; every other measure is left to the draft."""


@dataclass(frozen=True)
class Oblong:
    """An upright oblong on the table, mm: its upper left corner, its width and its depth towards the maker."""

    x: float
    y: float
    width: float
    height: float


TABLE = Oblong(-60.0, -80.0, 1420.0, 860.0)
"""The table top; the maker's mark, the origin, is near its upper left corner."""

PANEL = Oblong(280.0, 110.0, 720.0, 440.0)
"""The panel of leather on it."""

RULE_LENGTH, RULE_WIDTH = 600.0, 30.0
"""The steel rule, mm."""

RULE_PARKED = (330.0, 720.0)
"""Where the rule's zero lies while nothing is measured, mm."""
