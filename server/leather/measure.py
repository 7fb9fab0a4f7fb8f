"""The measures a maker gives: filled in, and held to their ranges."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from calibration.refusal import Refusal
from server.leather.pattern import Measure

Given = float | str | None
"""What a maker may give for a measure: mm (or its unit), the name of a choice, or nothing."""
_WORDS = {"length": " mm", "leather": " mm", "percent": " %"}
_WANTED = {"length": "a finite number of millimetres", "leather": "a finite number of millimetres"}


def complete(values: Mapping[str, Given], measures: Sequence[Measure]) -> dict[str, float | None]:
    """Return every measure in mm or its unit: the maker's where given, else the default, else None (to be derived).

    A choice may be given by name or by its place; it is returned as its place.

    Raises:
        Refusal: a name that is not one of the measures, a number that is not finite, or one outside its range.

    """
    names = [measure.name for measure in measures]
    for name in values:
        if name not in names:
            raise Refusal(f"There is no measure called {name!r}: the measures are {', '.join(names)}.", field=name)
    return {measure.name: _in_range(values.get(measure.name), measure) for measure in measures}


def chosen(measures: Sequence[Measure], values: Mapping[str, float], name: str) -> str:
    """Return the name of the choice that stands for measure `name` in completed values."""
    measure = next(one for one in measures if one.name == name)
    return measure.choices[int(values[name])][0]


def read_plain(measure: Measure, text: str) -> float:
    """Return what a maker typed for a measure that is not a length: a count, a ratio, a percentage or a choice.

    A choice is understood by name, by title or by its place.

    Raises:
        Refusal: words that are not understood; the range is held by `complete`.

    """
    typed = text.strip()
    if measure.choices:
        return _place(typed, measure)
    try:
        return float(typed.removesuffix("%").strip() if measure.unit == "percent" else typed)
    except ValueError:
        raise Refusal(
            f"{measure.title} is {typed[:40]!r}: give a number, {_range(measure)}.", field=measure.name
        ) from None


def _in_range(value: Given, measure: Measure) -> float | None:
    if value is None:
        return measure.default
    if isinstance(value, str) and measure.choices:
        return _place(value, measure)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise Refusal(f"{measure.title}: {_WANTED.get(measure.unit, 'a finite number')} is needed.", field=measure.name)
    if not measure.low <= value <= measure.high:
        raise Refusal(
            f"{measure.title} of {value:.6g}{_WORDS.get(measure.unit, '')} is out of range: give {_range(measure)}.",
            field=measure.name,
        )
    if measure.unit in ("count", "choice") and value != round(value):
        raise Refusal(
            f"{measure.title} of {value:.6g} is not a whole number: give {_range(measure)}.", field=measure.name
        )
    return float(value)


def _range(measure: Measure) -> str:
    return f"{measure.low:g} to {measure.high:g}{_WORDS.get(measure.unit, '')}"


def _place(text: str, measure: Measure) -> float:
    wanted = text.strip().lower()
    for place, (name, title) in enumerate(measure.choices):
        if wanted in (name, title.lower(), str(place), f"{place}.0"):
            return float(place)
    known = ", ".join(name for name, _ in measure.choices)
    raise Refusal(
        f"{measure.title} is {text[:40]!r}: choose one of the {len(measure.choices)}, {known}.", field=measure.name
    )
