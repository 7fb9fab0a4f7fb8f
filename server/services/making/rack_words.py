"""The rack as a maker types it, and as the drafts use it: words in, millimetres and plain numbers out, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from server import units
from server.errors import Refusal
from server.leather.cost import Rates
from server.leather.pattern import WaitKind
from server.leather.rack import ChiselRow, Leather, Punch, Rack, Thread, Waiting
from server.services.making.rack_lines import COLUMNS, STRIP, complete, number, percent, read_line

SHARES = ("waste_markup", "profit")
"""Rates that are typed in percent."""

RATES = tuple(field.name for field in fields(Rates) if field.name != "steps")
"""Every rate, in the order of its explanation."""

WAITS: tuple[WaitKind, ...] = ("tacky", "joint", "drying")
LARGEST_RATE = 1e6
LONGEST_WAIT = 14 * 24 * 60.0
"""Minutes; nothing in a leather workshop is waited for longer."""
LONGEST_SIGN = 8
"""Letters of a currency sign."""

_MINUTES = {"": 1.0, "min": 1.0, "h": 60.0, "hour": 60.0, "hours": 60.0, "d": 1440.0, "day": 1440.0, "days": 1440.0}
_TIME = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([a-z]*)")


def read_rack(document: Mapping[str, Any]) -> Rack:
    """Return the rack that a typed document means.

    Raises:
        Refusal: words that are not understood, or a thing that cannot be; the field is such as ``threads.2.size``.

    """
    parts = {part: [read_line(part, i, line) for i, line in enumerate(document.get(part, ()))] for part in COLUMNS}
    for part in ("leathers", "threads", "needles", "hardware"):
        _once(part, [line["name"].strip() for line in document.get(part, ())])
    span = units.length(document["arm_span"], field="arm_span")
    if not 300.0 <= span <= 10_000.0:
        raise Refusal(f"An arm-span of {span:g} mm cannot be: give 300 mm to 10 m.", field="arm_span")
    return Rack(
        leathers=tuple(parts["leathers"]),
        threads=tuple(parts["threads"]),
        chisels=tuple(parts["chisels"]),
        punches=tuple(parts["punches"]),
        needles=tuple(parts["needles"]),
        hardware=tuple(parts["hardware"]),
        waiting=_waiting(document.get("waiting", {})),
        arm_span=span,
    )


def read_rates(typed: Mapping[str, str]) -> Rates:
    """Return the rates; those that are left empty keep their starting value. Refused by the rate's name."""
    given: dict[str, Any] = {name: _rate(name, text) for name, text in typed.items() if text.strip()}
    return Rates(**given)


def read_currency(typed: str) -> str:
    """Return the sign the maker writes beside money; refused when it is longer than a sign."""
    sign = typed.strip()
    if len(sign) > LONGEST_SIGN or any(letter.isdigit() for letter in sign):
        raise Refusal(f"{sign[:20]!r} is no sign for money: give at most {LONGEST_SIGN} letters.", field="currency")
    return sign


def minutes(text: str, field: str) -> float:
    """Return minutes from words such as ``10 min``, ``1.5 h`` or ``1 day``; a bare number is minutes."""
    found = _TIME.fullmatch(text.strip().lower())
    if found is None or found[2] not in _MINUTES:
        raise Refusal(f"{text.strip()[:30]!r} is no time: give it such as 10 min, 2 h or 1 day.", field=field)
    value = float(found[1].replace(",", ".")) * _MINUTES[found[2]]
    if value > LONGEST_WAIT:
        raise Refusal(f"{text.strip()[:30]} is longer than two weeks: give a shorter time.", field=field)
    return value


def written_time(value: float) -> str:
    """Return minutes as a maker says them: 10 min, 2 h, 1 day."""
    for words, size in (("day", 1440.0), ("h", 60.0)):
        if value >= size and value % (size / 2.0) == 0.0:
            count = value / size
            return f"{count:g} {words}{'s' if words == 'day' and count != 1.0 else ''}"
    return f"{value:g} min"


