"""Reads the body of a request strictly: JSON as the standard has it, known keys, right kinds, finite numbers."""

from __future__ import annotations

import json
import math
from collections.abc import Collection, Mapping
from typing import Any, NoReturn, TypeVar

from flask import request

from server.errors import Refusal
from server.services import lengths

DEPTH = 8
"""Deepest nesting that any of our own requests needs, with room to spare."""

LARGEST_WHOLE = 2**53
"""Whole numbers beyond this are not exact in a browser."""

Choice = TypeVar("Choice", bound=str)


class Fields:
    """The keys of one JSON object from outside; every reader names the field that it refuses."""

    def __init__(self, values: Mapping[str, Any], path: str = "") -> None:
        self.values, self._path = values, path

    def only(self, *names: str) -> Fields:
        """Refuse keys other than these, by name; return self."""
        unknown = next((key for key in self.values if key not in names), None)
        if unknown is not None:
            known = ", ".join(names) or "nothing"
            self._refuse(unknown, f"{self._say(unknown)} is not known here: give {known}.")
        return self

    def has(self, name: str) -> bool:
        """Tell whether the key is there and not null."""
        return self.values.get(name) is not None

    def text(self, name: str, longest: int = 120) -> str:
        """Return a text of one line that is not empty, without the blanks around it."""
        value = self._get(name)
        if not isinstance(value, str) or not value.strip():
            self._refuse(name, f"{self._say(name)} is empty: give it in words.")
        if len(value) > longest or not value.strip().isprintable():
            self._refuse(name, f"{self._say(name)} must be one line of at most {longest} characters.")
        return value.strip()

    def number(self, name: str, low: float, high: float, called: str | None = None) -> float:
        """Return a finite number in [low, high]; ``called`` is what the page calls the field, for the refusal."""
        value, word = self._get(name), called or self._say(name)
        if isinstance(value, bool) or not isinstance(value, int | float):
            self._refuse(name, f"{word} must be a number from {low:g} to {high:g}.")
        if not low <= value <= high:
            self._refuse(name, f"{word} is {value:g}: give a number from {low:g} to {high:g}.")
        return float(value)

    def whole(self, name: str, low: int = 1, high: int = LARGEST_WHOLE) -> int:
        """Return a whole number in [low, high]."""
        value = self._get(name)
        if isinstance(value, bool) or not isinstance(value, int):
            self._refuse(name, f"{self._say(name)} must be a whole number.")
        if not low <= value <= high:
            self._refuse(name, f"{self._say(name)} is {value}: give a whole number from {low} to {high}.")
        return value

    def length(self, name: str, low: float, high: float) -> float:
        """Return a length in [low, high] mm, from a number of mm or from words such as ``48 in``."""
        value = self._get(name)
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            self._refuse(name, f"{self._say(name)} must be a length, such as 1200 mm or 48 in.")
        mm = lengths.read(value, f"{self._path}{name}")
        if not low <= mm <= high:
            self._refuse(name, f"{self._say(name)} is {mm:g} mm: give {low:g} to {high:g} mm.")
        return mm

    def place(self, name: str, farthest: float) -> tuple[float, float]:
        """Return a place on the table, mm, from a pair of numbers or of words; each may be negative."""
        value = self._pair(name)
        x, y = (lengths.read(part, f"{self._path}{name}") for part in value)
        if max(abs(x), abs(y)) > farthest:
            self._refuse(name, f"{self._say(name)} lies farther than {farthest:g} mm: give a place on the table.")
        return x, y

    def pixel(self, name: str) -> tuple[float, float]:
        """Return a place in the picture, px, from a pair of numbers; whether it lies inside is for the bench to say."""
        value = self._pair(name)
        if any(isinstance(part, str) for part in value):
            self._refuse(name, f"{self._say(name)} must be two numbers: pixels from the left and from the top.")
        return float(value[0]), float(value[1])

    def texts(self, name: str, most: int) -> list[str]:
        """Return a list of short texts."""
        value = self._get(name)
        if not isinstance(value, list) or not all(isinstance(text, str) and text for text in value):
            self._refuse(name, f"{self._say(name)} must be a list of names.")
        if len(value) > most:
            self._refuse(name, f"{self._say(name)} holds {len(value)} names: give at most {most}.")
        return value

    def objects(self, name: str, most: int) -> list[Fields]:
        """Return a list of objects."""
        value = self._get(name)
        if not isinstance(value, list) or not all(isinstance(part, dict) for part in value):
            self._refuse(name, f"{self._say(name)} must be a list of objects.")
        if len(value) > most:
            self._refuse(name, f"{self._say(name)} holds {len(value)} entries: give at most {most}.")
        return [Fields(part, f"{self._path}{name}.{number}.") for number, part in enumerate(value)]

    def flag(self, name: str) -> bool:
        """Return true or false."""
        value = self._get(name)
        if not isinstance(value, bool):
            self._refuse(name, f"{self._say(name)} must be true or false.")
        return value

    def choice(self, name: str, choices: Collection[Choice]) -> Choice:
        """Return one of ``choices``."""
        value = self._get(name)
        found = next((choice for choice in choices if choice == value), None)
        if found is None:
            self._refuse(name, f"{self._say(name)} must be one of {', '.join(choices)}.")
        return found

    def inner(self, name: str) -> Fields:
        """Return the object under a key."""
        value = self._get(name)
        if not isinstance(value, dict):
            self._refuse(name, f"{self._say(name)} must be an object with names and values.")
        return Fields(value, f"{self._path}{name}.")

    def _pair(self, name: str) -> list[Any]:
        value = self._get(name)
        plain = isinstance(value, list) and not any(isinstance(part, bool) for part in value)
        if not plain or len(value) != 2 or not all(isinstance(part, str | int | float) for part in value):
            self._refuse(name, f"{self._say(name)} must be a pair [x, y].")
        return list(value)

    def _get(self, name: str) -> Any:
        if name not in self.values:
            self._refuse(name, f"{self._say(name)} is missing: give it.")
        return self.values[name]

    def _say(self, name: str) -> str:
        shown = name if name.isprintable() else ascii(name)
        return f"{self._path}{shown[:60]}"

    def _refuse(self, name: str, sentence: str) -> NoReturn:
        raise Refusal(sentence, field=f"{self._path}{name}"[:120])


