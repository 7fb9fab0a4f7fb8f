"""The time as the store writes it."""

from __future__ import annotations

from datetime import UTC, datetime


def now() -> str:
    """Return the present UTC time in ISO 8601, to the millisecond, such as ``2031-05-04T09:12:33.120Z``."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
