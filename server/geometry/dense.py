"""Equal chords on a line of very many short straight segments, all at once.

The positions s_i and the chord c are the unknowns of |P(s_i+1) - P(s_i)| = c for every step; Newton's method, whose matrix
has two diagonals and one full column, finds them in a few rounds. What is found is held to be what dividers mark: each point is
the first place where the line leaves the circle about the one before. Where that is not so the caller steps one by one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_banded

from server.geometry.path import Line, Path

Array = NDArray[np.float64]
LEAST_SEGMENTS = 400
"""Below so many segments in a span stepping one by one is as fast."""
_ROUNDS = 20
_EXACT = 2e-11
"""mm: how equal the chords must become."""


@dataclass(frozen=True)
class Dense:
    """A path of straight lines as arrays: its knots (m + 1, 2) mm and where they lie along it (m + 1,) mm."""

    knots: Array
    along: Array

    @cached_property
    def units(self) -> Array:
        """Direction of each segment, (m, 2)."""
        steps = np.diff(self.knots, axis=0)
        return np.asarray(steps / np.hypot(*steps.T)[:, None])

    def at(self, places: Array) -> tuple[Array, Array]:
        """Return the points (n, 2) mm and the directions (n, 2) at places (n,) mm along."""
        index = np.clip(np.searchsorted(self.along, places, "right") - 1, 0, len(self.units) - 1)
        rest = places - self.along[index]
        return self.knots[index] + self.units[index] * rest[:, None], self.units[index]


def dense(path: Path) -> Dense | None:
    """Return a path of straight lines as arrays; None for one with arcs, or with a segment of no length."""
    if not all(isinstance(segment, Line) for segment in path.segments):
        return None
    knots = np.array([segment.start for segment in path.segments] + [path.end])
    along = np.array([*path.starts, path.length])
    return Dense(knots, along) if np.diff(along).min() > 0.0 else None


def equal_chords(line: Dense, begin: float, end: float, count: int) -> tuple[float, list[float]] | None:
    """Return the chord and the count + 1 positions of equal chords from begin to end, mm; None where stepping must find them."""
    places = np.linspace(begin, end, count + 1)
    chord = (end - begin) / count
    for _ in range(_ROUNDS):
        points, directions = line.at(places)
        steps = np.diff(points, axis=0)
        lengths = np.hypot(*steps.T)
        if np.abs(lengths - lengths.mean()).max() <= _EXACT:
            chord = float(lengths.mean())
            return (chord, places.tolist()) if _first_left(line, places, points, chord) else None
        moves = _newton(steps / lengths[:, None], directions, lengths - chord)
        if moves is None:
            return None
        places[1:-1] += moves[:-1]
        chord += float(moves[-1])
        if np.diff(places).min() <= 0.0:
            return None
    return None


def _newton(ways: Array, directions: Array, over: Array) -> Array | None:
    """How to move the inner positions, and the chord at last: each step's length changes by its ends' moves along the line."""
    count = len(over)
    ahead, behind = (ways * directions[1:]).sum(axis=1), (ways * directions[:-1]).sum(axis=1)
    if np.abs(ahead).min() < 1e-6:
        return None
    bands = np.zeros((2, count))
    bands[0], bands[1, :-1] = ahead, -behind[1:]
    found = solve_banded((1, 0), bands, np.column_stack((-over, np.ones(count))))
    if not np.isfinite(found).all() or found[-1, 1] == 0.0:
        return None
    chord = -found[-1, 0] / found[-1, 1]
    moves = found[:, 0] + chord * found[:, 1]
    moves[-1] = chord
    return np.asarray(moves)


def _first_left(line: Dense, places: Array, points: Array, chord: float) -> bool:
    """Whether every knot between two positions lies inside the circle about the first: so the second is where the line leaves it."""
    inner = (line.along > places[0]) & (line.along < places[-1])
    step = np.searchsorted(places, line.along[inner], "right") - 1
    apart = np.hypot(*(line.knots[inner] - points[step]).T)
    return bool((apart <= chord + _EXACT).all())
