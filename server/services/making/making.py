"""Drafts with the maker's rack and bench: the answer while measures are typed, and the work sheet of a saved pattern."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from server.errors import Refusal
from server.geometry.path import Point
from server.output.svg import pattern_svg
from server.services.bench.optics import optics
from server.services.making import made_of as made_of_rack
from server.services.making.rack import MakersRack, Stock
from server.services.making.rack import stock as stock_in
from server.services.making.sheet import sheet
from server.services.making.workings import one_line, workings
from server.services.pattern import drafted, own_choices
from server.services.state import State
from server.store import benches, patterns, things
from server.store.database import Database, Session
from server.store.records import Brought, ThingRecord


class Making:
    """The maker's verbs about drafts that are not saved, and about the sheet one works by."""

    def __init__(self, database: Database, rack: MakersRack, state: State) -> None:
        self._database, self._rack, self._state = database, rack, state

    def draft(
        self,
        family: str,
        typed: Mapping[str, Any],
        made_of: Mapping[str, str] | None = None,
        costing: Mapping[str, Any] | None = None,
    ) -> dict[str, Any]:
        """Return the draft of what was typed, checked, with tools and cost of the rack in use; nothing is saved.

        Args:
            family: its name.
            typed: measures as typed; those left empty are filled in from the rack, or by the family.
            made_of: names of the leather, thread and irons chosen from the rack.
            costing: copies and hardware, as typed.

        Raises:
            Refusal: words that are not understood, measures that do not go together, nothing of that name on the rack.

        """
        stock = self._rack.stock()
        made = made_of_rack.choose(made_of or {}, stock.rack)
        pattern, filled = made_of_rack.draft(family, typed, made, stock.rack)
        return workings(pattern, stock, made, costing, self._picture()) | {
            "from_rack": {name: asdict(fill) for name, fill in filled.items()}
        }

    def said(self, brought: Brought, made_of: Mapping[str, str], costing: Mapping[str, Any]) -> dict[str, Any]:
        """Return the pattern of a drawing that was brought, checked, with tools and cost of the rack in use.

        Args:
            brought: the drawing and what is chosen about it.
            made_of: names of the leather, thread and irons; what does not hang on the rack any more is said.
            costing: copies, hardware and minutes, as typed.

        Raises:
            Refusal: choices or costing that are not understood.

        """
        stock = self._rack.stock()
        made = made_of_rack.recall(made_of, stock.rack)
        pattern = own_choices.made(own_choices.filled(brought, made.leather, made.irons))
        return workings(pattern, stock, made, costing, self._picture())

    def costs(self) -> dict[str, str]:
        """Return, by the number of each thing that can be drafted, what it costs in one line."""
        with self._database.reading() as session:
            stock = stock_in(session)
            return {
                str(record.id): words for record in things.every(session) if (words := _cost(session, record, stock))
            }

    def sheet(self, number: int) -> dict[str, Any]:
        """Return the work sheet of a saved pattern; refused when it is not there.

        It is drafted anew from the saved measures; ``as_saved`` is false when that no longer draws what was saved.
        """
        with self._database.reading() as session:
            record = patterns.get(session, number)
            thing = things.get(session, record.thing_id)
        pattern = drafted.of_pattern(record)
        return sheet(pattern, self._rack.stock(), made_of_rack.of_kept(record.made_of), thing.costing) | {
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


def _cost(session: Session, record: ThingRecord, stock: Stock) -> str | None:
    """What a thing costs in one line, or None while it cannot be drafted."""
    made = made_of_rack.recall(record.made_of, stock.rack)
    try:
        return one_line(drafted.of_thing(session, record), made.stock(stock), record.costing)
    except Refusal:
        return None
