"""What a maker chooses about a file they brought: its size, what its lines are for, how it is stitched; as typed.

A choices document has these names:

- ``unit``: what the file's numbers are, one of ``scale.UNITS``, or null to leave it to the file
- ``known``: null, or what has a known length: ``{"line": number, "across": "along" | "width" | "height"}`` or
  ``{"points": [[x, y], [x, y]]}`` in the sheet's own mm; and ``length``: that length as typed. It goes before ``unit``
- ``looks``: choice by the look's key; ``lines``: choice by the line's number, before its look's
- ``pitch``, ``leather`` as typed, ``plies``, ``title``
- ``stepping``: which stitches of a seam are eased, one of ``STEPPINGS``; a document without it means the first
- ``made_of``: names of what was chosen from the rack, and ``costing`` as typed, until there is a thing that keeps them
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from pathlib import PurePath
from typing import Any

from server import units
from server.errors import Refusal
from server.leather.pattern import Pattern
from server.leather.rack import ChiselRow, Leather
from server.leather.stitch import Ease
from server.reading import own_pattern
from server.reading.assignment import Assignment
from server.reading.proposing import Proposal, propose
from server.reading.scale import in_unit, scale_from
from server.reading.sheet import Sheet, extent
from server.reading.wire import unpack
from server.store.records import Brought, Document

PITCH, LEATHER, PLIES = "4 mm", "2 mm", 2
"""What is taken until the maker says: a middling stitch in bag leather, two plies (common practice, no source)."""

STEPPINGS: tuple[Ease, ...] = ("whole", "last")
"""All stitches between two corners or ends alike, or only the last few, so that the irons' pitch is kept."""

SHEETS_KEPT = 8
PATTERNS_KEPT = 16
"""Sheets and patterns that are kept at hand, so that a drag does not make them again."""


def first(sheet: Sheet) -> dict[str, Any]:
    """Return the choices a sheet begins with: what is proposed for its lines, and nothing said about its size."""
    assignment = propose(sheet).assignment
    return {
        "unit": None,
        "known": None,
        "length": "",
        "looks": dict(assignment.looks),
        "lines": {str(number): choice for number, choice in assignment.lines.items()},
        "pitch": PITCH,
        "leather": LEATHER,
        "plies": PLIES,
        "stepping": STEPPINGS[0],
        "title": PurePath(sheet.name).stem[:80] or sheet.name[:80],
    }


def assigned(sheet: Sheet, choices: Document) -> Assignment:
    """Return what each line is for, line by line, so that no later change of scale can mix up two looks.

    Raises:
        Refusal: a word that is no choice, a look or a line that the sheet does not have, a look without a choice.

    """
    said = Assignment(choices["looks"], {int(number): choice for number, choice in choices["lines"].items()})
    said.of(sheet)
    return Assignment({}, {i: said.lines.get(i) or said.looks[line.look.key] for i, line in enumerate(sheet.lines)})


def scaled(sheet: Sheet, choices: Document) -> Sheet:
    """Return the sheet at the size the maker said.

    Raises:
        Refusal: a unit, a length or a line that is not understood; the field is ``unit``, ``length`` or ``known``.

    """
    known = choices["known"]
    if known is not None:
        true = _true_length(choices["length"])
        if "points" in known:
            (x1, y1), (x2, y2) = known["points"]
            return scale_from(sheet, ((x1, y1), (x2, y2)), true)
        return scale_from(sheet, known["line"], true, known["across"])
    return sheet if choices["unit"] is None else in_unit(sheet, choices["unit"])


def factor(sheet: Sheet, larger: Sheet) -> float:
    """Return how many times its own size a sheet was made."""
    return max(extent(larger.lines)) / max(extent(sheet.lines))


def make(sheet: Sheet, choices: Document) -> Pattern:
    """Return the pattern that a sheet and choices about it make.

    Raises:
        Refusal: a choice that is wanting or not understood; the field is its name, or a look's key, or ``cut``.

    """
    return own_pattern.to_pattern(
        scaled(sheet, choices),
        assigned(sheet, choices),
        units.length(choices["pitch"], field="pitch"),
        leather=units.leather(choices["leather"], field="leather"),
        plies=choices["plies"],
        title=choices["title"] or None,
        ease=choices.get("stepping", STEPPINGS[0]),
    )


def filled(brought: Brought, leather: Leather | None, irons: ChiselRow | None) -> Brought:
    """Return a drawing with the leather and the pitch that were left empty taken from what was chosen on the rack."""
    found = {
        "leather": None if leather is None else f"{leather.thickness!r} mm",
        "pitch": None if irons is None else f"{irons.pitch!r} mm",
    }
    empty = {name: words for name, words in found.items() if words is not None and not brought.choices[name].strip()}
    return replace(brought, choices={**brought.choices, **empty})


def origins(brought: Brought) -> dict[str, tuple[float, float]]:
    """Return where each piece's origin lies in the drawing, mm, by the piece's name; nothing when it has several pages."""
    sheet = unpacked(brought.sheet)
    return own_pattern.origins(scaled(sheet, brought.choices), assigned(sheet, brought.choices))


def made(brought: Brought) -> Pattern:
    """Return the pattern of a drawing that was brought, as chosen; refused as ``make``."""
    return _made(brought.sheet, json.dumps(brought.choices, sort_keys=True))


@lru_cache(maxsize=SHEETS_KEPT)
def unpacked(sheet: bytes) -> Sheet:
    """Return a sheet as it was read; refused when what is kept of it is damaged."""
    return unpack(sheet)


@lru_cache(maxsize=SHEETS_KEPT)
def proposal(sheet: bytes) -> Proposal:
    """Return what is proposed for the lines of a packed sheet."""
    return propose(unpacked(sheet))


@lru_cache(maxsize=PATTERNS_KEPT)
def _made(sheet: bytes, choices: str) -> Pattern:
    return make(unpacked(sheet), json.loads(choices))


def _true_length(text: str) -> float:
    if not text.strip():
        raise Refusal("Type the true length of what you pointed at, such as 100 mm or 4 in.", field="length")
    return units.length(text, field="length")
