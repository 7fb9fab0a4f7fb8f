"""The one error class people may see, and its one shape in JSON."""

from __future__ import annotations

from calibration.refusal import Refusal

__all__ = ["Refusal", "refusal_json"]


def refusal_json(sentence: str, field: str | None = None) -> dict[str, dict[str, str | None]]:
    """Return the body of every error answer: ``{"error": {"sentence": ..., "field": ...}}``."""
    return {"error": {"sentence": sentence, "field": field}}
