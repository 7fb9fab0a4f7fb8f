"""Whether a bench was checked today: leather is cut by its light, and a projector may have been knocked since yesterday."""

from __future__ import annotations

from dataclasses import dataclass

from server.services.bench import history
from server.services.times import is_today
from server.store.database import Session
from server.store.records import BenchRecord

GOOD = ("still", "shifted", "holds")
"""What a check may come to for a bench to be worked on: at rest, corrected, or the rule reads what it should."""


@dataclass(frozen=True)
class BenchCheck:
    """What is known of a bench today.

    Args:
        good: whether it was checked today, since it was calibrated, and found good.
        waived: whether the maker chose today to go on without.
        sentence: the same in words.
        href: the page where it is checked.

    """

    good: bool
    waived: bool
    sentence: str
    href: str

    @property
    def passed(self) -> bool:
        """Tell whether work may go on."""
        return self.good or self.waived


def bench_check(session: Session, bench: BenchRecord, unchecked_at: str | None = None) -> BenchCheck:
    """Return whether a bench was checked today; ``unchecked_at`` is when the maker last chose to go on without."""
    waived = unchecked_at is not None and is_today(unchecked_at)
    href = f"/bench/{bench.id}#session"
    wrong = _wrong(session, bench)
    if wrong is None:
        return BenchCheck(True, False, f"{bench.name} was checked today.", href)
    return BenchCheck(False, waived, f"You work on unchecked: {wrong}" if waived else wrong, href)


def _wrong(session: Session, bench: BenchRecord) -> str | None:
    """Why the bench is not to be trusted today, or None."""
    last = history.last_check(session, bench.id)
    if bench.calibration is None:
        return f"{bench.name} is not calibrated."
    if last is None or not last["today"]:
        return f"{bench.name} has not been checked today."
    if last["at"] < (bench.calibrated_at or ""):
        return f"{bench.name} was calibrated anew, and not checked since."
    if last["decision"] not in GOOD:
        return f"{bench.name} was checked today and not found good: {last['sentence']}"
    return None
