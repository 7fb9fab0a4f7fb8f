"""Drafts with the maker's rack and bench: the answer while measures are typed, and the work sheet of a saved pattern."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from server.geometry.path import Point
from server.output.svg import pattern_svg
from server.services import drafting
from server.services.optics import optics
from server.services.rack import MakersRack
from server.services.sheet import sheet
from server.services.state import State
from server.services.workings import workings
from server.store import benches, patterns, things
from server.store.database import Database


class Making:
    """The maker's verbs about drafts that are not saved, and about the sheet one works by."""

    def __init__(self, database: Database, rack: MakersRack, state: State) -> None:
        self._database, self._rack, self._state = database, rack, state

    def draft(self, family: str, typed: Mapping[str, Any], thread: str | None = None) -> dict[str, Any]:
        """Return the draft of what was typed, checked, with tools and cost of the rack in use; nothing is saved.

        Raises:
            Refusal: words that are not understood, measures that do not go together, no such thread.

        """
        pattern = drafting.draft(family, drafting.read_measures(family, typed))
        return workings(pattern, self._rack.stock(), thread, self._picture())

    def sheet(self, number: int) -> dict[str, Any]:
        """Return the work sheet of a saved pattern; refused when it is not there.

        It is drafted anew from the saved measures; ``as_saved`` is false when that no longer draws what was saved.
        """
        with self._database.reading() as session:
            record = patterns.get(session, number)
            thing = things.get(session, record.thing_id)
        pattern = drafting.draft(record.family, record.measures_mm)
        return sheet(pattern, self._rack.stock()) | {
            "id": record.id,
            "thing": {"id": thing.id, "name": thing.name},
            "made_at": record.made_at,
            "as_saved": pattern_svg(pattern) == record.svg,
        }

    def _picture(self) -> tuple[Point, ...] | None:
        """The outline of the picture on the table of the bench in use, mm, when it is calibrated."""
        number = self._state.current().bench
        if number is None:
            return None
        with self._database.reading() as session:
            record = benches.get(session, number)
        if record.calibration is None:
            return None
        return tuple((float(x), float(y)) for x, y in optics(record).footprint(0.0))
