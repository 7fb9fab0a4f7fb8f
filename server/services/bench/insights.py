"""What a bench's sightings tell beyond the fit, asked often by a page, worked out once."""

from __future__ import annotations

import json
from dataclasses import asdict
from functools import lru_cache
from typing import Any

from calibration.adjust import Adjustment
from calibration.arrays import Array
from calibration.blunder import Finding, find_blunder
from server.errors import Refusal
from server.services.bench.fitting import Fit, fit, fit_text
from server.services.bench.history import corrected_at
from server.services.bench.insight import COLUMNS, ROWS, Ask, mistake_in, next_to_take, surety
from server.services.bench.optics import optics
from server.services.light.stage import Laid
from server.services.table.layouts import outlines
from server.store import benches, layouts, patterns
from server.store.database import Database
from server.store.records import BenchRecord

MISTAKES_KEPT = 32
"""Searches for a mistake that are kept at hand: one takes up to half a second."""

ELLIPSES = 60
"""Ellipses along the outlines of a layout, at most."""

NOTHING: dict[str, Any] = {"met": False, "budget": None, "lens_cost": [], "ellipses": [], "next": None}
"""What is told of how sure the light is, while it is not calibrated."""


class Insights:
    """Reads what can be told of a bench."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def read(self, number: int, height: float | None, tolerance: float | None, layout: int | None) -> dict[str, Any]:
        """Return mistake, next sighting and how sure the light is, over the picture or where a layout's pieces lie.

        Once a session has corrected the bench, no sighting is proposed: it would not agree with those from before.

        Args:
            number: of the bench.
            height: of the surface, mm; None for the layout's, or the bare table.
            tolerance: mm at 95 %; None for the bench's own.
            layout: only where its pieces lie.

        Raises:
            Refusal: there is no such bench or layout (404), or the layout lies on another bench (409).

        """
        record, laid, corrected = self._load(number, layout)
        ask = Ask(height if height is not None else laid.height if laid else 0.0, tolerance or record.tolerance)
        found = fit(record.sightings, record.picture)
        told = {
            "mistake": _mistake(record, found),
            "height": ask.height,
            "tolerance_mm": ask.tolerance,
            "refusal": None,
        }
        if record.calibration is None:
            return told | NOTHING | {"refusal": found.refusal.sentence if found.refusal else None}
        places = None if laid is None else outlines(laid)
        sure = _sure(record, found, ask, places)
        return told | sure | ({"next": None} if corrected else {})

    def _load(self, number: int, layout: int | None) -> tuple[BenchRecord, Laid | None, bool]:
        with self._database.reading() as session:
            record = benches.get(session, number)
            corrected = corrected_at(session, record) is not None
            if layout is None:
                return record, None, corrected
            lying = layouts.get(session, layout)
            if lying.bench_id != number:
                sentence = f"{lying.name} lies on another bench: choose a layout of {record.name}."
                raise Refusal(sentence, field="layout", status=409)
            return record, Laid(lying, patterns.get(session, lying.pattern_id)), corrected


def _sure(record: BenchRecord, found: Fit, ask: Ask, places: Array | None) -> dict[str, Any]:
    """Return how sure the light is by the calibration in use, which a session may have corrected since the sightings."""
    bench = optics(record)
    at = bench.grid(COLUMNS, ROWS, ask.height) if places is None else places
    told, proposal = surety(bench, at, ask), None
    if found.adjustment is not None and found.sightings is not None:
        proposal = next_to_take(Adjustment(bench, found.adjustment.report), found.sightings, at, ask)
    step = max(1, -(-len(at) // ELLIPSES))
    return told | {"next": proposal, "ellipses": told["ellipses"][::step]}


def _mistake(record: BenchRecord, found: Fit) -> dict[str, Any] | None:
    """Return the most likely mistake, with the list and the row of the sighting that it is about.

    Its gain is null where nothing fits at all while the mistake is in.
    """
    mistake = mistake_of(json.dumps(record.sightings), record.picture)
    if mistake is None:
        return None
    where = (None, None) if mistake.index is None else found.rows[mistake.index]
    return asdict(mistake) | {"list": where[0], "row": where[1]}


@lru_cache(MISTAKES_KEPT)
def mistake_of(kept: str, picture: tuple[int, int]) -> Finding | None:
    """Return the most likely mistake in sightings given as JSON text, also where they contradict each other beyond a fit."""
    found = fit_text(kept, picture)
    if found.sightings is None:
        return None
    try:
        if found.adjustment is not None:
            return mistake_in(found.adjustment, found.sightings)
        return find_blunder(found.sightings)
    except Refusal:
        return None
