"""Points stepped off along a path at equal chords, as dividers and rigid tines do.

Between fixed points (ends and sharp corners) the chord is eased until a whole number of equal chords fits exactly.
Chords, not arc lengths: on a curve of radius 20 mm an arc of 5 mm has a chord of 4.987 mm, and dividers set the chord.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from calibration.refusal import Refusal
from server.geometry.path import Line, Path

CHORD_TOLERANCE = 1e-9
"""mm: how equal the chords of one span are."""
SHORTEST = 0.05
"""mm: the least chord that is stepped off."""
MOST_STEPS = 20_000
_SHORTEST_SHARE = 0.3
"""A chord is never looked for below this share of its arc: a half circle has 2/pi."""


@dataclass(frozen=True)
class Spacing:
    """What dividers mark on a path.

    Attributes:
        points: (n, 2) mm, in the order of the path. A closed path does not repeat its first point.
        positions: (n,) mm along the path.
        angles: (n,) degrees, direction of the path at each point, the bisector at a sharp corner.
        chords: the chord of each span between fixed points, mm.
        fixed: the index in `points` of each fixed point inside the path (its sharp corners).

    """

    points: NDArray[np.float64]
    positions: NDArray[np.float64]
    angles: NDArray[np.float64]
    chords: tuple[float, ...]
    fixed: tuple[int, ...]


def step_off(path: Path, pitch: float) -> Spacing:
    """Step a path off at equal chords as near to `pitch` mm as a whole number between its fixed points allows.

    Raises:
        Refusal: a pitch that is not a number of at least 0.05 mm, or is too long for the path or for its curves.

    """
    if not (math.isfinite(pitch) and pitch >= SHORTEST):
        raise Refusal(f"A pitch of {pitch:.6g} mm cannot be stepped off: choose at least {SHORTEST} mm.", field="pitch")
    if path.length / pitch > MOST_STEPS:
        raise Refusal(
            f"A pitch of {pitch:.6g} mm gives more than {MOST_STEPS} holes: choose a longer pitch.", field="pitch"
        )
    bounds = sorted({0.0, *path.corners(), path.length})
    positions, chords, fixed = [0.0], [], []
    for begin, end in itertools.pairwise(bounds):
        count = _count(path, end - begin, pitch)
        chord, stepped = equal_chords(path, begin, end, count)
        positions.extend(stepped[1:])
        chords.append(chord)
        fixed.append(len(positions) - 1)
    if path.closed:
        positions.pop()
    return _spacing(path, positions, tuple(chords), tuple(fixed[:-1]))


def _count(path: Path, length: float, pitch: float) -> int:
    count = max(1, round(length / pitch))
    if path.closed and count < 3:
        raise Refusal(
            f"A pitch of {pitch:.6g} mm is too long for a ring of {length:.6g} mm: shorten it.", field="pitch"
        )
    return count


def equal_chords(path: Path, begin: float, end: float, count: int) -> tuple[float, list[float]]:
    """Return the chord (mm) and the count + 1 positions (mm along the path) of equal chords from begin to end.

    The chord is the root of "where do `count` steps end?" minus `end`; each step is an exact intersection of a
    circle with a line or an arc. Every chord agrees to 1e-9 mm.

    Raises:
        Refusal: a curve too tight for the step.

    """
    mean = (end - begin) / count

    def overshoot(chord: float) -> float:
        return _walk(path, begin, end, chord, count)[-1] - end

    chord = mean if abs(overshoot(mean)) < 1e-10 else _root(overshoot, mean)
    positions = _walk(path, begin, end, chord, count)
    if abs(positions[-1] - end) > CHORD_TOLERANCE or any(s > end for s in positions[:-1]):
        raise _too_tight(mean)
    positions[-1] = end
    if abs(math.dist(path.point_at(positions[-2]), path.point_at(end)) - chord) > CHORD_TOLERANCE:
        raise _too_tight(mean)
    return chord, positions


def _root(overshoot: Callable[[float], float], mean: float) -> float:
    if overshoot(_SHORTEST_SHARE * mean) > 0.0 or overshoot(mean) < 0.0:
        raise _too_tight(mean)
    return float(brentq(overshoot, _SHORTEST_SHARE * mean, mean, xtol=1e-14, rtol=1e-15))


def _too_tight(step: float) -> Refusal:
    return Refusal(
        f"A curve is too tight for holes {step:.3g} mm apart: shorten the pitch or widen the curve.", field="pitch"
    )


def _walk(path: Path, begin: float, end: float, chord: float, count: int) -> list[float]:
    """Return count + 1 positions, `chord` apart; steps past the end go straight on along the last direction."""
    positions = [begin]
    index, rest = path.locate(begin)
    last, _ = path.locate(end)
    if path.starts[last] == end and last > 0:
        last -= 1
    beyond = _beyond(path, last)
    here = path.point_at(begin)
    for _ in range(count):
        found = None
        while index <= last:
            found = path.segments[index].first_at(here, chord, rest)
            if found is not None:
                break
            index, rest = index + 1, 0.0
        if found is None:
            positions.extend(_straight_on(beyond, here, chord, end, count + 1 - len(positions)))
            return positions
        rest = found
        here = path.segments[index].at(rest)
        positions.append(path.starts[index] + rest)
    return positions


def _beyond(path: Path, last: int) -> Line:
    """The straight line that goes on from the end of a segment, for as long as any walk needs."""
    segment = path.segments[last]
    (x, y), (dx, dy) = segment.end, segment.direction(segment.length)
    far = 4.0 * path.length + 1.0
    return Line((x, y), (x + dx * far, y + dy * far))


def _straight_on(beyond: Line, here: tuple[float, float], chord: float, end: float, count: int) -> list[float]:
    first = beyond.first_at(here, chord, 0.0)
    start = 0.0 if first is None else first
    return [end + start + i * chord for i in range(count)]


def _spacing(path: Path, positions: list[float], chords: tuple[float, ...], fixed: tuple[int, ...]) -> Spacing:
    points = np.array([path.point_at(s) for s in positions], dtype=np.float64)
    angles = np.array([path.direction_at(s) for s in positions], dtype=np.float64)
    return Spacing(points, np.array(positions, dtype=np.float64), angles, chords, fixed)
