"""How long ago something was, and whether that was today."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from server.store import clock


def moment(at: str) -> datetime:
    """Return a time of the store, such as ``2031-05-04T09:12:33.120Z``, as a moment in UTC."""
    return datetime.fromisoformat(at).astimezone(UTC)


def minutes_since(at: str) -> float:
    """Return the minutes from a time of the store until now."""
    return (moment(clock.now()) - moment(at)).total_seconds() / 60.0


def minutes_before_now(minutes: float) -> str:
    """Return the time that many minutes ago, as the store writes it."""
    then = moment(clock.now()) - timedelta(minutes=minutes)
    return then.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def is_today(at: str) -> bool:
    """Tell whether a time of the store is of this day, as this computer counts days."""
    return moment(at).astimezone().date() == moment(clock.now()).astimezone().date()
