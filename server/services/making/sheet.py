"""The work sheet: a saved pattern step by step, with what the light shows, for printing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from server import units
from server.geometry.region import area
from server.leather import order
from server.leather.measure import read_plain
from server.leather.pattern import Measure, Pattern, Seam, Step
from server.leather.piece import Piece
from server.leather.rack import Rack
from server.output.svg import piece_svg
from server.services.making import sewing, strikes
from server.services.making.made_of import MadeOf
from server.services.making.rack import Stock
from server.services.making.waits import waits
from server.services.making.workings import told
from server.services.pattern import drafting
from server.services.pattern.drafted import measures

KEEP = (
    "title", "pieces", "seams", "findings", "tools", "lacking", "thread", "strikes", "cost", "costing", "made_of", "rack_is_own",
)  # fmt: skip
"""What the sheet shows as the draft page does."""


def sheet(pattern: Pattern, stock: Stock, made: MadeOf, typed: Mapping[str, Any]) -> dict[str, Any]:
    """Return everything a work sheet shows: measures, what to cut, steps with drawings, tools, blows, thread and cost.

    Args:
        pattern: as it was saved.
        stock: the rack and the rates.
        made: the leather, thread and irons it is made of.
        typed: copies and hardware of its thing, as typed.

    """
    mine = made.stock(stock)
    work = sewing.work(pattern, mine.rack)
    said = told(work, mine, made, typed)
    return {key: said[key] for key in KEEP} | {
        "measures": [_measure(measure, pattern) for measure in measures(pattern.family)],
        "leather": _leather_words(pattern, made),
        "cuts": [_cut(piece, pattern) for piece in pattern.pieces],
        "steps": [_step(work.pattern, step, mine.rack) for step in work.pattern.steps],
    }


def _leather_words(pattern: Pattern, made: MadeOf) -> str:
    """The leather in words: which, when one was chosen, and how thick a ply the pattern is drafted for."""
    ply = units.write_length(pattern.measures["leather"])
    if made.leather is None:
        return f"{ply} a ply"
    colour = f", {made.leather.colour}" if made.leather.colour else ""
    return f"{made.leather.name}{colour}, drafted for {ply} a ply"


def lit(piece: Piece, step: Step) -> Piece:
    """Return the piece with only what the light shows for a step."""
    return Piece(
        piece.name,
        piece.title,
        tuple(drawn for drawn in piece.drawn if step.shows(drawn)),
        tuple(hole for hole in piece.holes if step.shows(hole)),
        tuple(label for label in piece.labels if step.shows(label)),
    )


def _cut(piece: Piece, pattern: Pattern) -> dict[str, Any]:
    """One piece of the cut list: how large its outline is, and how thick its leather."""
    points = piece.outline.flatten(0.01)
    width, height = (points.max(axis=0) - points.min(axis=0)).tolist()
    cutting = next((step for step in pattern.steps if step.piece == piece.name and step.plies_under == 1), None)
    ply = pattern.measures["leather"]
    return {
        "piece": piece.name,
        "title": piece.title,
        "count": order.times_cut(piece),
        "width_mm": width,
        "height_mm": height,
        "area_dm2": area(points) / 10_000.0,
        "leather_mm": ply if cutting is None else cutting.height(ply),
    }


def _step(pattern: Pattern, step: Step, rack: Rack) -> dict[str, Any]:
    piece = pattern.piece(step.piece)
    return drafting.step_json(step) | {
        "height_mm": step.height(pattern.measures["leather"]),
        "piece_title": piece.title,
        "outline": piece_svg(Piece(piece.name, piece.title, piece.drawn[:1])),
        "svg": piece_svg(lit(piece, step)),
        "box": list(piece.box()),
        "waits": waits(step, rack),
        "strikes": [_blows(pattern, seam, rack) for seam in order.pricked(pattern, step)],
        "sews": [seam.name for seam in order.sewn(pattern, step)],
    }


def _blows(pattern: Pattern, seam: Seam, rack: Rack) -> dict[str, Any]:
    """A seam's blows in order, each with the places of its tines; ``hint`` where the irons are not of the seam's own pitch."""
    blows = strikes.of_seam(pattern, seam, rack)
    return {
        "seam": seam.name,
        "title": seam.title,
        "holes": seam.holes,
        "words": [blow.words for blow in blows],
        "told": [asdict(one) for one in strikes.told(blows)],
        "blows": [asdict(blow) for blow in blows],
        "hint": strikes.by_the_light(seam, rack),
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
