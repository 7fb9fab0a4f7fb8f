"""The rack as a maker types it, and as the drafts use it: words in, millimetres and plain numbers out, and back."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from typing import Any, TypeVar

from server import units
from server.errors import Refusal
from server.leather.cost import Rates
from server.leather.rack import ChiselRow, Leather, Needle, Punch, PunchShape, Rack, Thread

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "leathers": ("name", "low", "high", "colour", "stretch", "neutral"),
    "threads": ("name", "size", "colour"),
    "chisels": ("pitch", "tines", "hole"),
    "punches": ("shape", "width", "length"),
    "needles": ("name", "thread", "stack"),
}
"""What is typed for each thing on the rack, by part."""

SHAPES: tuple[PunchShape, ...] = ("round", "oblong", "corner")
SHARES = ("waste_markup", "profit")
"""Rates that are typed in percent."""

RATES = tuple(field.name for field in fields(Rates) if field.name != "steps")
"""Every rate, in the order of its explanation."""

MOST_TINES = 40
LARGEST_RATE = 1e6

Typed = Mapping[str, str]
Held = TypeVar("Held", Thread, Punch)


def read_rack(document: Mapping[str, Any]) -> Rack:
    """Return the rack that a typed document means.

    Raises:
        Refusal: words that are not understood, or a thing that cannot be; the field is such as ``threads.2.size``.

    """
    parts = {part: [_read(part, number, line) for number, line in enumerate(document[part])] for part in COLUMNS}
    for part in ("leathers", "threads", "needles"):
        _once(part, [line["name"].strip() for line in document[part]])
    span = units.length(document["arm_span"], field="arm_span")
    if not 300.0 <= span <= 10_000.0:
        raise Refusal(f"An arm-span of {span:g} mm cannot be: give 300 mm to 10 m.", field="arm_span")
    return Rack(
        leathers=tuple(parts["leathers"]),
        threads=tuple(parts["threads"]),
        chisels=tuple(parts["chisels"]),
        punches=tuple(parts["punches"]),
        needles=tuple(parts["needles"]),
        arm_span=span,
    )


def read_rates(typed: Mapping[str, str]) -> Rates:
    """Return the rates; those that are left empty keep their starting value. Refused by the rate's name."""
    given: dict[str, Any] = {name: _rate(name, text) for name, text in typed.items() if text.strip()}
    return Rates(**given)


def written(rack: Rack, rates: Rates) -> dict[str, Any]:
    """Return the typed document of a rack, such as the starter one."""
    return {
        "leathers": [
            {
                "name": one.name,
                "low": _mm(one.low),
                "high": _mm(one.high),
                "colour": one.colour,
                "stretch": "" if one.stretch is None else f"{100.0 * one.stretch:g} %",
                "neutral": "" if one.neutral is None else f"{one.neutral:g}",
            }
            for one in rack.leathers
        ],
        "threads": [{"name": one.name, "size": _size(one), "colour": one.colour} for one in rack.threads],
        "chisels": [
            {"pitch": _mm(one.pitch), "tines": ", ".join(map(str, one.tines)), "hole": _mm(one.hole)}
            for one in rack.chisels
        ],
        "punches": [_punch_words(one) for one in rack.punches],
        "needles": [{"name": one.name, "thread": _mm(one.thread), "stack": _mm(one.stack)} for one in rack.needles],
        "arm_span": _mm(rack.arm_span),
        "rates": {
            name: f"{100.0 * getattr(rates, name):g} %" if name in SHARES else f"{getattr(rates, name):g}"
            for name in RATES
        },
    }


def understood(rack: Rack) -> dict[str, Any]:
    """Return what the drafts take from the rack: numbers in mm, shares as numbers."""
    return {
        "leathers": [
            {"name": one.name, "thickness_mm": one.thickness, "neutral": one.neutral, "stretch": one.stretch}
            for one in rack.leathers
        ],
        "threads": [{"name": one.name, "diameter_mm": one.diameter, "tex": one.tex} for one in rack.threads],
        "chisels": [{"pitch_mm": one.pitch, "tines": list(one.tines), "hole_mm": one.hole} for one in rack.chisels],
        "punches": [
            {"shape": one.shape, "width_mm": one.width, "length_mm": one.length, "words": one.words}
            for one in rack.punches
        ],
        "needles": [{"name": one.name, "thread_mm": one.thread, "stack_mm": one.stack} for one in rack.needles],
        "arm_span_mm": rack.arm_span,
    }


