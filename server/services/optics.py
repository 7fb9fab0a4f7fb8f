"""The optics of a saved bench."""

from __future__ import annotations

from calibration.bench import Bench
from server.store.records import BenchRecord

NOMINAL_WIDTH_MM = 1200.0
"""How wide a picture is taken to be before anything was measured: a usual bench."""


def optics(record: BenchRecord) -> Bench:
    """Return the bench's optics: calibrated, or the nominal guess by which nothing can be trusted.

    Raises:
        Refusal: the saved calibration is damaged.

    """
    if record.calibration is None:
        return Bench.nominal(record.picture, NOMINAL_WIDTH_MM)
    return Bench.from_json(record.calibration)
