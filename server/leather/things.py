"""Standard things that are carried in leather, as a family offers them: sizes in mm, each with its source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Thing:
    """A standard thing.

    Attributes:
        name: identifier, such as "id-1".
        title: as a person reads it.
        width: mm, across its face; of a round thing its diameter.
        height: mm; of a coin its thickness.
        reference: the standard it comes from.
        thickness: mm, or 0 where the standard gives none.

    """

    name: str
    title: str
    width: float
    height: float
    reference: str
    thickness: float = 0.0


@dataclass(frozen=True)
class Preset:
    """Measures that a maker may take over at once: (name, mm) pairs of a family's measures, with their source."""

    name: str
    title: str
    measures: tuple[tuple[str, float], ...]
    reference: str


_CARD, _PAPER, _CELL = "ISO/IEC 7810", "ISO 216", "IEC 60086-2, largest permitted"
_NOTE, _COIN = "ECB decision ECB/2003/4", "the issuing mint's specification"

ID_1 = Thing("id-1", "Bank card (ID-1)", 85.60, 53.98, _CARD, 0.76)
CARDS = (
    ID_1,
    Thing("id-2", "Card ID-2", 105.0, 74.0, _CARD, 0.76),
    Thing("id-3", "Passport page (ID-3)", 125.0, 88.0, _CARD),
)
PAPERS = (
    Thing("a4", "Paper A4", 210.0, 297.0, _PAPER),
    Thing("a5", "Paper A5", 148.0, 210.0, _PAPER),
    Thing("a6", "Paper A6", 105.0, 148.0, _PAPER),
    Thing("letter", "Paper US letter", 215.9, 279.4, "8 1/2 x 11 in, ANSI/ASME Y14.1 size A"),
)
NOTES = (
    Thing("euro-5", "5 euro note", 120.0, 62.0, _NOTE),
    Thing("euro-10", "10 euro note", 127.0, 67.0, _NOTE),
    Thing("euro-20", "20 euro note", 133.0, 72.0, _NOTE),
    Thing("euro-50", "50 euro note", 140.0, 77.0, _NOTE),
    Thing("us-note", "US note", 155.956, 66.294, "6.14 x 2.61 in, US Bureau of Engraving and Printing"),
)
CELLS = (
    Thing("aaa", "Cell AAA (R03)", 10.5, 44.5, _CELL),
    Thing("aa", "Cell AA (R6)", 14.5, 50.5, _CELL),
    Thing("c", "Cell C (R14)", 26.2, 50.0, _CELL),
    Thing("d", "Cell D (R20)", 34.2, 61.5, _CELL),
)
COINS = (
    Thing("us-cent", "US cent", 19.05, 1.52, _COIN),
    Thing("us-quarter", "US quarter", 24.26, 1.75, _COIN),
    Thing("euro-1", "1 euro coin", 23.25, 2.33, _COIN),
    Thing("euro-2", "2 euro coin", 25.75, 2.20, _COIN),
)


def presets(things: tuple[Thing, ...], width: str, height: str, thickness: str | None = None) -> tuple[Preset, ...]:
    """Return a preset for each thing, under the names a family has for width, height and (where the standard gives one) thickness."""
    return tuple(
        Preset(
            thing.name,
            thing.title,
            ((width, thing.width), (height, thing.height))
            + (((thickness, thing.thickness),) if thickness and thing.thickness else ()),
            thing.reference,
        )
        for thing in things
    )
