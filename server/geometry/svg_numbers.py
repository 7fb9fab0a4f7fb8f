"""Numbers, transforms and page sizes of SVG, read strictly: what cannot be read whole is refused."""

from __future__ import annotations

import math
import re

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calibration.refusal import Refusal

Matrix = NDArray[np.float64]
IDENTITY: Matrix = np.eye(3)
NUMBER = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
_SEPARATOR = r"(?:\s*,\s*|\s+)"
_PURE = re.compile(NUMBER)
_FUNCTION = re.compile(r"\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)\s*")
_PAGE_LENGTH = re.compile(rf"\s*({NUMBER})\s*(mm|cm|in)\s*")
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_MM_PER_CSS_PIXEL = 25.4 / 96.0
"""CSS Values and Units 3, section 6.2: 1 in = 96 px; a file without viewBox counts in these."""
LONGEST_PAGE = 20_000.0
FARTHEST = 1e6
"""mm: no drawing of a thing to carry reaches farther."""
MOST_FUNCTIONS = 100
"""Functions in one transform."""


def pure_number(text: str, what: str) -> float:
    """Return a plain finite number; units are refused, because inside the file one unit is what the viewBox says."""
    if _PURE.fullmatch(text.strip()) is None or not math.isfinite(float(text)):
        raise Refusal(f"The {what} is {text[:40]!r}: write a plain number without a unit.")
    return float(text)


def positive(text: str | None, what: str) -> float:
    """Return a plain number above 0; missing is refused too."""
    value = pure_number(text or "", what)
    if value <= 0.0:
        raise Refusal(f"The {what} is {value:g}: it must be more than 0.")
    return value


def coordinates(text: str, count: int | None, what: str) -> NDArray[np.float64]:
    """Return (n, 2) points from a list of plain numbers; `count` numbers exactly, or any even count."""
    words = [word for word in re.split(_SEPARATOR, text.strip()) if word]
    if len(words) % 2 or (count is not None and len(words) != count):
        raise Refusal(f"The {what} has {len(words)} numbers: {count or 'an even number'} are needed.")
    return np.array([pure_number(word, what) for word in words], dtype=np.float64).reshape(-1, 2)


def page(width: str | None, height: str | None, view_box: str | None) -> tuple[float, float, Matrix]:
    """Return width and height in mm and the matrix from user units to mm.

    Raises:
        Refusal: no true units, a size out of reason, or a viewBox of another shape than the page.

    """
    w, h = _page_length(width, "width"), _page_length(height, "height")
    if view_box is None:
        return w, h, np.diag([_MM_PER_CSS_PIXEL, _MM_PER_CSS_PIXEL, 1.0])
    (left, top), (across, down) = coordinates(view_box, 4, "viewBox").tolist()
    if across <= 0.0 or down <= 0.0 or abs(w / across - h / down) > 1e-6 * w / across:
        raise Refusal(
            f"The viewBox {view_box[:60]!r} does not have the shape of the page, {w:g} x {h:g} mm: sizes would be wrong."
        )
    scale = w / across
    return w, h, np.array([[scale, 0.0, -scale * left], [0.0, scale, -scale * top], [0.0, 0.0, 1.0]])


def _page_length(text: str | None, name: str) -> float:
    found = _PAGE_LENGTH.fullmatch(text or "")
    if found is None:
        raise Refusal(
            f"The file's {name} is {text!r}: a pattern file says it in mm, cm or in, or its size is not known."
        )
    mm = float(found[1]) * _MM[found[2]]
    if not 0.0 < mm <= LONGEST_PAGE:
        raise Refusal(f"The file's {name} is {text!r}: it must be more than 0 and at most {LONGEST_PAGE:g} mm.")
    return mm


def transform(text: str | None, what: str) -> Matrix:
    """Return the 3 x 3 matrix of a transform attribute (SVG 1.1, chapter 7.6); the identity when there is none.

    Raises:
        Refusal: anything in it that is not one of the six functions with the right count of numbers.

    """
    matrix, words_left, here, count = IDENTITY, (text or "").strip(), 0, 0
    while here < len(words_left):
        found = _FUNCTION.match(words_left, here)
        count += 1
        if found is None or count > MOST_FUNCTIONS:
            raise Refusal(
                f"The transform of {what} cannot be read at {words_left[here : here + 40]!r}: write it again."
            )
        words = [word for word in re.split(_SEPARATOR, found[2].strip()) if word]
        numbers = [pure_number(word, f"transform of {what}") for word in words]
        with np.errstate(over="ignore", invalid="ignore"):
            matrix = matrix @ _function(found[1], numbers, what)
        here = found.end()
    if not (np.abs(matrix) <= 1e9).all() or abs(np.linalg.det(matrix)) < 1e-12:
        raise Refusal(f"The transform of {what} makes it flat or boundless: remove it.")
    return matrix


def _function(name: str, n: list[float], what: str) -> Matrix:
    if name == "matrix" and len(n) == 6:
        return np.array([[n[0], n[2], n[4]], [n[1], n[3], n[5]], [0.0, 0.0, 1.0]])
    if name == "translate" and len(n) in (1, 2):
        return _affine(1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) == 2 else 0.0)
    if name == "scale" and len(n) in (1, 2):
        return _affine(n[0], 0.0, 0.0, n[-1], 0.0, 0.0)
    if name == "rotate" and len(n) in (1, 3):
        turn, (x, y) = math.radians(n[0]), n[1:] or (0.0, 0.0)
        about = _affine(math.cos(turn), math.sin(turn), -math.sin(turn), math.cos(turn), 0.0, 0.0)
        return _affine(1, 0, 0, 1, x, y) @ about @ _affine(1, 0, 0, 1, -x, -y)
    if name in ("skewX", "skewY") and len(n) == 1:
        slope = math.tan(math.radians(n[0]))
        return _affine(1, 0, slope, 1, 0, 0) if name == "skewX" else _affine(1, slope, 0, 1, 0, 0)
    raise Refusal(
        f"The transform {name} of {what} has {len(n)} numbers, which is not a count it can have: write it again."
    )


def _affine(a: float, b: float, c: float, d: float, e: float, f: float) -> Matrix:
    return np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]])


def apply(matrix: Matrix, points: ArrayLike) -> NDArray[np.float64]:
    """Return the points (n, 2) moved by an affine matrix.

    Raises:
        Refusal: a point that is not finite, or farther out than ``FARTHEST``.

    """
    with np.errstate(over="ignore", invalid="ignore"):
        moved = np.asarray(points, dtype=np.float64) @ matrix[:2, :2].T + matrix[:2, 2]
    if not (np.abs(moved) <= FARTHEST).all():
        raise Refusal(f"The file draws farther out than {FARTHEST / 1e6:g} km: check its numbers and transforms.")
    return np.asarray(moved, dtype=np.float64)


def scale_of(matrix: Matrix) -> float:
    """Return how much longer the matrix makes a length, on the whole: the root of its determinant."""
    return float(math.sqrt(abs(np.linalg.det(matrix[:2, :2]))))
