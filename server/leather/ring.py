"""A ring of stitches, round a slot say, beside a seam that is already stepped off: no hole crowds another.

Where the ring runs through holes of the seam it shares them. Elsewhere it is turned (its start moves along it) until the
nearest holes of ring and seam are as far apart as they can be, and a symmetrical start is kept where that is enough.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from calibration.refusal import Refusal
from server.geometry.cut import project, started_at
from server.geometry.path import Path, Point
from server.geometry.spacing import LEAST_SHARE, SHARP_DEGREES, bounds_of, check_pitch, equal_chords, step_between
from server.leather.norms import TINE_TOLERANCE
from server.leather.piece import Hole
from server.leather.stitch import StitchLine, of_spacing

SAME_HOLE = TINE_TOLERANCE.value
"""mm: where the ring passes a hole of the seam this near, it goes through that hole."""
_TOUCH = 1e-6
_LEAST_FREE = 3
"""Stitches: a shorter stretch between two shared holes keeps its count."""
_TURNS = 12
_GOLDEN = 0.6180339887498949
_REFINE = 10


@dataclass(frozen=True)
class Ring:
    """A ring beside a seam.

    Attributes:
        line: the ring's holes.
        shared: (hole of the ring, hole of the seam) for each hole that is one.
        nearest: mm between the two nearest holes that are not one; infinite where there is no seam.
        sentence: what to say when they are nearer than 60 % of the pitch, else None.

    """

    line: StitchLine
    shared: tuple[tuple[int, int], ...]
    nearest: float
    sentence: str | None


def ring_line(path: Path, pitch: float, name: str, beside: ArrayLike = ()) -> Ring:
    """Step a ring off beside the holes of other lines.

    Args:
        path: closed, mm; its start is the place where a hole is liked best.
        pitch: mm.
        name: of the seam.
        beside: (m, 2) mm, holes of the lines it runs beside or through.

    Raises:
        Refusal: an open path, or a pitch too long for it.

    """
    if not path.closed:
        raise Refusal("A ring of stitches needs a closed line.", field="pitch")
    check_pitch(path, pitch)
    others = np.asarray(beside, dtype=np.float64).reshape(-1, 2)
    shared = _shared_places(path, others)
    if shared:
        line = _through(path, pitch, name, shared, others)
    elif path.corners(SHARP_DEGREES) or len(others) == 0:
        line = _stepped(path, pitch, name)
    else:
        line = _turned(path, pitch, name, others)
    return _ring(line, pitch, others)


def _ring(line: StitchLine, pitch: float, others: NDArray[np.float64]) -> Ring:
    same, nearest = _apart(line, others)
    sentence = None
    if nearest < LEAST_SHARE * pitch - 1e-9:
        name = line.holes[0].seam
        way = f"keep the lines {LEAST_SHARE * pitch:.1f} mm apart, let them meet in a sharper corner, or shorten the pitch"
        sentence = f"A hole of {name} comes within {nearest:.1f} mm of a hole of the seam beside it: {way}."
    return Ring(line, same, nearest, sentence)


def _apart(line: StitchLine, others: NDArray[np.float64]) -> tuple[tuple[tuple[int, int], ...], float]:
    """Which holes are one, and how near (mm) the nearest two are that are not."""
    apart = np.hypot(*(line.points[:, None, :] - others[None, :, :]).transpose(2, 0, 1))
    same = np.argwhere(apart <= _TOUCH)
    apart[same[:, 0], :] = np.inf
    apart[:, same[:, 1]] = np.inf
    return tuple((int(i), int(j)) for i, j in same), float(apart.min(initial=np.inf))


def _shared_places(path: Path, others: NDArray[np.float64]) -> dict[float, Point]:
    """Where along the ring it passes holes of the seam, and where those are."""
    places: dict[float, Point] = {}
    for x, y in others.tolist():
        s, apart = project(path, (x, y))
        if apart <= SAME_HOLE:
            places[s % path.length] = (x, y)
    return dict(sorted(places.items()))


def _through(
    path: Path, pitch: float, name: str, places: dict[float, Point], others: NDArray[np.float64]
) -> StitchLine:
    """The ring through the shared places: it starts in the first, and has whole numbers of stitches between them.

    Where a hole would be crowded a stitch more or less in each free stretch is tried.
    """
    start = next(iter(places))
    ring = started_at(path, start)
    shared = {s - start: place for s, place in places.items()}
    corners = [
        s for s in ring.corners(SHARP_DEGREES) if min(abs(s - b) for b in (*shared, ring.length)) >= LEAST_SHARE * pitch
    ]
    bounds = sorted([*shared, *corners, ring.length])
    wished = [max(1, round((b - a) / pitch)) for a, b in itertools.pairwise(bounds)]
    if sum(wished) < 3:
        raise _too_long(path, pitch)
    found = []
    for more in (0, 1, -1):
        counts = [count + more if count + more > _LEAST_FREE else count for count in wished]
        found.append(_snapped(of_spacing(ring, step_between(ring, bounds, counts), name), shared))
        if _apart(found[-1], others)[1] >= LEAST_SHARE * pitch:
            return found[-1]
    return max(found, key=lambda line: _apart(line, others)[1])


def _snapped(line: StitchLine, shared: dict[float, Point]) -> StitchLine:
    """The line with its shared holes exactly where the seam has them."""
    holes = tuple(
        Hole(*shared[s], hole.angle, hole.seam, hole.slant) if s in shared else hole
        for s, hole in zip(line.positions, line.holes, strict=True)
    )
    return StitchLine(line.path, holes, line.positions, line.chords)


def _stepped(path: Path, pitch: float, name: str) -> StitchLine:
    bounds = bounds_of(path, pitch)
    counts = [max(1, round((b - a) / pitch)) for a, b in itertools.pairwise(bounds)]
    if sum(counts) < 3:
        raise _too_long(path, pitch)
    return of_spacing(path, step_between(path, bounds, counts), name)


def _turned(path: Path, pitch: float, name: str, others: NDArray[np.float64]) -> StitchLine:
    """The ring turned to where it crowds the others least; at its own start, or half a stitch on, where that will do."""
    count = round(path.length / pitch)
    if count < 3:
        raise _too_long(path, pitch)
    step = path.length / count
    room = [other for other in others if project(path, (float(other[0]), float(other[1])))[1] < pitch]
    if not room:
        return _at(path, 0.0, count, name)
    near = np.array(room)

    def score(s: float) -> float:
        return _clearance(_at(path, s, count, name), near)

    for s in (0.0, _half_step(path, count)):
        if score(s) >= LEAST_SHARE * pitch:
            return _at(path, s, count, name)
    best = max((step * i / _TURNS for i in range(_TURNS)), key=score)
    return _at(path, _golden(score, best - step / _TURNS, best + step / _TURNS), count, name)


def _half_step(path: Path, count: int) -> float:
    """The start that puts a stitch astride the ring's own start."""
    _, positions = equal_chords(path, 0.0, path.length, count)
    return positions[1] / 2.0


def _at(path: Path, s: float, count: int, name: str) -> StitchLine:
    ring = started_at(path, s % path.length)
    return of_spacing(ring, step_between(ring, (0.0, ring.length), (count,)), name)


def _clearance(line: StitchLine, others: NDArray[np.float64]) -> float:
    points = line.points
    return float(np.hypot(*(points[:, None, :] - others[None, :, :]).transpose(2, 0, 1)).min())


def _golden(score: Callable[[float], float], low: float, high: float) -> float:
    """The place of the greatest score between low and high, by golden section."""
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    fa, fb = score(a), score(b)
    for _ in range(_REFINE):
        if fa > fb:
            high, b, fb = b, a, fa
            a = high - _GOLDEN * (high - low)
            fa = score(a)
        else:
            low, a, fa = a, b, fb
            b = low + _GOLDEN * (high - low)
            fb = score(b)
    return (low + high) / 2.0


def _too_long(path: Path, pitch: float) -> Refusal:
    return Refusal(
        f"A pitch of {pitch:.6g} mm is too long for a ring of {path.length:.6g} mm: shorten it.", field="pitch"
    )
