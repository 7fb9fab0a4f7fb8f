"""Sightings as the maker types them: what is kept, what is complete, and what goes to the adjustment.

A row may be unfinished (a distance without its length yet): it is kept, but not adjusted. A figure may be a number in the
document's unit, or words such as ``22 1/8 in``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from calibration.targets import crosses as lettered
from server import units
from server.errors import Refusal
from server.services.bench.nudged import with_steps
from server.store.records import Document

MOST = 1000
"""Rows of one kind at most."""

KINDS: Mapping[str, tuple[str, ...]] = {
    "positions": ("cross", "at", "height", "sigma"),
    "distances": ("from", "to", "length", "height", "sigma"),
    "lens": ("cross", "slant", "height", "foot", "sigma"),
}
"""The three lists and the keys of their rows, as in a sightings file."""

NAMES = ("cross", "from", "to")
"""The keys that hold the name of a cross, not a figure."""

_KEYS = {"at": "", "length": "", "slant": "", "foot": "", "height": "the height ", "sigma": "the spread "}
"""What is said before a figure that is refused; nothing before the one that the row is about."""

_EXAMPLES = {"mm": "561.5 or 22 1/8 in", "in": "22 1/8 or 561.5 mm"}
"""How to write a length, by the sightings' unit."""

DEFAULT_GRID = [5, 4]
_CROSS_NAME = re.compile(r"[A-Z]")


@dataclass(frozen=True)
class Complete:
    """The rows that are complete, in mm and as a sightings document; ``rows`` says where each stands in what was typed."""

    document: Document
    rows: tuple[tuple[str, int], ...]


def empty(picture: tuple[int, int]) -> dict[str, Any]:
    """Return the sightings of a new bench: the default grid of crosses and nothing measured."""
    return {"unit": "mm", "grid": DEFAULT_GRID, "crosses": default_crosses(DEFAULT_GRID, picture)} | {
        name: [] for name in KINDS
    }


def default_crosses(grid: list[int], picture: tuple[int, int]) -> dict[str, list[float]]:
    """Return the lettered crosses of a grid (columns, rows) in picture px."""
    return {name: [float(x), float(y)] for name, (x, y) in lettered(picture, grid[0], grid[1]).items()}


def renew(kept: Document, typed: Mapping[str, Any], picture: tuple[int, int]) -> dict[str, Any]:
    """Return what is to be kept: ``typed`` over what was kept; another grid brings its own crosses.

    Raises:
        Refusal: something that could not even be shown again: an unknown unit, a row that is no row, a cross outside
            the picture.

    """
    renewed = {**kept, **typed}
    _check_unit(renewed)
    grid = _grid(renewed["grid"])
    if "crosses" not in typed and list(kept["grid"]) != grid:
        renewed["crosses"] = default_crosses(grid, picture)
    renewed["crosses"] = _crosses(renewed["crosses"], picture)
    for name, keys in KINDS.items():
        _check_rows(name, renewed[name], keys)
    return renewed


def set_aside(kept: Document, at: str) -> dict[str, Any]:
    """Return sightings whose rows no longer count, because the projector has moved (at that time) since they were taken.

    They are kept beside the empty lists, with the crosses and the unit that they were taken with. Where nothing is listed,
    what was set aside before stays.
    """
    rows = {name: kept[name] for name in KINDS}
    if not any(rows.values()):
        return dict(kept)
    aside = {"at": at, "unit": kept["unit"], "crosses": kept["crosses"], **rows}
    return {**kept, **{name: [] for name in KINDS}, "set_aside": aside}


def in_force(kept: Document) -> dict[str, Any]:
    """Return sightings without those that are set aside: what a page shows and sends back."""
    return {name: value for name, value in kept.items() if name != "set_aside"}


def count_set_aside(kept: Document) -> int:
    """Return how many rows are set aside."""
    aside = kept.get("set_aside") or {}
    return sum(len(aside.get(name, ())) for name in KINDS)


def complete(kept: Document, picture: tuple[int, int]) -> Complete:
    """Return the complete rows in mm, ready for the adjustment; marks with a moved cross include its step (``nudged``).

    Raises:
        Refusal: a figure that is not understood; the field names its row, such as ``distances.3.length``.

    """
    document: dict[str, Any] = {"picture": {"width": picture[0], "height": picture[1]}, "crosses": kept["crosses"]}
    rows: list[tuple[str, int]] = []
    for name in KINDS:
        document[name] = []
        for number, row in enumerate(kept[name]):
            whole = _finished(name, row)
            if whole is not None:
                with _said_of(_in_words(name, number, whole)):
                    document[name].append(_in_mm(whole, kept["unit"], f"{name}.{number}"))
                rows.append((name, number))
    document["positions"] = with_steps(
        document["positions"], kept["crosses"], default_crosses(kept["grid"], picture), picture[0]
    )
    document["mirrored"] = kept.get("mirrored") or False
    return Complete(document, tuple(rows))


