"""The workshop's printers: how far each is off by its own check rules, kept by name."""

from __future__ import annotations

from typing import Any

from server.errors import Refusal
from server.output.paper import Correction, correction
from server.store import settings
from server.store.clock import now
from server.store.database import Database

KEPT = "paper printers"
MOST = 30
"""Printers and settings of one workshop."""


class Printers:
    """The maker's verbs about printers; each entry is one printer with its settings (paper, tray, quality)."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def every(self) -> list[dict[str, Any]]:
        """Return the printers by name: factors across and down the page, when measured, and what is corrected in words."""
        with self._database.reading() as session:
            kept = settings.recall(session, KEPT) or {}
        return [_shown(name, kept[name]) for name in sorted(kept, key=str.lower)]

    def correction(self, name: str) -> Correction:
        """Return the correction of a printer; none for the empty name, refused for an unknown one."""
        if not name:
            return Correction()
        with self._database.reading() as session:
            kept = settings.recall(session, KEPT) or {}
        return _correction(name, kept)

    def measure(self, name: str, across: float, down: float, corrected: bool) -> list[dict[str, Any]]:
        """Keep what a printer's rules measured, and return every printer.

        Args:
            name: of the printer and its settings.
            across: what the lying 100 mm rule measured, mm.
            down: what the upright one measured, mm.
            corrected: whether the measured page was printed with this printer's correction.

        Raises:
            Refusal: more than 5 % off, or too many printers.

        """
        with self._database.writing() as session:
            kept = dict(settings.recall(session, KEPT) or {})
            if name not in kept and len(kept) >= MOST:
                raise Refusal(f"{MOST} printers are kept: forget one first.", field="name")
            before = _correction(name, kept) if corrected else None
            found = correction(across, down, name, before)
            kept[name] = {"across": found.across, "down": found.down, "measured": [across, down], "at": now()}
            settings.remember(session, KEPT, kept)
        return self.every()

    def forget(self, name: str) -> list[dict[str, Any]]:
        """Forget a printer, and return the others; refused when there is none of that name."""
        with self._database.writing() as session:
            kept = dict(settings.recall(session, KEPT) or {})
            _correction(name, kept)
            del kept[name]
            settings.remember(session, KEPT, kept)
        return self.every()


def _correction(name: str, kept: Any) -> Correction:
    entry = kept.get(name)
    if entry is None:
        raise Refusal(
            f"No printer {name[:60]!r} has been measured: print a page and measure its rules.", field="printer"
        )
    return Correction(entry["across"], entry["down"], name)


def _shown(name: str, entry: Any) -> dict[str, Any]:
    across, down = entry["measured"]
    words = Correction(entry["across"], entry["down"]).words
    return {"name": name, "across_mm": across, "down_mm": down, "words": words, "measured_at": entry["at"]}
