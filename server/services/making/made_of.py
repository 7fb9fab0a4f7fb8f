"""What a thing is made of: the leather, the thread and the irons chosen from the rack, and what they fill in.

A thing keeps names; a saved pattern keeps the leather, thread and irons themselves, so that a later change of the rack does
not change it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from server import units
from server.errors import Refusal
from server.leather import drafts
from server.leather.cost import Rates
from server.leather.pattern import Pattern
from server.leather.rack import ChiselRow, Leather, Rack, Thread
from server.services.making.rack import Stock
from server.services.making.rack import stock as stock_in
from server.services.making.rack_lines import read_line
from server.services.making.rack_words import chisel_words, leather_words, thread_words
from server.services.pattern import drafting
from server.store.database import Session
from server.store.records import PatternRecord

PARTS = ("leather", "thread", "irons")
"""What can be chosen; irons are named by their pitch."""

Found = TypeVar("Found")


@dataclass(frozen=True)
class MadeOf:
    """What was chosen; None where nothing was. ``lost`` says what was chosen and does not hang on the rack any more."""

    leather: Leather | None = None
    thread: Thread | None = None
    irons: ChiselRow | None = None
    lost: tuple[str, ...] = ()

    @property
    def names(self) -> dict[str, str | None]:
        """By part, the name of what was chosen."""
        irons = None if self.irons is None else chisel_words(self.irons)["pitch"]
        return {
            "leather": None if self.leather is None else self.leather.name,
            "thread": None if self.thread is None else self.thread.name,
            "irons": irons,
        }

    def on(self, rack: Rack) -> Rack:
        """Return the rack as it serves this work: with what was chosen in use, even if it does not hang there any more."""
        changes: dict[str, Any] = {}
        if self.thread is not None:
            others = tuple(one for one in rack.threads if one.name != self.thread.name)
            changes |= {"threads": (*others, self.thread), "thread_in_use": self.thread.name}
        if self.irons is not None:
            pitch = self.irons.pitch
            rows = tuple(row for row in rack.chisels if abs(row.pitch - pitch) >= 0.01)
            changes |= {"chisels": (*rows, self.irons), "irons_in_use": pitch}
        return replace(rack, **changes)

    def at(self, rates: Rates) -> Rates:
        """Return the rates with the prices of the leather and the thread that were chosen, where they have their own."""
        leather = None if self.leather is None else self.leather.price
        thread = None if self.thread is None else self.thread.price
        return replace(
            rates,
            leather=rates.leather if leather is None else leather,
            thread=rates.thread if thread is None else thread,
        )

    def stock(self, stock: Stock) -> Stock:
        """Return rack and rates as they serve this work."""
        return replace(stock, rack=self.on(stock.rack), rates=self.at(stock.rates))


@dataclass(frozen=True)
class Fill:
    """What the rack has for a measure: its value (mm or its unit), where that comes from, whether the draft uses it.

    It is not used where the maker typed something else.
    """

    value: float
    words: str
    used: bool = True


def choose(names: Mapping[str, str], rack: Rack) -> MadeOf:
    """Return what was chosen by name.

    Raises:
        Refusal: it does not hang on the rack; the field is such as ``made_of.leather``.

    """
    found = recall(names, rack)
    if found.lost:
        part = next(part for part in PARTS if names.get(part) and getattr(found, part) is None)
        raise Refusal(found.lost[0], field=f"made_of.{part}")
    return found


def recall(names: Mapping[str, str], rack: Rack) -> MadeOf:
    """Return what was chosen by name at some time; what does not hang on the rack any more is said, not refused."""
    lost: list[str] = []
    return MadeOf(
        leather=_found(names, "leather", rack.leather, lost),
        thread=_found(names, "thread", rack.thread, lost),
        irons=_found(names, "irons", lambda text: rack.irons(units.length(text, field="irons")), lost),
        lost=tuple(lost),
    )


def _found(names: Mapping[str, str], part: str, look: Callable[[str], Found], lost: list[str]) -> Found | None:
    name = names.get(part, "").strip()
    if not name:
        return None
    try:
        return look(name)
    except Refusal as refused:
        lost.append(f"{refused.sentence} Choose again.")
        return None


def kept(made: MadeOf) -> dict[str, Any]:
    """Return what a saved pattern keeps: the leather, thread and irons as they are typed on the rack."""
    return {
        part: words
        for part, words in (
            ("leather", None if made.leather is None else leather_words(made.leather)),
            ("thread", None if made.thread is None else thread_words(made.thread)),
            ("irons", None if made.irons is None else chisel_words(made.irons)),
        )
        if words is not None
    }


def of_kept(document: Mapping[str, Any]) -> MadeOf:
    """Return what a saved pattern was made of."""
    shelves = {"leather": "leathers", "thread": "threads", "irons": "chisels"}
    return MadeOf(**{part: read_line(shelves[part], 0, line) for part, line in document.items() if part in shelves})


def rack_of(session: Session, record: PatternRecord) -> Rack:
    """Return the rack in use as it serves a saved pattern: with the thread and the irons that it was made of."""
    return of_kept(record.made_of).on(stock_in(session).rack)


def fills(made: MadeOf, rack: Rack) -> dict[str, Fill]:
    """Return, by measure, what was chosen fills in: thickness, K and stretch of the leather, pitch of the irons.

    What was not measured on the leather is not filled in.
    """
    found: dict[str, Fill] = {}
    source = f"from {rack.called}"
    if made.leather is not None:
        found |= _of_leather(made.leather, f"{source}: {made.leather.name}")
    if made.irons is not None:
        found["pitch"] = Fill(made.irons.pitch, f"{source}: irons of {made.irons.pitch:g} mm")
    return found


def _of_leather(leather: Leather, source: str) -> dict[str, Fill]:
    low, high = units.write_length(leather.low), units.write_length(leather.high)
    middle = "" if leather.low == leather.high else f", the middle of {low} to {high}"
    found = {"leather": Fill(leather.thickness, f"{source}{middle}")}
    if leather.neutral is not None:
        found["neutral"] = Fill(leather.neutral, f"{source}, K measured on a strip")
    if leather.stretch is not None:
        found["stretch"] = Fill(100.0 * leather.stretch, f"{source}, stretch measured on a strip")
    return found


def draft(family: str, typed: Mapping[str, Any], made: MadeOf, rack: Rack) -> tuple[Pattern, dict[str, Fill]]:
    """Return the pattern of what was typed, the rest filled in from the rack; and what the rack has, by measure.

    What the maker typed always stays.

    Raises:
        Refusal: words that are not understood, or measures that do not go together.

    """
    measures = drafting.read_measures(family, typed)
    known = {measure.name for measure in drafts.get(family).measures}
    found = {
        name: replace(fill, used=measures.get(name) is None)
        for name, fill in fills(made, rack).items()
        if name in known
    }
    values = measures | {name: fill.value for name, fill in found.items() if fill.used}
    return drafting.draft(family, values), found