def written(rack: Rack, rates: Rates) -> dict[str, Any]:
    """Return the typed document of a rack, such as the starter one."""
    return {
        "leathers": [leather_words(one) for one in rack.leathers],
        "threads": [thread_words(one) for one in rack.threads],
        "chisels": [chisel_words(one) for one in rack.chisels],
        "punches": [_punch_words(one) for one in rack.punches],
        "needles": [{"name": one.name, "thread": _mm(one.thread), "stack": _mm(one.stack)} for one in rack.needles],
        "hardware": [{"name": one.name, "price": f"{one.price:g}"} for one in rack.hardware],
        "waiting": dict.fromkeys(WAITS, ""),
        "currency": "",
        "arm_span": _mm(rack.arm_span),
        "rates": {
            name: f"{100.0 * getattr(rates, name):g} %" if name in SHARES else f"{getattr(rates, name):g}"
            for name in RATES
        },
    }


def leather_words(one: Leather) -> dict[str, str]:
    """Return a leather as it is typed."""
    return {
        "name": one.name,
        "low": _mm(one.low),
        "high": _mm(one.high),
        "colour": one.colour,
        "price": "" if one.price is None else f"{one.price:g}",
        "stretch": "" if one.stretch is None else f"{100.0 * one.stretch:g} %",
        "neutral": "" if one.neutral is None else f"{one.neutral:g}",
        **dict.fromkeys(STRIP, ""),
    }


def thread_words(one: Thread) -> dict[str, str]:
    """Return a thread as it is typed."""
    size = f"{one.tex:g} tex" if one.tex is not None else _mm(one.diameter)
    return {
        "name": one.name,
        "size": size,
        "colour": one.colour,
        "price": "" if one.price is None else f"{one.price:g}",
    }


def chisel_words(one: ChiselRow) -> dict[str, str]:
    """Return a row of irons as it is typed."""
    return {"pitch": _mm(one.pitch), "tines": ", ".join(map(str, one.tines)), "hole": _mm(one.hole)}


def filled(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a typed document with every part and column, those that an older rack does not have left empty."""
    lines = {part: [complete(part, line) for line in document.get(part) or ()] for part in COLUMNS}
    waiting = {name: str((document.get("waiting") or {}).get(name, "")) for name in WAITS}
    return {**document, **lines, "waiting": waiting, "currency": document.get("currency") or ""}


def understood(rack: Rack) -> dict[str, Any]:
    """Return what the drafts take from the rack: numbers in mm, shares as numbers, waiting in minutes."""
    return {
        "leathers": [
            {"name": one.name, "thickness_mm": one.thickness, "neutral": one.neutral, "stretch": one.stretch}
            for one in rack.leathers
        ],
        "threads": [{"name": one.name, "diameter_mm": one.diameter, "tex": one.tex} for one in rack.threads],
        "chisels": [
            {"name": chisel_words(one)["pitch"], "pitch_mm": one.pitch, "tines": list(one.tines), "hole_mm": one.hole}
            for one in rack.chisels
        ],
        "punches": [
            {"shape": one.shape, "width_mm": one.width, "length_mm": one.length, "words": one.words}
            for one in rack.punches
        ],
        "needles": [{"name": one.name, "thread_mm": one.thread, "stack_mm": one.stack} for one in rack.needles],
        "hardware": [{"name": one.name, "price": one.price} for one in rack.hardware],
        "waiting": {name: _wait(rack, name) for name in WAITS},
        "arm_span_mm": rack.arm_span,
    }


def _wait(rack: Rack, name: WaitKind) -> dict[str, Any]:
    value, own = rack.waiting.minutes(name)
    return {"minutes": value, "words": written_time(value), "own": own}


def _waiting(typed: Mapping[str, str]) -> Waiting:
    return Waiting(**{name: minutes(text, f"waiting.{name}") for name, text in typed.items() if text.strip()})


def _once(part: str, names: Sequence[str]) -> None:
    for index, name in enumerate(names):
        if name in names[:index]:
            raise Refusal(f"{name} hangs there twice: give one of them another name.", field=f"{part}.{index}.name")


def _rate(name: str, text: str) -> float:
    if name not in RATES:
        raise Refusal(f"There is no rate {name[:40]!r}: there are {', '.join(RATES)}.", field="rates")
    field = f"rates.{name}"
    return percent(text, field, 1000.0) if name in SHARES else number(text, field, LARGEST_RATE)


def _mm(value: float) -> str:
    return units.write_length(value)


def _punch_words(punch: Punch) -> dict[str, str]:
    width = "" if punch.shape == "corner" else _mm(punch.width)
    return {"shape": punch.shape, "width": width, "length": "" if punch.shape == "round" else _mm(punch.length)}
