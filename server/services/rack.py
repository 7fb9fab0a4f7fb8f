"""The maker's rack: looked at, changed, and handed to the drafts. Until it is saved, a starter rack stands in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.leather.cost import Rates
from server.leather.rack import Rack, starter
from server.services.rack_words import RATES, SHAPES, read_rack, read_rates, understood, written
from server.store import rack as stored
from server.store.database import Database


@dataclass(frozen=True)
class Stock:
    """What a draft chooses from. ``own`` is whether the maker has saved it; else it is the starter rack."""

    rack: Rack
    rates: Rates
    own: bool


class MakersRack:
    """The maker's verbs about the rack."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def stock(self) -> Stock:
        """Return the rack and the rates in use."""
        typed = self._typed()
        if typed is None:
            return Stock(starter(), Rates(), own=False)
        return Stock(read_rack(typed), read_rates(typed["rates"]), own=True)

    def read(self) -> dict[str, Any]:
        """Return the rack as typed and as understood, and whether it is the maker's own yet."""
        typed, stock = self._typed(), self.stock()
        return {
            **(typed or written(stock.rack, stock.rates)),
            "own": stock.own,
            "source": stock.rack.source,
            "understood": understood(stock.rack),
            "shapes": list(SHAPES),
            "rate_names": list(RATES),
            "starter": None if typed is None else written(starter(), Rates()),
        }

    def save(self, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Save a rack as typed.

        Raises:
            Refusal: a word is not understood; the field tells where. Nothing is saved then.

        """
        read_rack(typed)
        read_rates(typed["rates"])
        with self._database.writing() as session:
            stored.put(session, typed)
        return self.read()

    def _typed(self) -> dict[str, Any] | None:
        with self._database.reading() as session:
            found = stored.get(session)
        return None if found is None else dict(found)
