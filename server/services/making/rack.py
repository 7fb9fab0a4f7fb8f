"""The maker's rack: looked at, changed, and handed to the drafts. Until it is saved, a starter rack stands in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.leather.cost import Rates
from server.leather.rack import Rack, starter
from server.services.making.rack_lines import SHAPES
from server.services.making.rack_words import RATES, filled, read_currency, read_rack, read_rates, understood, written
from server.store import rack as stored
from server.store.database import Database, Session


@dataclass(frozen=True)
class Stock:
    """What a draft chooses from. ``own`` is whether the maker has saved it; else it is the starter rack."""

    rack: Rack
    rates: Rates
    own: bool
    currency: str = ""


def stock(session: Session) -> Stock:
    """Return the rack and the rates in use."""
    typed = stored.get(session)
    if typed is None:
        return Stock(starter(), Rates(), own=False)
    return Stock(read_rack(typed), read_rates(typed["rates"]), own=True, currency=read_currency(typed["currency"]))


class MakersRack:
    """The maker's verbs about the rack."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def stock(self) -> Stock:
        """Return the rack and the rates in use."""
        with self._database.reading() as session:
            return stock(session)

    def read(self) -> dict[str, Any]:
        """Return the rack as typed and as understood, and whether it is the maker's own yet."""
        with self._database.reading() as session:
            typed, used = stored.get(session), stock(session)
        return {
            **(written(used.rack, used.rates) if typed is None else filled(typed)),
            "own": used.own,
            "source": used.rack.source,
            "understood": understood(used.rack),
            "shapes": list(SHAPES),
            "rate_names": list(RATES),
            "starter": None if typed is None else written(starter(), Rates()),
        }

    def save(self, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Save a rack as typed.

        Raises:
            Refusal: a word is not understood; the field tells where. Nothing is saved then.

        """
        whole = filled(typed)
        read_rack(whole)
        read_rates(whole["rates"])
        read_currency(whole["currency"])
        with self._database.writing() as session:
            stored.put(session, whole)
        return self.read()