def body() -> Fields:
    """Return the fields of the request's JSON object; an empty body counts as an empty object.

    Raises:
        Refusal: not ``application/json`` (415), not JSON or not an object (400), nested too deep, or with a number
            that is not finite (400).

    """
    data = request.get_data()
    if not data:
        return Fields({})
    if request.mimetype != "application/json":
        raise Refusal("The request must be JSON: send it with the content type application/json.", status=415)
    values = strict_json(data)
    if not isinstance(values, dict):
        raise Refusal("The request must be a JSON object with names and values.", status=400)
    return Fields(values)


def asked(name: str, low: float, high: float) -> float | None:
    """Return the number in [low, high] that the address asks for under a name, or None; refused when it is none."""
    text = request.args.get(name)
    if text is None:
        return None
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise Refusal(f"{name} must be a number from {low:g} to {high:g}.", field=name)
    return value


def strict_json(data: bytes) -> object:
    """Return what the JSON text says; refused (400) where the standard, or plain sense, does not allow it."""
    try:
        text = data.decode("utf-8")
        found: object = json.loads(
            text, parse_constant=_no_constant, parse_float=_finite, parse_int=_exact, object_pairs_hook=_no_double
        )
    except (ValueError, RecursionError) as error:
        reason = error.sentence if isinstance(error, Refusal) else "it is not JSON"
        raise Refusal(f"The request cannot be read: {reason}.", status=400) from error
    _check(found, DEPTH)
    return found


def _no_constant(word: str) -> NoReturn:
    raise Refusal(f"{word} is not a number")


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise Refusal(f"the number {text[:20]} is too large")
    return value


def _exact(text: str) -> int:
    value = int(text) if len(text) < 20 else LARGEST_WHOLE + 1
    if abs(value) > LARGEST_WHOLE:
        raise Refusal(f"the number {text[:20]} is too large")
    return value


def _no_double(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise Refusal("a name stands twice in one object")
    return found


def _check(value: object, depth: int) -> None:
    """Refuse nesting deeper than ``depth`` and text that is not Unicode (half a surrogate pair)."""
    if depth < 0:
        raise Refusal(f"The request cannot be read: it is nested deeper than {DEPTH} levels.", status=400)
    if isinstance(value, str) and any("\ud800" <= sign <= "\udfff" for sign in value):
        raise Refusal("The request cannot be read: a text in it is not Unicode.", status=400)
    inner = [*value, *value.values()] if isinstance(value, dict) else value if isinstance(value, list) else []
    for part in inner:
        _check(part, depth - 1)
