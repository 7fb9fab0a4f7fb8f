"""The optics of a saved bench."""

from __future__ import annotations

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.budget import expected
from server.store.records import BenchRecord

NOMINAL_WIDTH_MM = 1200.0
"""How wide a picture is taken to be before anything was measured: a usual bench."""

THICKNESS_SIGMA = 0.2
"""mm: how surely the height of a ply is known, compressed under a gauge or not (common practice, no source)."""


def thickness_sigma(height: float) -> float:
    """Return how surely a surface at ``height`` mm is known to be there, mm; the bare table is."""
    return THICKNESS_SIGMA if height > 0 else 0.0


def expected_error(bench: Bench, places: Array, height: float) -> Array:
    """Return the 95 % radius (n,) mm at ``places`` (n, 2) mm from sightings, lens, thickness and pixel together."""
    return expected(bench, places, height, thickness_sigma(height))


def optics(record: BenchRecord) -> Bench:
    """Return the bench's optics: calibrated, or the nominal guess by which nothing can be trusted.

    Raises:
        Refusal: the saved calibration is damaged.

    """
    if record.calibration is None:
        return Bench.nominal(record.picture, NOMINAL_WIDTH_MM)
    return Bench.from_json(record.calibration)
