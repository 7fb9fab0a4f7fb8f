"""A projector that has just been lit moves its picture while it warms up, so what was checked cold is checked again."""

from __future__ import annotations

from typing import Any

from server.services.times import minutes_since

WARM_MINUTES = 20.0
"""After so long most projectors stand still (common practice, no source)."""

FORGOTTEN_MINUTES = 12 * 60.0
"""After so long the lamp has been off in between: it is asked for again."""


def told(since: str | None, checked_at: str | None) -> dict[str, Any]:
    """Return how warm the projector is.

    Args:
        since: when it was lit; None where nobody has said.
        checked_at: when the bench was last checked.

    Returns:
        since (None also when that is long ago), minutes lit, minutes left, and whether a check is due again: it is warm
        now and has not been checked since it was.

    """
    minutes = None if since is None else minutes_since(since)
    if since is None or minutes is None or minutes > FORGOTTEN_MINUTES:
        return {"since": None, "minutes": None, "minutes_left": None, "recheck_due": False}
    checked_warm = checked_at is not None and minutes - minutes_since(checked_at) >= WARM_MINUTES
    return {
        "since": since,
        "minutes": round(minutes, 1),
        "minutes_left": round(max(0.0, WARM_MINUTES - minutes), 1),
        "recheck_due": minutes >= WARM_MINUTES and not checked_warm,
    }
