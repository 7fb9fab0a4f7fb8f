"""Drafting: what a maker typed, turned into a pattern; and the pattern as the pages show it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from functools import lru_cache
from typing import Any

from server import units
from server.errors import Refusal
from server.leather import drafts
from server.leather.drafts import Family
from server.leather.measure import read_plain
from server.leather.pattern import Measure, Pattern, Step
from server.leather.piece import Piece
from server.output.svg import piece_svg

PATTERNS_KEPT = 64
"""Drafted patterns that are kept at hand, so that a drag does not draft again."""


def families() -> list[dict[str, Any]]:
    """Return every family that can be drafted: name, title, summary."""
    return [_headline(family) for family in drafts.families().values()]


def family(name: str) -> dict[str, Any]:
    """Return a family with its measures and the sizes it offers; refused (404) when there is none of that name."""
    found = drafts.get(name)
    return _headline(found) | {
        "measures": [asdict(measure) for measure in found.measures],
        "presets": [asdict(preset) | {"measures": dict(preset.measures)} for preset in found.presets],
    }


def read_measures(name: str, typed: Mapping[str, Any]) -> dict[str, float | None]:
    """Return the measures in mm (or in their own unit); one that is left empty is None.

    Raises:
        Refusal: no such family or measure, or words that are not understood; the field is the measure.

    """
    known = {measure.name: measure for measure in drafts.get(name).measures}
    unknown = next((key for key in typed if key not in known), None)
    if unknown is not None:
        sentence = f"{name} has no measure {unknown[:40]!r}: it has {', '.join(known)}."
        raise Refusal(sentence, field=unknown[:60])
    return {key: _read(known[key], text) for key, text in typed.items()}


def _read(measure: Measure, text: Any) -> float | None:
    if text is None or (isinstance(text, str) and not text.strip()):
        return None
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise Refusal(f"{measure.title} must be given in words, such as 3 1/2 in.", field=measure.name)
    if measure.unit == "leather":
        return units.leather(text, field=measure.name)
    if measure.unit == "length":
        return units.length(text, field=measure.name)
    return read_plain(measure, str(text))


def draft(name: str, measures: Mapping[str, float | None]) -> Pattern:
    """Return the pattern of a family for measures in mm.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together.

    """
    return _drafted(name, tuple(sorted((key, value) for key, value in measures.items() if value is not None)))


@lru_cache(maxsize=PATTERNS_KEPT)
def _drafted(name: str, measures: tuple[tuple[str, float], ...]) -> Pattern:
    return drafts.get(name).draft(dict(measures))


def document(pattern: Pattern) -> dict[str, Any]:
    """Return a pattern as the pages show it; lengths in mm, drawings in the piece's own mm."""
    return {
        "family": pattern.family,
        "title": pattern.title,
        "pieces": pieces(pattern),
        "sentences": [asdict(sentence) for sentence in pattern.sentences],
        "dimensions": [asdict(dimension) for dimension in pattern.dimensions],
        "seams": [asdict(seam) for seam in pattern.seams],
        "measures_mm": dict(pattern.measures),
        "steps": [step_json(step) for step in pattern.steps],
        "counts": {
            "holes": sum(seam.holes for seam in pattern.seams),
            "stitches": sum(seam.stitches for seam in pattern.seams),
            "strikes": sum(seam.strikes for seam in pattern.seams),
        },
    }


def pieces(pattern: Pattern) -> list[dict[str, Any]]:
    """Return each piece with its drawing and the box round it (left, top, right, bottom), mm."""
    return [_piece(piece) for piece in pattern.pieces]


def step_json(step: Step) -> dict[str, Any]:
    """Return a step of the work as plain values."""
    return asdict(step)


def _piece(piece: Piece) -> dict[str, Any]:
    return {"name": piece.name, "title": piece.title, "svg": piece_svg(piece), "box": list(piece.box())}


def _headline(found: Family) -> dict[str, Any]:
    return {"name": found.name, "title": found.title, "summary": found.summary}
