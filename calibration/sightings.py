"""The kinds of sighting a maker can take, and the file that holds them.

Every sighting is one measured figure (or a pair) with its standard error in mm; ``adjust`` solves any mix of them at once.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np

from calibration.arrays import Array
from calibration.refusal import Refusal

DEFAULT_SIGMA = 0.5
"""mm, for a sighting that does not say how sure it is."""
_UNITS = {"mm": 1.0, "in": 25.4}
_MOST, _FARTHEST, _LONGEST_NAME = 2000, 100_000.0, 40
Pair: TypeAlias = tuple[float, float]


@dataclass(frozen=True)
class Position:
    """Cross ``cross`` was seen at the place ``at`` (x, y mm) on a surface ``height`` mm above the table."""

    cross: str
    at: Pair
    height: float = 0.0
    sigma: float = DEFAULT_SIGMA


@dataclass(frozen=True)
class Distance:
    """From cross ``start`` to cross ``end`` the tape reads ``length`` mm, both on a surface at ``height`` mm."""

    start: str
    end: str
    length: float
    height: float = 0.0
    sigma: float = DEFAULT_SIGMA


@dataclass(frozen=True)
class Slant:
    """From the lens straight to cross ``cross`` on the table the tape reads ``slant`` mm."""

    cross: str
    slant: float
    sigma: float = DEFAULT_SIGMA


@dataclass(frozen=True)
class LensHeight:
    """The lens hangs ``height`` mm above the table."""

    height: float
    sigma: float = DEFAULT_SIGMA


@dataclass(frozen=True)
class LensFoot:
    """A plumb line from the lens meets the table at the place ``at`` (x, y mm)."""

    at: Pair
    sigma: float = DEFAULT_SIGMA


LensSighting: TypeAlias = Slant | LensHeight | LensFoot


@dataclass(frozen=True)
class Sightings:
    """All that was measured on one bench.

    Attributes:
        picture: width, height px.
        crosses: name to (x, y) px.
        positions, distances, lens: the sightings.
        mirrored: tape only: the picture is a mirror image as seen from above (distances cannot tell).

    """

    picture: tuple[int, int]
    crosses: Mapping[str, Pair]
    positions: tuple[Position, ...] = ()
    distances: tuple[Distance, ...] = ()
    lens: tuple[LensSighting, ...] = field(default=())
    mirrored: bool = False

    @property
    def tape_only(self) -> bool:
        """True when no known mark fixes the frame."""
        return not self.positions

    def pixels(self, names: Sequence[str]) -> Array:
        """Return the picture px (n, 2) of the crosses named."""
        return np.array([self.crosses[name] for name in names], dtype=np.float64).reshape(-1, 2)


def distance(a: Array, b: Array) -> tuple[Array, Array, Array]:
    """Return the lengths (n,) from points ``a`` to ``b`` (n, d) and their gradients by a and by b, (n, d) each.

    Source: the distance observation equation, Ghilani, Adjustment Computations, ch. 14.
    """
    away = b - a
    length = np.linalg.norm(away, axis=-1)
    along = away / np.maximum(length, 1e-12)[..., None]
    return length, -along, along


def read(document: Mapping[str, Any]) -> Sightings:
    """Read a sightings document (the JSON contract of ``hidelight calibrate``) into mm and px.

    Raises:
        Refusal: an unknown key, a missing or non-finite number, an unknown cross, a unit other than mm or in.

    """
    known = ("unit", "picture", "crosses", "positions", "distances", "lens", "mirrored")
    _keys(document, known, "the sightings", ("picture", "crosses"))
    unit = document.get("unit", "mm")
    if not isinstance(unit, str) or unit not in _UNITS:
        raise Refusal(f"The unit {_brief(unit)} is not known; write mm or in.", field="unit")
    picture = _picture(document["picture"])
    crosses = _crosses(document["crosses"], picture)
    reader = _Reader(_UNITS[unit], crosses)
    mirrored = document.get("mirrored", False)
    if not isinstance(mirrored, bool):
        raise Refusal(f"mirrored must be true or false, not {mirrored!r}.", field="mirrored")
    return Sightings(
        picture,
        crosses,
        tuple(map(reader.position, _listed(document, "positions"))),
        tuple(map(reader.distance, _listed(document, "distances"))),
        tuple(map(reader.lens, _listed(document, "lens"))),
        mirrored,
    )


def _keys(given: Any, known: Sequence[str], what: str, needed: Sequence[str]) -> None:
    if not isinstance(given, Mapping):
        raise Refusal(f"An entry of {what} is {_brief(given)}; it must be an object with {', '.join(needed)}.")
    for key in given:
        if key not in known:
            raise Refusal(f"Unknown key {_brief(key)} in {what}; known are {', '.join(known)}.", field=str(key)[:60])
    for key in needed:
        if key not in given:
            raise Refusal(f"An entry of {what} lacks {key!r}; add it.", field=key)


def _brief(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."


def _listed(document: Mapping[str, Any], key: str) -> list[Any]:
    given = document.get(key, [])
    if not isinstance(given, list):
        raise Refusal(f"{key} must be a list, not {_brief(given)}.", field=key)
    if len(given) > _MOST:
        raise Refusal(f"There are {len(given)} {key}; at most {_MOST} can be adjusted.", field=key)
    return given


def _number(value: Any, what: str, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not _finite(value):
        raise Refusal(f"{what} is {_brief(value)}; it must be a plain finite number.")
    if not low <= value <= high:
        raise Refusal(f"{what} is {value:g}; it must lie between {low:g} and {high:g}.")
    return float(value)


def _finite(value: float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


def _pair(value: Any, what: str, low: float, high: float) -> Pair:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise Refusal(f"{what} is {_brief(value)}; it must be a pair [x, y].")
    return _number(value[0], f"{what} (x)", low, high), _number(value[1], f"{what} (y)", low, high)


def _picture(given: Any) -> tuple[int, int]:
    _keys(given, ("width", "height"), "picture", ("width", "height"))
    width, height = (_number(given[key], f"The picture {key}", 16, 16384) for key in ("width", "height"))
    if width != int(width) or height != int(height):
        raise Refusal(f"The picture is {width:g} x {height:g}; its size must be whole pixels.", field="picture")
    return int(width), int(height)


def _crosses(given: Any, picture: tuple[int, int]) -> dict[str, Pair]:
    if not isinstance(given, Mapping) or len(given) > _MOST:
        raise Refusal(f"crosses must be an object of at most {_MOST} names with [x, y] pixels.", field="crosses")
    for name in given:
        if not isinstance(name, str) or not (0 < len(name) <= _LONGEST_NAME) or not name.isprintable():
            raise Refusal(
                f"A cross is named {_brief(name)}; use at most {_LONGEST_NAME} plain letters.", field="crosses"
            )
    crosses = {name: _pair(at, f"Cross {name}", -_FARTHEST, _FARTHEST) for name, at in given.items()}
    for name, (x, y) in crosses.items():
        if not (0 <= x <= picture[0] and 0 <= y <= picture[1]):
            raise Refusal(
                f"Cross {name} at ({x:g}, {y:g}) px is outside the picture of {picture[0]} x {picture[1]}; move it inside.",
                field="crosses",
            )
    return crosses


@dataclass(frozen=True)
class _Reader:
    """Turns one JSON entry into one sighting, in mm."""

    scale: float
    crosses: Mapping[str, Pair]

    def position(self, given: Any) -> Position:
        _keys(given, ("cross", "at", "height", "sigma"), "positions", ("cross", "at"))
        name = self._cross(given["cross"])
        return Position(
            name, self._place(given["at"], f"The place of cross {name}"), self._height(given), self._sigma(given)
        )

    def distance(self, given: Any) -> Distance:
        _keys(given, ("from", "to", "length", "height", "sigma"), "distances", ("from", "to", "length"))
        start, end = self._cross(given["from"]), self._cross(given["to"])
        if start == end:
            raise Refusal(f"A distance goes from {start} to itself; name two different crosses.", field="distances")
        length = self._length(given["length"], f"The distance {start} to {end}")
        return Distance(start, end, length, self._height(given), self._sigma(given))

    def lens(self, given: Any) -> LensSighting:
        if isinstance(given, Mapping) and "height" in given:
            _keys(given, ("height", "sigma"), "lens", ("height",))
            return LensHeight(self._length(given["height"], "The lens height"), self._sigma(given))
        if isinstance(given, Mapping) and "foot" in given:
            _keys(given, ("foot", "sigma"), "lens", ("foot",))
            return LensFoot(self._place(given["foot"], "The foot of the lens"), self._sigma(given))
        _keys(given, ("cross", "slant", "sigma"), "lens", ("cross", "slant"))
        name = self._cross(given["cross"])
        return Slant(name, self._length(given["slant"], f"The slant distance to {name}"), self._sigma(given))

    def _cross(self, name: Any) -> str:
        if not isinstance(name, str) or name not in self.crosses:
            raise Refusal(f"There is no cross {_brief(name)}; the crosses are {', '.join(list(self.crosses)[:30])}.")
        return name

    def _length(self, value: Any, what: str) -> float:
        length = _number(value, what, 0.0, _FARTHEST)
        if length <= 0:
            raise Refusal(f"{what} is {length:g}; it must be more than zero.")
        return length * self.scale

    def _place(self, value: Any, what: str) -> Pair:
        x, y = _pair(value, what, -_FARTHEST, _FARTHEST)
        return x * self.scale, y * self.scale

    def _height(self, given: Mapping[str, Any]) -> float:
        return _number(given.get("height", 0.0), "The height", 0.0, _FARTHEST) * self.scale

    def _sigma(self, given: Mapping[str, Any]) -> float:
        if "sigma" not in given:
            return DEFAULT_SIGMA
        sigma = _number(given["sigma"], "sigma", 0.0, _FARTHEST) * self.scale
        if sigma < 1e-6:
            raise Refusal(f"sigma is {sigma:g} mm; no hand is that sure: give at least 0.000001 mm.")
        return sigma
