"""The families of patterns that can be drafted, one module each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from calibration.refusal import Refusal
from server.leather.drafts import (
    belt_pouch,
    book_cover,
    card_holder,
    flap_pouch,
    flat_sleeve,
    gusset_pouch,
    key_fob,
    round_case,
    sheath,
    strap,
    tool_roll,
    tray,
)
from server.leather.measure import Given
from server.leather.pattern import Measure, Pattern
from server.leather.things import Preset


@dataclass(frozen=True)
class Family:
    """A kind of thing that can be drafted.

    Attributes:
        name: identifier, such as "belt-pouch".
        title: as a person reads it.
        summary: one or two sentences on what it makes.
        measures: what the maker gives, in the order to ask for it.
        draft: measures in mm, None or left out where empty -> Pattern; refuses with a sentence naming the measure.
        presets: standard things whose measures may be taken over at once.

    """

    name: str
    title: str
    summary: str
    measures: tuple[Measure, ...]
    draft: Callable[[Mapping[str, Given]], Pattern]
    presets: tuple[Preset, ...] = ()


_MODULES = (
    belt_pouch,
    flat_sleeve,
    card_holder,
    key_fob,
    sheath,
    strap,
    tool_roll,
    tray,
    gusset_pouch,
    flap_pouch,
    book_cover,
    round_case,
)
_FAMILIES = tuple(Family(m.NAME, m.TITLE, m.SUMMARY, m.MEASURES, m.draft, m.PRESETS) for m in _MODULES)


def families() -> dict[str, Family]:
    """Return every family by its name."""
    return {family.name: family for family in _FAMILIES}


def get(name: str) -> Family:
    """Return the family of that name.

    Raises:
        Refusal: there is none.

    """
    known = families()
    if name not in known:
        raise Refusal(
            f"There is no pattern family called {name!r}: there is {', '.join(known)}.", field="family", status=404
        )
    return known[name]
