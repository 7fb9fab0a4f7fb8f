"""Lengths, viewports and transforms of SVG files that others wrote. User units are CSS pixels, 96 to the inch."""

from __future__ import annotations

import math
import re

import numpy as np

from calibration.refusal import Refusal
from server.geometry.svg_numbers import NUMBER, Matrix, transform

PIXEL = 25.4 / 96.0
"""mm: CSS Values and Units 3, section 6.2."""
_LENGTH = re.compile(rf"\s*({NUMBER})\s*(mm|cm|in|pt|pc|px|q|%)?\s*", re.IGNORECASE)
_PIXELS = {
    "mm": 96 / 25.4,
    "cm": 960 / 25.4,
    "in": 96.0,
    "pt": 96 / 72,
    "pc": 16.0,
    "q": 24 / 25.4,
    "px": 1.0,
    "": 1.0,
}
TRUE_UNITS = ("mm", "cm", "in", "pt", "pc", "q")
"""Units that have a size; a pixel has none, and programs have used 72, 90 and 96 to the inch."""
_NUMBERS = re.compile(NUMBER)
_LARGEST = 1e9


def split(text: str) -> tuple[float, str] | None:
    """Return a length's number and unit ("" for none), or None when it is not one."""
    found = _LENGTH.fullmatch(text)
    if found is None or not abs(float(found[1])) <= _LARGEST:
        return None
    return float(found[1]), (found[2] or "").lower()


def pixels(text: str, whole: float, what: str) -> float:
    """Return a length in user units; `whole` is what a percentage is of.

    Raises:
        Refusal: not a number with a known unit.

    """
    parts = split(text)
    if parts is None:
        raise Refusal(f"The {what} is {text[:30]!r}, which is no length")
    number, unit = parts
    return number * whole / 100.0 if unit == "%" else number * _PIXELS[unit]


def numbers(text: str, what: str) -> list[float]:
    """Return a list of plain numbers separated by spaces or commas.

    Raises:
        Refusal: anything else in it, or a number too large.

    """
    if _NUMBERS.sub("", text).strip(" \t\r\n\f,"):
        raise Refusal(f"The {what} cannot be read at {text.strip()[:30]!r}")
    found = [float(word) for word in _NUMBERS.findall(text)]
    if any(not abs(number) <= _LARGEST for number in found):
        raise Refusal(f"The {what} has a number too large to be a place")
    return found


def moved_by(text: str, what: str) -> Matrix:
    """Return the matrix of a transform, as an attribute or in a style (px and deg are allowed there).

    Raises:
        Refusal: what cannot be read whole, or flattens the shape.

    """
    plain = re.sub(r"(?<=[0-9.])(px|deg)\b", "", text)
    plain = re.sub(r"translate([XY])\(([^()]*)\)", _one_way, plain)
    return np.eye(3) if plain.strip() == "none" else transform(plain, what)


def _one_way(found: re.Match[str]) -> str:
    return f"translate({found[2]},0)" if found[1] == "X" else f"translate(0,{found[2]})"


def view(width: float, height: float, box: str, aspect: str, what: str) -> Matrix:
    """Return the matrix from a viewBox to a viewport of width x height at its own origin (SVG 1.1, section 7.8).

    Raises:
        Refusal: a viewBox that is not four numbers with a size above 0.

    """
    if not box.strip():
        return np.eye(3)
    given = numbers(box, f"viewBox of {what}")
    if len(given) != 4 or given[2] <= 0.0 or given[3] <= 0.0:
        raise Refusal(f"The viewBox of {what} is {box[:40]!r}: it needs four numbers, the last two above 0.")
    left, top, across, down = given
    x, y = width / across, height / down
    words = aspect.split()
    align = next((word for word in words if word not in ("defer", "meet", "slice")), "xMidYMid")
    if align != "none":
        x = y = max(x, y) if "slice" in words else min(x, y)
    shift = [_share(align[:4]), _share(align[4:])] if align != "none" else [0.0, 0.0]
    dx = shift[0] * (width - across * x) - left * x
    dy = shift[1] * (height - down * y) - top * y
    matrix = np.array([[x, 0.0, dx], [0.0, y, dy], [0.0, 0.0, 1.0]])
    if not np.isfinite(matrix).all():
        raise Refusal(f"The viewBox of {what} has numbers out of reason: {box[:40]!r}.")
    return matrix


def _share(word: str) -> float:
    return {"Min": 0.0, "Max": 1.0}.get(word[1:], 0.5)


def shift(x: float, y: float) -> Matrix:
    """Return the matrix of a move."""
    return np.array([[1.0, 0.0, x], [0.0, 1.0, y], [0.0, 0.0, 1.0]])


def lengthening(matrix: Matrix) -> float:
    """Return how much longer the matrix makes a length, on the whole: the root of its determinant."""
    return math.sqrt(abs(float(np.linalg.det(matrix[:2, :2]))))
