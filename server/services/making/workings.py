"""What a draft says beside its drawing: findings, seams, tools, thread, blows and cost, for one rack."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from server.geometry.path import Point
from server.leather.checks import Limits, check
from server.leather.choose import irons_for, review, sentences
from server.leather.pattern import Pattern, Seam
from server.leather.rack import Rack
from server.services.making import sewing
from server.services.making.costing import accounted, cost_json, costing_json, read
from server.services.making.made_of import MadeOf
from server.services.making.rack import Stock
from server.services.making.sewing import Work
from server.services.pattern import drafting


def workings(
    pattern: Pattern,
    stock: Stock,
    made: MadeOf = MadeOf(),  # noqa: B008  (frozen)
    typed: Mapping[str, Any] | None = None,
    picture: tuple[Point, ...] | None = None,
) -> dict[str, Any]:
    """Return a pattern as the pages show it, with everything the rack and the checks say about it.

    Args:
        pattern: drafted.
        stock: the rack and the rates.
        made: what was chosen from the rack for it.
        typed: copies and hardware as typed; None for one copy with the hardware that the pattern asks for.
        picture: (m, 2) mm, outline of the picture of the bench in use, when it is calibrated.

    Raises:
        Refusal: copies or hardware that are not understood.

    """
    mine = made.stock(stock)
    return told(sewing.work(pattern, mine.rack), mine, made, typed or {}, picture)


def told(
    work: Work, stock: Stock, made: MadeOf, typed: Mapping[str, Any], picture: tuple[Point, ...] | None = None
) -> dict[str, Any]:
    """Return the same for a pattern that is already worked out with that rack."""
    own, rack = work.pattern, stock.rack
    chosen = review(own, rack, work.thread)
    costing = read(typed, own, rack)
    return drafting.document(own) | {
        "findings": [asdict(found) for found in check(own, Limits(picture=picture))],
        "seams": [seam_json(seam, own) for seam in own.seams],
        "tools": [asdict(one) for one in chosen],
        "lacking": [*made.lost, *(sentence.words for sentence in sentences(chosen))],
        "thread": thread_json(work, rack),
        "strikes": strikes_json(own, rack),
        "cost": cost_json(accounted(work, stock, costing)),
        "costing": costing_json(costing, own, rack),
        "made_of": made.names,
        "rack_is_own": stock.own,
    }


def one_line(pattern: Pattern, stock: Stock, typed: Mapping[str, Any]) -> str:
    """Return what a pattern costs in one line; without any price set it does not speak of money."""
    work = sewing.work(pattern, stock.rack)
    cost = accounted(work, stock, read(typed, pattern, stock.rack))
    return cost.words if cost.price > 0.0 else cost.amounts


def seam_json(seam: Seam, pattern: Pattern) -> dict[str, Any]:
    """Return a seam with its count, its pitch, and how far that is from what was wished for or from its mate."""
    wished = pattern.measures.get("pitch")
    off = None if wished is None else seam.pitch_mm - wished
    mate = pattern.seam(seam.mate) if seam.mate else None
    return asdict(seam) | {
        "wished_mm": wished,
        "difference_mm": off,
        "mate_title": None if mate is None else mate.title,
        "longer_than_mate_mm": None if mate is None else seam.length_mm - mate.length_mm,
        "words": _seam_words(seam, mate, off),
    }


def thread_json(work: Work, rack: Rack) -> dict[str, Any]:
    """Return the thread: which, with which needle, and its ways in pieces no longer than an arm-span."""
    thread, needle = work.thread, work.needle
    titles = {seam.name: seam.title for seam in work.pattern.seams}
    return {
        "name": None if thread is None else thread.name,
        "diameter_mm": None if thread is None else thread.diameter,
        "needle": None if needle is None else needle.name,
        "stack_mm": work.stack_mm,
        "arm_span_mm": rack.arm_span,
        "thread_mm": work.thread_mm,
        "routes": [sewing.route_json(one, rack.arm_span, titles) for one in work.sewn],
    }


def strikes_json(pattern: Pattern, rack: Rack) -> dict[str, Any]:
    """Return how many blows there are in all, and with which irons."""
    irons = sewing.blows(pattern)
    rows = {row.pitch for seam in pattern.seams if (row := irons_for(rack, seam)[0])}
    return {
        "blows": sum(irons.values()),
        "irons": [[tines, count] for tines, count in irons.items()],
        "pitches_mm": sorted(rows),
    }


def _seam_words(seam: Seam, mate: Seam | None, off: float | None) -> str:
    """How far the seam is from its mate, or its pitch from the one wished for."""
    if mate is not None:
        longer = seam.length_mm - mate.length_mm
        if abs(longer) < 0.05:
            return f"As long as {mate.title.lower()}, hole to hole."
        way = "longer" if longer > 0.0 else "shorter"
        return f"{abs(longer):.1f} mm ({100.0 * abs(longer) / mate.length_mm:.1f} %) {way} than {mate.title.lower()}."
    if off is None or abs(off) < 5e-4:
        return "At the pitch wished for."
    return f"{abs(off):.3f} mm {'over' if off > 0.0 else 'under'} the pitch wished for, so that a whole number fits."
