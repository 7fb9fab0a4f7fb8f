"""The measures a maker gives: filled in, and held to their ranges."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from calibration.refusal import Refusal
from server.leather.pattern import Measure


def complete(values: Mapping[str, float | None], measures: Sequence[Measure]) -> dict[str, float | None]:
    """Return every measure in mm: the maker's where given, else the default, else None (to be derived).

    Raises:
        Refusal: a name that is not one of the measures, a number that is not finite, or one outside its range.

    """
    names = [measure.name for measure in measures]
    for name in values:
        if name not in names:
            raise Refusal(f"There is no measure called {name!r}: the measures are {', '.join(names)}.", field=name)
    return {measure.name: _in_range(values.get(measure.name), measure) for measure in measures}


def _in_range(value: float | None, measure: Measure) -> float | None:
    if value is None:
        return measure.default
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise Refusal(f"{measure.title}: a finite number of millimetres is needed.", field=measure.name)
    if not measure.low <= value <= measure.high:
        way = f"give {measure.low:g} to {measure.high:g} mm"
        raise Refusal(f"{measure.title} of {value:.6g} mm is out of range: {way}.", field=measure.name)
    return float(value)
