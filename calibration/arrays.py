"""Array types and the checks every room of the optics makes at its door."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal

Array: TypeAlias = NDArray[np.float64]
Numbers: TypeAlias = "Array | Sequence[Sequence[float]]"


def as_points(points: Numbers, what: str) -> Array:
    """Return ``points`` as a float array of shape (n, 2).

    Args:
        points: n pairs of numbers, any unit.
        what: the name to use in the refusal.

    Raises:
        Refusal: when the shape is not (n, 2) or a number is not finite.

    """
    array = np.asarray(points, dtype=np.float64)
    if array.ndim != 2 or array.shape[1] != 2:
        raise Refusal(f"The {what} must be pairs of numbers (x, y); got an array of shape {array.shape}.")
    if not np.isfinite(array).all():
        first = int(np.flatnonzero(~np.isfinite(array).all(axis=1))[0])
        raise Refusal(f"The {what} hold a number that is not finite at place {first + 1}; give plain numbers.")
    return array


def solve2(matrices: Array, vectors: Array) -> Array:
    """Solve n systems of two equations: ``matrices`` (n, 2, 2), ``vectors`` (n, 2, k); returns (n, 2, k)."""
    a, b = matrices[:, 0, 0], matrices[:, 0, 1]
    c, d = matrices[:, 1, 0], matrices[:, 1, 1]
    inverse = np.stack([np.stack([d, -b], -1), np.stack([-c, a], -1)], 1) / (a * d - b * c)[:, None, None]
    return np.asarray(inverse @ vectors)
