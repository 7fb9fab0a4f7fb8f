"""The check figure: a square with diagonals, where it lies, and what a rule should read on it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from server.errors import Refusal
from server.output.scene import CHECK_SIZES, check_corners

__all__ = ["CHECK_SIZES", "CORNERS", "LINES", "SIZES", "corner_places", "lengths", "line_ends", "middle", "nominal"]

SIZES = (600.0, 500.0, 400.0, 300.0, 200.0, 150.0, 100.0)
"""Sides that the pages offer, mm, the largest first."""

CORNERS = ("top-left", "top-right", "bottom-right", "bottom-left")
"""The corners in the order in which the scene gives them."""

LINES: Mapping[str, tuple[str, str]] = {
    "top": ("top-left", "top-right"),
    "bottom": ("bottom-left", "bottom-right"),
    "left": ("top-left", "bottom-left"),
    "right": ("top-right", "bottom-right"),
    "diagonal-down": ("top-left", "bottom-right"),
    "diagonal-up": ("bottom-left", "top-right"),
}
"""What a rule can be laid along: from which corner to which."""


def nominal(size: float) -> dict[str, float]:
    """Return what the rule should read along each line of a square of ``size`` mm."""
    return {name: size * (2**0.5 if name.startswith("diagonal") else 1.0) for name in LINES}


def middle(bench: Bench, height: float) -> Array:
    """Return where the middle of the picture lands at ``height`` mm, (2,) table mm: there the figure lies."""
    return np.asarray(bench.to_table(np.array([bench.picture]) / 2.0, height)[0])


def corner_places(bench: Bench, size: float, height: float) -> Array:
    """Return the corners in the order of ``CORNERS``, (4, 2) table mm.

    Raises:
        Refusal: the square does not lie within the picture; the sentence names the largest one that does.

    """
    places = _square(bench, size, height)
    if not _inside(bench, places, height):
        fitting = (side for side in SIZES if _inside(bench, _square(bench, side, height), height))
        advice = next((f"choose {side:g} mm" for side in fitting), "aim the projector at more of the table")
        raise Refusal(f"A square of {size:g} mm is larger than the picture on the table: {advice}.", field="size")
    return places


def _square(bench: Bench, size: float, height: float) -> Array:
    return middle(bench, height) + check_corners(size)


def _inside(bench: Bench, places: Array, height: float) -> bool:
    picture = bench.to_picture(places, height)
    return bool((picture >= 0).all() and (picture <= np.array(bench.picture)).all())


def line_ends(corners: Array) -> dict[str, tuple[Array, Array]]:
    """Return the two ends of each line, given the corners (4, 2) in the order of ``CORNERS``."""
    at = dict(zip(CORNERS, corners, strict=True))
    return {name: (at[start], at[end]) for name, (start, end) in LINES.items()}


def lengths(corners: Array) -> dict[str, float]:
    """Return the length of each line, given where the corners (4, 2) lie, mm."""
    return {name: float(np.hypot(*(end - start))) for name, (start, end) in line_ends(corners).items()}
