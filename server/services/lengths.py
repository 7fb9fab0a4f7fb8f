"""Lengths as a request gives them: a bare number is mm, words may carry their unit and a minus."""

from __future__ import annotations

from server import units


def read(given: str | float, field: str) -> float:
    """Return a length in mm, negative where it is written so; refused when it is not understood, naming ``field``."""
    if not isinstance(given, str):
        return float(given)
    text = given.strip()
    if text[:1] in ("-", "\u2212"):
        return -units.length(text[1:], field=field)
    return units.length(text, field=field)
