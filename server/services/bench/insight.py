"""What an adjustment can tell a maker beyond the fit: mistakes, what to sight next, where the error comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from calibration.adjust import Adjustment
from calibration.arrays import Array
from calibration.bench import Bench
from calibration.blunder import Finding, find_blunder
from calibration.budget import budget, ellipses, lens_cost
from calibration.plan import TOLERANCE, is_met, next_sighting
from calibration.sightings import Sightings
from server.services.bench.optics import thickness_sigma

HEIGHTS = (2.0, 4.0, 6.0, 8.0)
"""mm: the leathers for which the doubt about the lens is put in millimetres."""
COLUMNS, ROWS = 9, 6


@dataclass(frozen=True)
class Ask:
    """What is asked about a bench.

    Attributes:
        height: of the surface the work lies on, mm.
        tolerance: mm at 95 %.

    """

    height: float = 0.0
    tolerance: float = TOLERANCE


def insight(found: Adjustment, sightings: Sightings, ask: Ask) -> dict[str, Any]:
    """Return everything that can be told of a fit, as plain values: mm, degrees, sentences."""
    places = found.bench.grid(COLUMNS, ROWS, ask.height)
    mistake = mistake_in(found, sightings)
    return {
        "mistake": None if mistake is None else asdict(mistake),
        "next": next_to_take(found, sightings, places, ask),
        **surety(found.bench, places, ask),
    }


def mistake_in(found: Adjustment, sightings: Sightings) -> Finding | None:
    """Return the most likely mistake; it is looked for only where the residuals say that there is one."""
    return find_blunder(sightings) if not found.report.trusted or found.report.worst else None


def next_to_take(found: Adjustment, sightings: Sightings, places: Array, ask: Ask) -> dict[str, Any] | None:
    """Return the sighting that is worth most at ``places`` (n, 2) mm, as plain values; None when the tolerance is met."""
    sigma = thickness_sigma(ask.height)
    proposal = next_sighting(
        found.bench, sightings, places, height=ask.height, tolerance=ask.tolerance, thickness_sigma=sigma
    )
    return None if proposal is None else asdict(proposal)


def surety(bench: Bench, places: Array, ask: Ask) -> dict[str, Any]:
    """Return how sure the light is at ``places`` (n, 2) mm, and why."""
    sigma = thickness_sigma(ask.height)
    told = budget(bench, places, ask.height, sigma)
    return {
        "tolerance_mm": ask.tolerance,
        "met": is_met(bench, places, ask.height, ask.tolerance, sigma),
        "budget": asdict(told),
        "lens_cost": _costs(bench, places, HEIGHTS),
        "ellipses": [
            {"at": at, "long_mm": long, "short_mm": short, "turn": turn}
            for at, (long, short, turn) in zip(
                places.tolist(), ellipses(bench, places, ask.height, sigma).tolist(), strict=True
            )
        ],
    }


def _costs(bench: Bench, places: Array, heights: Sequence[float]) -> list[dict[str, float]]:
    below = [height for height in heights if height < 0.5 * float(bench.position[2])]
    return [{"height": h, "mm": mm} for h, mm in zip(below, lens_cost(bench, np.asarray(places), below), strict=True)]
