"""Where the witness crosses of a joint go: in both spans' light, far apart, and where a pencil or an awl does no harm."""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np

from calibration.arrays import Array
from server.geometry.nearness import distances
from server.geometry.region import inside
from server.leather.piece import Piece

Ground: TypeAlias = Literal["waste", "piece"]
GROUNDS: tuple[Ground, ...] = ("waste", "piece")
"""Where crosses go: on the leather beside the piece, which is cut away; or on the piece, away from its lines."""

CLEAR_MM = 4.0
"""A cross keeps this far from every line and hole of the piece, mm."""
OUTSIDE_MM = (6.0, 12.0)
"""A cross on the waste lies so far outside the cut, least and most, mm: clear of the knife, on leather that is surely there."""
INSET_MM = 6.0
"""And so far from the ends of what both spans light, mm."""
APART_MM = 20.0
"""Two crosses of a joint are no nearer than this, mm."""
MOST_TRIED = 300


def marks(piece: Piece, along: str, both: tuple[float, float], ground: Ground, count: int) -> list[tuple[float, float]]:
    """Return up to ``count`` places (mm) on a piece for crosses between ``both`` along it.

    The two farthest apart come first, then those that hold the turn best. Fewer than two where there is no room for them.
    """
    places = _tried(piece, along, both, ground)
    places = places[_free(piece, places, ground)] if len(places) else places
    if len(places) < 2:
        return []
    chosen = _farthest(places)
    while len(chosen) < min(count, len(places)):
        chosen.append(_best_next(places, chosen))
    return [(float(x), float(y)) for x, y in np.round(places[chosen], 2)]


def _farthest(places: Array) -> list[int]:
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    first, second = np.unravel_index(int(apart.argmax()), apart.shape)
    return [int(first), int(second)]


def _best_next(places: Array, chosen: list[int]) -> int:
    """Return which place, with those chosen, holds the turn best: the sum of squares about their middle is the largest.

    Of places that are equal in that, the one farthest from those chosen: two crosses on one spot are one.
    """
    away = np.hypot(*(places[:, None] - places[chosen][None]).transpose(2, 0, 1)).min(axis=1)
    middle, count = places[chosen].mean(axis=0), len(chosen)
    gain = ((places - middle) ** 2).sum(axis=1) * count / (count + 1)
    return int(np.where(away >= APART_MM, gain, -1.0).argmax())


def _tried(piece: Piece, along: str, both: tuple[float, float], ground: Ground) -> Array:
    """Return a grid of places (n, 2) between both ends, over the piece's width, and beside it for the waste."""
    left, top, right, bottom = piece.box()
    low, high = (left, right) if along == "y" else (top, bottom)
    beside = OUTSIDE_MM[1] if ground == "waste" else 0.0
    begin, end = both[0] + INSET_MM, both[1] - INSET_MM
    if end - begin < 4.0 * INSET_MM:
        return np.zeros((0, 2))
    rows = np.linspace(begin, end, 15)
    columns = np.linspace(low - beside, high + beside, MOST_TRIED // 15)
    run, across = np.meshgrid(rows, columns)
    pair = (across, run) if along == "y" else (run, across)
    return np.column_stack([part.ravel() for part in pair])


def _free(piece: Piece, places: Array, ground: Ground) -> Array:
    """Return which places (n,) do no harm."""
    within, edge = inside(piece.outline.flatten(0.1), places), distances(places, piece.outline)
    if ground == "waste":
        return np.asarray(~within & (edge >= OUTSIDE_MM[0]) & (edge <= OUTSIDE_MM[1]))
    free = within & (edge >= CLEAR_MM)
    for drawn in piece.drawn[1:]:
        if drawn.name != "centre":
            free &= distances(places, drawn.path) >= CLEAR_MM
    for hole in piece.holes:
        free &= np.hypot(places[:, 0] - hole.x, places[:, 1] - hole.y) >= CLEAR_MM
    return np.asarray(free)