def _read(part: str, number: int, line: Typed) -> Any:
    """One thing of the rack; what it refuses is told by its place."""
    at = f"{part}.{number}."
    reader = {
        "leathers": _leather,
        "threads": _thread,
        "chisels": _chisel,
        "punches": _punch,
        "needles": _needle,
    }[part]
    try:
        return reader(line, at)
    except Refusal as refused:
        field = refused.field if refused.field and refused.field.startswith(at) else f"{at}{COLUMNS[part][0]}"
        raise Refusal(refused.sentence, field=field) from refused


def _leather(line: Typed, at: str) -> Leather:
    low, high = _thickness(line, "low", at), _thickness(line, "high" if line["high"].strip() else "low", at)
    if low > high:
        raise Refusal(
            f"{line['name']}: from {low:g} to {high:g} mm goes down; give the thinner first.", field=f"{at}high"
        )
    stretch = _percent(line["stretch"], f"{at}stretch") if line["stretch"].strip() else None
    neutral = _number(line["neutral"], f"{at}neutral", 1.0) if line["neutral"].strip() else None
    return Leather(_name(line, at), low, high, line["colour"].strip(), stretch, neutral)


def _thickness(line: Typed, column: str, at: str) -> float:
    value = units.leather(line[column], field=f"{at}{column}")
    if not 0.2 <= value <= 20.0:
        raise Refusal(f"A leather of {value:g} mm cannot be: give 0.2 to 20 mm.", field=f"{at}{column}")
    return value


def _thread(line: Typed, at: str) -> Thread:
    name, colour, size = _name(line, at), line["colour"].strip(), line["size"].strip().lower()
    if size.startswith("tex") or size.endswith("tex"):
        tex = _number(size.removeprefix("tex").removesuffix("tex"), f"{at}size", 5000.0)
        return _held(lambda: Thread.of_tex(name, tex, colour), f"{at}size")
    diameter = units.length(size, field=f"{at}size")
    return _held(lambda: Thread(name, diameter, colour), f"{at}size")


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


def _once(part: str, names: Sequence[str]) -> None:
    for number, name in enumerate(names):
        if name in names[:number]:
            raise Refusal(f"{name} hangs there twice: give one of them another name.", field=f"{part}.{number}.name")


def _held(make: Callable[[], Held], field: str) -> Held:
    """What ``make`` returns; a refusal of it is told at ``field``."""
    try:
        return make()
    except Refusal as refused:
        raise Refusal(refused.sentence, field=field) from refused


def _rate(name: str, text: str) -> float:
    if name not in RATES:
        raise Refusal(f"There is no rate {name[:40]!r}: there are {', '.join(RATES)}.", field="rates")
    field = f"rates.{name}"
    return _percent(text, field) if name in SHARES else _number(text, field, LARGEST_RATE)


def _percent(text: str, field: str) -> float:
    return _number(text.strip().removesuffix("%"), field, 1000.0 if field.startswith("rates") else 50.0) / 100.0


def _number(text: str, field: str, high: float) -> float:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not 0.0 <= value <= high:
        raise Refusal(f"{text.strip()[:30]!r} cannot be used: give a number from 0 to {high:g}.", field=field)
    return value


def _mm(value: float) -> str:
    return units.write_length(value)


def _size(thread: Thread) -> str:
    return f"{thread.tex:g} tex" if thread.tex is not None else _mm(thread.diameter)


def _punch_words(punch: Punch) -> dict[str, str]:
    width = "" if punch.shape == "corner" else _mm(punch.width)
    return {"shape": punch.shape, "width": width, "length": "" if punch.shape == "round" else _mm(punch.length)}
