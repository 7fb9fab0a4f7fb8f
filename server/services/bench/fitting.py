"""What the adjustment makes of sightings as they are kept."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from calibration.adjust import Adjustment, adjust
from calibration.sightings import Sightings, read
from calibration.targets import propose_distance
from server.errors import Refusal
from server.services.bench import typed_sightings
from server.store.records import Document

FITS_KEPT = 32
"""Fits that are kept at hand, so that looking at a bench does not adjust it again."""


@dataclass(frozen=True)
class Fit:
    """What the adjustment says of some sightings: an adjustment, or the refusal that says what is still wanted.

    ``rows`` says where each sighting stands in what was typed; ``sightings`` is None while they cannot even be read.
    """

    adjustment: Adjustment | None
    refusal: Refusal | None
    rows: tuple[tuple[str, int], ...] = ()
    propose: tuple[str, str] | None = None
    sightings: Sightings | None = None


def fit(kept: Document, picture: tuple[int, int]) -> Fit:
    """Adjust the complete rows of what was typed; never raises for what a maker may type."""
    return fit_text(json.dumps(kept), picture)


@lru_cache(FITS_KEPT)
def fit_text(kept: str, picture: tuple[int, int]) -> Fit:
    """Return ``fit`` of sightings given as JSON text."""
    rows: tuple[tuple[str, int], ...] = ()
    propose, sightings = None, None
    try:
        complete = typed_sightings.complete(json.loads(kept), picture)
        sightings, rows = read(complete.document), complete.rows
        propose = propose_distance(sightings)
        return Fit(adjust(sightings), None, rows, propose, sightings)
    except Refusal as refusal:
        return Fit(None, refusal.with_traceback(None), rows, propose, sightings)


def report_json(found: Fit) -> dict[str, Any] | None:
    """Return the report, each of its sightings with the list and the row it was typed in; None without adjustment."""
    if found.adjustment is None:
        return None
    report = found.adjustment.report.to_json()
    rows = zip(report["sightings"], found.rows, strict=True)
    return report | {"sightings": [judged | {"list": name, "row": row} for judged, (name, row) in rows]}


def wanted(found: Fit) -> dict[str, Any]:
    """Return what is still wanted: the refusal, and the two crosses whose distance is worth measuring next."""
    refusal = found.refusal
    return {
        "refusal": None if refusal is None else {"sentence": refusal.sentence, "field": refusal.field},
        "propose": None if found.propose is None else list(found.propose),
    }
