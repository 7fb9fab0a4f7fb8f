"""The pattern behind a record, whatever it came from: drafted from measures, or made of a file the maker brought.

Whoever has a saved pattern or a thing and needs its pieces asks here.
"""

from __future__ import annotations

from server.errors import Refusal
from server.leather import drafts
from server.leather.drafts import parts
from server.leather.pattern import Measure, Pattern
from server.reading.own_pattern import FAMILY as OWN
from server.services.making import made_of as made_of_rack
from server.services.making.rack import stock
from server.services.pattern import drafting, own_choices
from server.store import drawings
from server.store.database import Session
from server.store.records import Brought, PatternRecord, ThingRecord

__all__ = ["OWN", "check_kind", "made_of", "measures", "of_pattern", "of_thing"]

OWN_MEASURES = (parts.leather(OWN, 2.0, (0.1, 20.0)), parts.pitch(OWN, 4.0))
"""What a pattern of the maker's own has in the way of measures."""


def of_pattern(record: PatternRecord) -> Pattern:
    """Return a saved pattern as it was when it was saved.

    Raises:
        Refusal: the draft, or the reading room, no longer makes anything of it.

    """
    return drafting.draft(record.family, record.measures_mm) if record.own is None else own_choices.made(record.own)


def of_thing(session: Session, record: ThingRecord) -> Pattern:
    """Return a thing's pattern by its present measures, or choices.

    Raises:
        Refusal: measures or choices that are not understood or do not go together.

    """
    brought = made_of(session, record)
    if brought is not None:
        return own_choices.made(brought)
    rack = stock(session).rack
    return made_of_rack.draft(record.family, record.measures, made_of_rack.recall(record.made_of, rack), rack)[0]


def made_of(session: Session, record: ThingRecord) -> Brought | None:
    """Return the drawing a thing was made of with its present choices, or None for one that is drafted."""
    if record.family != OWN:
        return None
    made = made_of_rack.recall(record.made_of, stock(session).rack)
    return own_choices.filled(drawings.of_thing(session, record.id).brought, made.leather, made.irons)


def check_kind(before: str | None, family: str) -> None:
    """Refuse that a thing made of a file becomes a drafted one, or the other way round."""
    if before != family and OWN in (before, family):
        sentence = "A pattern of your own is made of a file you bring, any other of measures: start a new one."
        raise Refusal(sentence, field="family")


def measures(family: str) -> tuple[Measure, ...]:
    """Return the measures of a family, the maker's own included; refused (404) when there is none of that name."""
    return OWN_MEASURES if family == OWN else tuple(drafts.get(family).measures)
