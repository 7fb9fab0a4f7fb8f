"""The work sheet: a saved pattern step by step, with what the light shows, for printing."""

from __future__ import annotations

from typing import Any

from server import units
from server.leather import drafts
from server.leather.measure import read_plain
from server.leather.pattern import Measure, Pattern, Seam, Step
from server.leather.piece import Piece
from server.leather.rack import Rack
from server.output.svg import piece_svg
from server.services import drafting, sewing
from server.services.rack import Stock
from server.services.workings import workings


def sheet(pattern: Pattern, stock: Stock) -> dict[str, Any]:
    """Return everything a work sheet shows: measures, pieces, steps with drawings, tools, blows, thread and cost."""
    said = workings(pattern, stock)
    keep = ("title", "pieces", "findings", "tools", "lacking", "thread", "strikes", "cost", "rack_is_own")
    return {key: said[key] for key in keep} | {
        "measures": [_measure(measure, pattern) for measure in drafts.get(pattern.family).measures],
        "steps": [_step(pattern, step, stock.rack) for step in pattern.steps],
    }


def lit(piece: Piece, step: Step) -> Piece:
    """Return the piece with only what the light shows for a step."""
    return Piece(
        piece.name,
        piece.title,
        tuple(drawn for drawn in piece.drawn if step.shows(drawn)),
        tuple(hole for hole in piece.holes if step.shows(hole)),
        tuple(label for label in piece.labels if step.shows(label)),
    )


def _step(pattern: Pattern, step: Step, rack: Rack) -> dict[str, Any]:
    piece = pattern.piece(step.piece)
    return drafting.step_json(step) | {
        "height_mm": step.plies_under * pattern.measures["leather"],
        "piece_title": piece.title,
        "outline": piece_svg(Piece(piece.name, piece.title, piece.drawn[:1])),
        "svg": piece_svg(lit(piece, step)),
        "box": list(piece.box()),
        "strikes": [_blows(pattern, seam, rack) for seam in _pricked(pattern, step)],
        "sews": [seam.name for seam in _holed(pattern, step) if "stitch" in step.roles and not seam.mate],
    }


def _holed(pattern: Pattern, step: Step) -> list[Seam]:
    """The seams whose holes the light shows for a step."""
    named = [seam for seam in pattern.seams if not step.lines or seam.name in step.lines]
    return named if "hole" in step.roles else []


def _pricked(pattern: Pattern, step: Step) -> list[Seam]:
    """The seams that a step pricks: those of a pricking step, and those of a sewing step that no step before has pricked."""
    here = [seam for seam in _holed(pattern, step) if seam.piece == step.piece]
    if "stitch" not in step.roles:
        return here
    pricking = [one for one in pattern.steps if "stitch" not in one.roles and one.piece == step.piece]
    before = {seam.name for one in pricking for seam in _holed(pattern, one)}
    return [seam for seam in here if seam.name not in before]


def _blows(pattern: Pattern, seam: Seam, rack: Rack) -> dict[str, Any]:
    return {
        "seam": seam.name,
        "title": seam.title,
        "holes": seam.holes,
        "words": [blow.words for blow in sewing.strikes(pattern, seam, rack)],
    }


def _measure(measure: Measure, pattern: Pattern) -> dict[str, Any]:
    return {"name": measure.name, "title": measure.title, "words": written(measure, pattern.measures[measure.name])}


def written(measure: Measure, value: float) -> str:
    """Return a measure's value as a maker reads it: a length with its unit, a choice by its title."""
    if measure.unit == "choice":
        return measure.choices[round(read_plain(measure, f"{value:g}"))][1]
    if measure.unit in ("length", "leather"):
        return units.write_length(value)
    return f"{value:g} %" if measure.unit == "percent" else f"{value:g}"