def _finished(name: str, row: Mapping[str, Any]) -> dict[str, Any] | None:
    """Return the row's keys that are filled in, or None while what makes it a sighting is still open."""
    filled = {key: value for key, value in row.items() if not _blank(value)}
    if name == "positions":
        return filled if {"cross", "at"} <= filled.keys() else None
    if name == "distances":
        return filled if {"from", "to", "length"} <= filled.keys() else None
    return (
        filled
        if {"height"} <= filled.keys() or {"foot"} <= filled.keys() or {"cross", "slant"} <= filled.keys()
        else None
    )


def _blank(value: Any) -> bool:
    if isinstance(value, list):
        return any(_blank(part) for part in value)
    return value is None or (isinstance(value, str) and not value.strip())


def _in_mm(row: Mapping[str, Any], unit: str, path: str) -> dict[str, Any]:
    return {key: value if key in NAMES else _figure(value, unit, f"{path}.{key}") for key, value in row.items()}


def _figure(value: Any, unit: str, field: str) -> Any:
    """Return a figure in mm: a number in ``unit``, or words with or without a unit of their own; pairs part by part."""
    if isinstance(value, list):
        return [_figure(part, unit, field) for part in value]
    if isinstance(value, str):
        return _read(value.strip(), unit, field)
    return float(value * units.MM_PER_INCH) if unit == "in" else value


def _read(text: str, unit: str, field: str) -> float:
    sign = -1.0 if text[0] in "-−" else 1.0
    bare = text.lstrip("-−").strip()
    named = any(mark.isalpha() or mark in "\"″”'" for mark in bare)
    try:
        return sign * units.length(bare if named else f"{bare} {unit}", field="")
    except Refusal:
        sentence = f"{_KEYS[field.split('.')[2]]}{text!r} is not a length; write {_EXAMPLES[unit]}."
        raise Refusal(sentence, field=field) from None


@contextmanager
def _said_of(row: str) -> Iterator[None]:
    """Say first which sighting a refusal is about."""
    try:
        yield
    except Refusal as refusal:
        raise Refusal(f"{row}: {refusal.sentence}", field=refusal.field) from refusal


def _in_words(kind: str, number: int, row: Mapping[str, Any]) -> str:
    """Return what the maker calls a sighting: ``A to F``, ``Cross C``, ``Row 2 of the lens``."""
    if kind == "distances":
        return f"{row['from']} to {row['to']}"
    return f"Cross {row['cross']}" if kind == "positions" else f"Row {number + 1} of the lens"


def _check_unit(kept: Mapping[str, Any]) -> None:
    if kept["unit"] not in ("mm", "in"):
        raise Refusal(f"The unit {str(kept['unit'])[:20]!r} is not known: write mm or in.", field="unit")
    if not isinstance(kept.get("mirrored"), bool | None):
        raise Refusal("mirrored must be true, false or null.", field="mirrored")


def _grid(given: Any) -> list[int]:
    whole = isinstance(given, list) and len(given) == 2 and all(type(part) is int and 2 <= part <= 13 for part in given)
    if not whole or given[0] * given[1] > 26:
        raise Refusal(
            "The grid of crosses must be two whole numbers such as [5, 4], of 26 crosses at most.", field="grid"
        )
    return list(given)


def _crosses(given: Any, picture: tuple[int, int]) -> dict[str, list[float]]:
    if not isinstance(given, Mapping) or not all(_CROSS_NAME.fullmatch(name) for name in given):
        raise Refusal("The crosses must be letters A to Z, each with its place [x, y] in the picture.", field="crosses")
    return {name: _cross(name, at, picture) for name, at in given.items()}


def _cross(name: str, at: Any, picture: tuple[int, int]) -> list[float]:
    pair = isinstance(at, list) and len(at) == 2 and all(type(part) in (int, float) for part in at)
    if not pair or not (0 <= at[0] <= picture[0] and 0 <= at[1] <= picture[1]):
        sentence = (
            f"Cross {name} must lie inside the picture of {picture[0]} x {picture[1]} pixels: move it back inside."
        )
        raise Refusal(sentence, field=f"crosses.{name}")
    return [float(at[0]), float(at[1])]


def _check_rows(name: str, given: Any, keys: tuple[str, ...]) -> None:
    if not isinstance(given, list) or len(given) > MOST:
        raise Refusal(f"{name} must be a list of at most {MOST} rows.", field=name)
    for number, row in enumerate(given):
        if not isinstance(row, dict):
            raise Refusal(
                f"Row {number + 1} of {name} must be an object with {', '.join(keys)}.", field=f"{name}.{number}"
            )
        for key, value in row.items():
            _check_value(f"{name}.{number}.{key}", key, value, keys)


def _check_value(field: str, key: str, value: Any, keys: tuple[str, ...]) -> None:
    if key not in keys:
        raise Refusal(f"{field[:80]} is not known: a row of this kind has {', '.join(keys)}.", field=field[:80])
    pair = key in ("at", "foot") and isinstance(value, list) and len(value) == 2
    if not all(_plain(part) for part in (value if pair else [value])):
        raise Refusal(f"{field} must be a number, or a length in words such as 22 1/8 in.", field=field)


def _plain(value: Any) -> bool:
    if isinstance(value, str):
        return len(value) <= units.LONGEST_TEXT
    return value is None or (isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value))
