"""One thing on the rack as a maker types it, read: words in, millimetres and plain numbers out.

Every refusal names the field it is about, such as ``threads.2.size``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from server import units
from server.errors import Refusal
from server.leather.bend import neutral_from_strip
from server.leather.cost import square_feet
from server.leather.rack import ChiselRow, Fitting, Leather, Needle, Punch, PunchShape, Thread

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "leathers": (
        "name", "low", "high", "colour", "price", "stretch", "neutral", "strip_angle", "strip_radius", "strip_length",
    ),
    "threads": ("name", "size", "colour", "price"),
    "chisels": ("pitch", "tines", "hole"),
    "punches": ("shape", "width", "length"),
    "needles": ("name", "thread", "stack"),
    "hardware": ("name", "price"),
}  # fmt: skip
"""What is typed for each thing on the rack, by part."""

SHAPES: tuple[PunchShape, ...] = ("round", "oblong", "corner")
STRIP = ("strip_angle", "strip_radius", "strip_length")
MOST_TINES = 40
LARGEST_PRICE = 1e6
AGREEING_K = 0.02
"""K typed and K of the strip may differ by so much before they contradict each other."""

Typed = Mapping[str, str]
Held = TypeVar("Held", Thread, Punch)


def complete(part: str, line: Mapping[str, Any]) -> dict[str, str]:
    """Return a line with every column, those that an older rack does not have left empty."""
    return {column: str(line.get(column, "")) for column in COLUMNS[part]}


def read_line(part: str, number: int, line: Typed) -> Any:
    """Return one thing of the rack.

    Raises:
        Refusal: words that are not understood, or a thing that cannot be; told by its place.

    """
    at = f"{part}.{number}."
    try:
        return _READERS[part](complete(part, line), at)
    except Refusal as refused:
        field = refused.field if refused.field and refused.field.startswith(at) else f"{at}{COLUMNS[part][0]}"
        raise Refusal(refused.sentence, field=field) from refused


def number(text: str, field: str, high: float, low: float = 0.0) -> float:
    """Return a plain number in [low, high]; a decimal comma is understood."""
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise Refusal(f"{text.strip()[:30]!r} cannot be used: give a number from {low:g} to {high:g}.", field=field)
    return value


def percent(text: str, field: str, most: float) -> float:
    """Return a share from words such as "3 %"."""
    return number(text.strip().removesuffix("%"), field, most) / 100.0


def _leather(line: Typed, at: str) -> Leather:
    low, high = _thickness(line, "low", at), _thickness(line, "high" if line["high"].strip() else "low", at)
    if low > high:
        raise Refusal(
            f"{line['name']}: from {low:g} to {high:g} mm goes down; give the thinner first.", field=f"{at}high"
        )
    stretch = percent(line["stretch"], f"{at}stretch", 50.0) if line["stretch"].strip() else None
    neutral = _neutral(line, at, (low + high) / 2.0)
    return Leather(_name(line, at), low, high, line["colour"].strip(), stretch, neutral, _leather_price(line, at))


def _thickness(line: Typed, column: str, at: str) -> float:
    value = units.leather(line[column], field=f"{at}{column}")
    if not 0.2 <= value <= 20.0:
        raise Refusal(f"A leather of {value:g} mm cannot be: give 0.2 to 20 mm.", field=f"{at}{column}")
    return value


def _neutral(line: Typed, at: str, thickness: float) -> float | None:
    """K as typed, or worked out from the strip that was bent; both only where they agree."""
    typed = number(line["neutral"], f"{at}neutral", 1.0) if line["neutral"].strip() else None
    if not any(line[column].strip() for column in STRIP):
        return typed
    measured = _of_strip(line, at, thickness)
    if typed is not None and abs(typed - measured) > AGREEING_K:
        raise Refusal(
            f"The strip gives K {measured:.2f}, but {typed:g} is typed: leave K empty, or the strip.",
            field=f"{at}neutral",
        )
    return measured if typed is None else typed


def _of_strip(line: Typed, at: str, thickness: float) -> float:
    """K = (BA / A - R) / t of a strip bent by an angle round a radius, which took up a length."""
    missing = next((column for column in STRIP if not line[column].strip()), None)
    if missing is not None:
        raise Refusal("A bent strip needs all three: angle, inside radius and length taken up.", field=f"{at}{missing}")
    degrees = number(line["strip_angle"].strip().removesuffix("°"), f"{at}strip_angle", 360.0, 10.0)
    radius, length = (units.length(line[column], field=f"{at}{column}") for column in STRIP[1:])
    try:
        return round(neutral_from_strip(length, math.radians(degrees), radius, thickness), 3)
    except Refusal as refused:
        raise Refusal(refused.sentence, field=f"{at}strip_length") from refused


def _leather_price(line: Typed, at: str) -> float | None:
    """Price of a dm2; "9 a sq ft" is understood too."""
    text = line["price"].strip().lower()
    if not text:
        return None
    for ending in ("sq ft", "sqft", "ft2", "ft²"):
        if text.endswith(ending):
            return number(_bare(text.removesuffix(ending)), f"{at}price", LARGEST_PRICE) * square_feet(1.0)
    for ending in ("dm2", "dm²"):
        text = text.removesuffix(ending)
    return number(_bare(text), f"{at}price", LARGEST_PRICE)


def _bare(text: str) -> str:
    """The number before "a", "per" or "/"."""
    text = text.strip()
    for word in (" a", " per", "/"):
        text = text.removesuffix(word)
    return text.strip()


def _thread(line: Typed, at: str) -> Thread:
    name, colour, size = _name(line, at), line["colour"].strip(), line["size"].strip().lower()
    price = _price(line, at) if line["price"].strip() else None
    if size.startswith("tex") or size.endswith("tex"):
        tex = number(size.removeprefix("tex").removesuffix("tex"), f"{at}size", 5000.0)
        return _held(lambda: Thread.of_tex(name, tex, colour, price=price), f"{at}size")
    diameter = units.length(size, field=f"{at}size")
    return _held(lambda: Thread(name, diameter, colour, price=price), f"{at}size")


def _chisel(line: Typed, at: str) -> ChiselRow:
    pitch, hole = _small(line, "pitch", at, 0.8, 20.0), _small(line, "hole", at, 0.2, 19.0)
    words = line["tines"].replace(",", " ").replace(";", " ").split()
    if not words or not all(word.isdecimal() and 1 <= int(word) <= MOST_TINES for word in words):
        raise Refusal(f"Tines must be whole numbers from 1 to {MOST_TINES}, such as 6, 4, 2, 1.", field=f"{at}tines")
    tines = tuple(sorted({int(word) for word in words}, reverse=True))
    if hole >= pitch:
        raise Refusal(
            f"Slits of {hole:g} mm run into each other at {pitch:g} mm: give a shorter slit.", field=f"{at}hole"
        )
    return ChiselRow(pitch, tines, hole)


def _punch(line: Typed, at: str) -> Punch:
    shape = next((one for one in SHAPES if one == line["shape"].strip()), None)
    if shape is None:
        raise Refusal(f"A punch is {', '.join(SHAPES)}: choose one.", field=f"{at}shape")
    width = 0.0 if shape == "corner" else _small(line, "width", at, 0.5, 100.0)
    length = 0.0 if shape == "round" else _small(line, "length", at, 0.5, 200.0)
    return _held(lambda: Punch(shape, width, length), f"{at}length")


def _needle(line: Typed, at: str) -> Needle:
    return Needle(_name(line, at), _small(line, "thread", at, 0.1, 5.0), _small(line, "stack", at, 1.0, 100.0))


def _fitting(line: Typed, at: str) -> Fitting:
    return Fitting(_name(line, at), _price(line, at) if line["price"].strip() else 0.0)


def _price(line: Typed, at: str) -> float:
    return number(line["price"], f"{at}price", LARGEST_PRICE)


def _small(line: Typed, column: str, at: str, low: float, high: float) -> float:
    value = units.length(line[column], field=f"{at}{column}")
    if not low <= value <= high:
        raise Refusal(f"{value:g} mm is out of range here: give {low:g} to {high:g} mm.", field=f"{at}{column}")
    return value


def _name(line: Typed, at: str) -> str:
    name = line["name"].strip()
    if not name:
        raise Refusal("It needs a name, so that the drafts can ask for it.", field=f"{at}name")
    return name


def _held(make: Callable[[], Held], field: str) -> Held:
    """What ``make`` returns; a refusal of it is told at ``field``."""
    try:
        return make()
    except Refusal as refused:
        raise Refusal(refused.sentence, field=field) from refused


_READERS: Mapping[str, Callable[[Typed, str], Any]] = {
    "leathers": _leather,
    "threads": _thread,
    "chisels": _chisel,
    "punches": _punch,
    "needles": _needle,
    "hardware": _fitting,
}
