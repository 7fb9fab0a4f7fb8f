"""What a draft says beside its drawing: findings, seams, tools, thread, blows and cost, for one rack."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from server.geometry.path import Point
from server.leather.checks import Limits, check
from server.leather.choose import chisel_for, needle_for, review, sentences, thread_for
from server.leather.cost import Account, account, waste_share
from server.leather.pattern import Pattern, Seam
from server.leather.rack import Rack, Thread
from server.services import drafting, sewing
from server.services.rack import Stock


def workings(
    pattern: Pattern, stock: Stock, thread: str | None = None, picture: tuple[Point, ...] | None = None
) -> dict[str, Any]:
    """Return a pattern as the pages show it, with everything the rack and the checks say about it.

    Args:
        pattern: drafted.
        stock: the rack and the rates.
        thread: name of the thread the maker wants; None for the thickest that suits.
        picture: (m, 2) mm, outline of the picture of the bench in use, when it is calibrated.

    Raises:
        Refusal: there is no such thread on the rack.

    """
    wanted = None if thread is None else stock.rack.thread(thread)
    own = sewing.with_own_irons(pattern, stock.rack)
    sewn = sewing.routes(own)
    length = sewing.thread_mm(sewn, stock.rack.arm_span)
    chosen = review(own, stock.rack, wanted)
    return drafting.document(pattern) | {
        "findings": [asdict(found) for found in check(own, Limits(picture=picture))],
        "seams": [seam_json(seam, own) for seam in own.seams],
        "tools": [asdict(one) for one in chosen],
        "lacking": [sentence.words for sentence in sentences(chosen)],
        "thread": thread_json(own, stock.rack, sewn, wanted) | {"thread_mm": length},
        "strikes": strikes_json(own, stock.rack),
        "cost": cost_json(account(own, stock.rates, thread_mm=length)),
        "rack_is_own": stock.own,
    }


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


def thread_json(pattern: Pattern, rack: Rack, sewn: tuple[sewing.Sewn, ...], wanted: Thread | None) -> dict[str, Any]:
    """Return the thread: which, with which needle, and its ways in pieces no longer than an arm-span."""
    seams = [seam for seam in pattern.seams if not seam.mate]
    row = chisel_for(rack, seams[0].pitch_mm)[0] if seams else None
    thread = wanted or (thread_for(rack, row) if row else None)
    stack = max((seam.plies for seam in seams), default=0) * pattern.measures["leather"]
    needle = needle_for(rack, thread, stack)[0] if thread and seams else None
    return {
        "name": thread.name if thread and seams else None,
        "diameter_mm": thread.diameter if thread and seams else None,
        "needle": needle.name if needle else None,
        "stack_mm": stack,
        "arm_span_mm": rack.arm_span,
        "seam_by_seam_mm": sum(seam.thread_mm for seam in seams),
        "routes": [sewing.route_json(one, rack.arm_span) for one in sewn],
    }


def strikes_json(pattern: Pattern, rack: Rack) -> dict[str, Any]:
    """Return how many blows there are in all, and with which irons."""
    irons: dict[int, int] = {}
    for tines, blows in (pair for seam in pattern.seams for pair in seam.irons):
        irons[tines] = irons.get(tines, 0) + blows
    rows = {row.pitch for seam in pattern.seams if (row := chisel_for(rack, seam.pitch_mm)[0])}
    return {
        "blows": sum(irons.values()),
        "irons": [[tines, irons[tines]] for tines in sorted(irons, reverse=True)],
        "pitches_mm": sorted(rows),
    }


def cost_json(cost: Account) -> dict[str, Any]:
    """Return the account: the one line, the areas, materials, time by step and price."""
    return {
        "words": cost.words,
        "net_dm2": cost.net_dm2,
        "net_sqft": cost.net_sqft,
        "bought_dm2": cost.bought_dm2,
        "bought_sqft": cost.bought_sqft,
        "waste_share": waste_share(cost.bought_dm2 / cost.net_dm2 - 1.0),
        "lines": [asdict(line) | {"amount": line.amount} for line in cost.lines],
        "work": [asdict(work) for work in cost.work],
        "minutes": cost.minutes,
        "hour": cost.hour,
        "profit": cost.profit,
        "materials": cost.materials,
        "cost": cost.cost,
        "price": cost.price,
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
