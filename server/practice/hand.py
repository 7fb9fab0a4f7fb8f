"""Takes sightings of the practice bench as a person would, with a hand's noise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

import numpy as np

from server.practice.projector import Array, TrueProjector

MARK_SIGMA_MM = 0.25
"""How surely a hand places or reads a mark, mm in x and in y (common practice, no source)."""

TAPE_SIGMA_MM = 0.3
"""How surely a hand reads a tape between two crosses, mm (common practice, no source)."""

RULE_SIGMA_MM = 0.2
"""How surely a steel rule is read, both ends together, mm (common practice, no source)."""

DOT_SIGMA_MM = 0.15
"""How truly a fine pencil dot is put into the middle of a cross of light, mm in x and in y (common practice, no source)."""

AIM_SIGMA_MM = 0.2
"""How truly a cross-hair is brought onto a corner, mm in x and in y (common practice, no source)."""

BLOCK_MM = 100.0
"""Height of the block that the practice workshop has at hand, mm."""

TAPE_CROSSES, TAPE_DISTANCES = 9, 26
"""Crosses and distances that the practice hand tapes: all but ten of the pairs."""

Crosses = Mapping[str, Sequence[float]]


class Hand:
    """A hand with its noise; ``random`` gives the noise."""

    def __init__(self, projector: TrueProjector, random: np.random.Generator) -> None:
        self._projector, self._random = projector, random

    def marks(self, crosses: Crosses) -> list[dict[str, Any]]:
        """Return where every cross was seen on the table: rows of known marks."""
        return self._positions(crosses, 0.0)

    def block(self, crosses: Crosses) -> list[dict[str, Any]]:
        """Return where the four corner crosses were seen on top of the block: rows of known marks."""
        return self._positions({name: crosses[name] for name in corners(crosses)}, BLOCK_MM)

    def block_tape(self, crosses: Crosses) -> list[dict[str, Any]]:
        """Return the distances between the four corner crosses, each on a block: rows of distances."""
        return self._distances(list(combinations(corners(crosses), 2)), crosses, BLOCK_MM)

    def tape(self, crosses: Crosses) -> list[dict[str, Any]]:
        """Return distances between crosses spread over the picture, the longest first: rows of distances."""
        pairs = combinations(spread(crosses, TAPE_CROSSES), 2)
        longest = sorted(pairs, key=lambda pair: -_apart(crosses, pair))
        return self._distances(_most_even(longest, TAPE_DISTANCES), crosses, 0.0)

    def dots(self, pixels: Crosses) -> dict[str, list[float]]:
        """Return where a pencil dot was really put on the table for each cross of light, mm."""
        landed = self._projector.land(_places(pixels, list(pixels)))
        put = landed + self._random.normal(0.0, DOT_SIGMA_MM, landed.shape)
        return {name: _rounded(place) for name, place in zip(pixels, put, strict=True)}

    def nudges(self, dots: Crosses, start: Crosses) -> dict[str, list[float]]:
        """Return where each cross was moved to, by whole pixels from ``start``, until it lay on its dot on the table.

        No cross goes beyond the picture: there the hand stops short of the dot.
        """
        names = list(dots)
        places = _places(dots, names)
        seen = places + self._random.normal(0.0, MARK_SIGMA_MM, places.shape)
        began = _places(start, names)
        stopped = began + np.rint(self._projector.aim(seen) - began)
        inside = np.clip(stopped, 0.0, np.array(self._projector.picture, dtype=np.float64))
        return dict(zip(names, inside.tolist(), strict=True))

    def aimed(self, place: Array, height: float) -> tuple[float, float]:
        """Return the picture px at which the cross-hair lies on a place (1, 2) mm at ``height``, moved by tenths of a pixel."""
        seen = place + self._random.normal(0.0, AIM_SIGMA_MM, place.shape)
        u, v = np.round(self._projector.aim(seen, height)[0], 1).tolist()
        return u, v

    def rule(self, lengths: Mapping[str, float]) -> dict[str, float]:
        """Return what a steel rule reads for true lengths, mm, to a tenth."""
        return {name: round(float(self._random.normal(true, RULE_SIGMA_MM)), 1) for name, true in lengths.items()}

    def _positions(self, crosses: Crosses, height: float) -> list[dict[str, Any]]:
        landed = self._projector.land(_places(crosses, list(crosses)), height)
        seen = landed + self._random.normal(0.0, MARK_SIGMA_MM, landed.shape)
        return [
            {"cross": name, "at": _rounded(place), "height": height, "sigma": MARK_SIGMA_MM}
            for name, place in zip(crosses, seen, strict=True)
        ]

    def _distances(self, pairs: Sequence[tuple[str, str]], crosses: Crosses, height: float) -> list[dict[str, Any]]:
        starts = self._projector.land(_places(crosses, [start for start, _ in pairs]), height)
        ends = self._projector.land(_places(crosses, [end for _, end in pairs]), height)
        read = np.linalg.norm(ends - starts, axis=1) + self._random.normal(0.0, TAPE_SIGMA_MM, len(pairs))
        return [
            {"from": start, "to": end, "length": round(float(length), 1), "height": height, "sigma": TAPE_SIGMA_MM}
            for (start, end), length in zip(pairs, read, strict=True)
        ]


def corners(crosses: Crosses) -> list[str]:
    """Return the crosses nearest to the picture's four corners."""
    falling = sorted(crosses, key=lambda name: crosses[name][0] + crosses[name][1])
    rising = sorted(crosses, key=lambda name: crosses[name][0] - crosses[name][1])
    return sorted({falling[0], falling[-1], rising[0], rising[-1]})


def spread(crosses: Crosses, count: int) -> list[str]:
    """Return ``count`` crosses (or all, if fewer) far from each other: each next one the farthest from those chosen."""
    names = list(crosses)
    chosen = [min(names, key=lambda name: sum(crosses[name]))]
    while len(chosen) < min(count, len(names)):
        chosen.append(max(names, key=lambda name: min(_apart(crosses, (name, other)) for other in chosen)))
    return sorted(chosen)


def _most_even(pairs: Sequence[tuple[str, str]], count: int) -> list[tuple[str, str]]:
    """Return ``count`` of the pairs, so that every cross is in about as many: always the pair whose crosses have fewest."""
    left, uses = list(pairs), dict.fromkeys({name for pair in pairs for name in pair}, 0)
    taken: list[tuple[str, str]] = []
    while left and len(taken) < count:
        pair = min(left, key=lambda pair: uses[pair[0]] + uses[pair[1]])
        left.remove(pair)
        taken.append(pair)
        uses[pair[0]] += 1
        uses[pair[1]] += 1
    return taken


def _apart(crosses: Crosses, pair: tuple[str, str]) -> float:
    return float(np.hypot(*(np.asarray(crosses[pair[0]]) - np.asarray(crosses[pair[1]]))))


def _places(crosses: Crosses, names: Sequence[str]) -> Array:
    return np.array([crosses[name] for name in names], dtype=np.float64).reshape(-1, 2)


def _rounded(place: Array) -> list[float]:
    return [round(float(place[0]), 2), round(float(place[1]), 2)]
