"""Points stepped off along a path at equal chords, as dividers and rigid tines do.

Between fixed points (ends, sharp corners, and whatever the draft fixes) the chord is eased until a whole number of equal
chords fits exactly. Chords, not arc lengths: on a curve of radius 20 mm an arc of 5 mm has a chord of 4.987 mm, and
dividers set the chord.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from calibration.refusal import Refusal
from server.geometry.dense import LEAST_SEGMENTS, dense
from server.geometry.dense import equal_chords as at_once
from server.geometry.path import Line, Path, Point, Segment

CHORD_TOLERANCE = 1e-9
"""mm: how equal the chords of one span are."""
SHORTEST = 0.05
"""mm: the least chord that is stepped off."""
MOST_STEPS = 20_000
SHARP_DEGREES = 15.0
"""A turn larger than this is a sharp corner that gets a hole; a curve flattened finely stays below it."""
LEAST_SHARE = 0.6
"""Two fixed points nearer than this share of the pitch become one: leather tears between crowded holes."""
EASED_SHARE = 0.1
"""How far, as a share of the pitch, each of the last few chords may be eased when only they are."""
_FEW = 3
_MOST_BENDS = 12
_SAMPLES = 8
_CLOSE = 1e-10
"""mm: how near the last step must come to its fixed point."""
_SECANTS = 8
_SHORTEST_SHARE = 0.3
"""A chord is never looked for below this share of its arc: a half circle has 2/pi."""

Ease = Literal["whole", "last"]


@dataclass(frozen=True)
class Spacing:
    """What dividers mark on a path.

    Attributes:
        points: (n, 2) mm, in the order of the path. A closed path does not repeat its first point.
        positions: (n,) mm along the path.
        angles: (n,) degrees, direction of the path at each point, the bisector at a sharp corner.
        chords: the eased chord of each span between fixed points, mm; where only the last few are eased, theirs.
        fixed: the index in `points` of each fixed point inside the path (its sharp corners).

    """

    points: NDArray[np.float64]
    positions: NDArray[np.float64]
    angles: NDArray[np.float64]
    chords: tuple[float, ...]
    fixed: tuple[int, ...]


def step_off(
    path: Path, pitch: float, *, fixed: Sequence[float] = (), ease: Ease = "whole", corner: float = SHARP_DEGREES
) -> Spacing:
    """Step a path off at equal chords as near to `pitch` mm as a whole number between its fixed points allows.

    Args:
        path: open or closed; its ends, and its start when closed, are fixed points, and so are its sharp corners.
        pitch: mm.
        fixed: mm along the path of further fixed points (where a ply ends, where a ring meets).
        ease: "whole" eases every chord of a span alike; "last" keeps the pitch and eases the last few of each span.
        corner: degrees; a larger turn is a sharp corner.

    Fixed points nearer than 60 % of the pitch to each other become one half-way between them (an end stays where it is).
    A bend so tight that no equal chords go round it gets a hole like a corner.

    Raises:
        Refusal: a pitch that is not a number of at least 0.05 mm, or is too long for the path or for its curves.

    """
    check_pitch(path, pitch)
    bounds = bounds_of(path, pitch, fixed, corner)
    exact = pitch if ease == "last" else None
    for _ in range(_MOST_BENDS):
        try:
            return _stepped(path, bounds, pitch, exact)
        except Refusal:
            bends = _tight_bends(path, bounds, pitch, exact)
            if not bends:
                raise
            bounds = tuple(sorted([*bounds, *bends]))
    return _stepped(path, bounds, pitch, exact)


def _stepped(path: Path, bounds: Sequence[float], pitch: float, exact: float | None) -> Spacing:
    counts = [max(1, round((end - begin) / pitch)) for begin, end in itertools.pairwise(bounds)]
    if path.closed and sum(counts) < 3:
        raise Refusal(
            f"A pitch of {pitch:.6g} mm is too long for a ring of {path.length:.6g} mm: shorten it.", field="pitch"
        )
    spacing = step_between(path, bounds, counts, exact)
    fewer = [
        n - 1 if n > 1 and chord < LEAST_SHARE * pitch else n for n, chord in zip(counts, spacing.chords, strict=True)
    ]
    return spacing if fewer == counts or (sum(fewer) < 3 and path.closed) else step_between(path, bounds, fewer, exact)


def _tight_bends(path: Path, bounds: Sequence[float], pitch: float, exact: float | None) -> list[float]:
    """The tightest place of each span that cannot be stepped off: like a sharp corner, it gets a hole."""
    found = []
    for begin, end in itertools.pairwise(bounds):
        count = max(1, round((end - begin) / pitch))
        try:
            equal_chords(path, begin, end, count) if exact is None else last_eased(path, begin, end, count, exact)
        except Refusal:
            found.append(_tightest(path, begin, end, pitch))
    return [place for place in found if place is not None]


def _tightest(path: Path, begin: float, end: float, pitch: float) -> float | None:
    """The middle of where a span turns most within half a pitch, or None when that is too near its ends for a hole of its own."""
    places = np.arange(begin + LEAST_SHARE * pitch, end - LEAST_SHARE * pitch, pitch / (2 * _SAMPLES))
    if len(places) <= _SAMPLES:
        return None
    angles = np.radians([path.direction_at(float(s)) for s in places])
    turns = np.abs(np.angle(np.exp(1j * np.diff(angles))))
    within = np.convolve(turns, np.ones(_SAMPLES), "valid")
    first = int(np.argmax(within))
    lower = np.flatnonzero(within[first:] < within[first] - 1e-6)
    last = first + int(lower[0]) - 1 if len(lower) else len(within) - 1
    return float((places[first] + places[last + _SAMPLES]) / 2.0)


def step_between(path: Path, bounds: Sequence[float], counts: Sequence[int], exact: float | None = None) -> Spacing:
    """Step off a path with a given number of chords between given fixed points.

    Args:
        path: open or closed.
        bounds: mm along the path, ascending, from 0 to its length.
        counts: chords of each span, one fewer than bounds.
        exact: mm; when given, all but the last few chords of each span are this long.

    Raises:
        Refusal: a curve too tight for the step.

    """
    positions, chords, fixed = [0.0], [], []
    for (begin, end), count in zip(itertools.pairwise(bounds), counts, strict=True):
        chord, stepped = (
            equal_chords(path, begin, end, count) if exact is None else last_eased(path, begin, end, count, exact)
        )
        positions.extend(stepped[1:])
        chords.append(chord)
        fixed.append(len(positions) - 1)
    if path.closed:
        positions.pop()
    return spacing_at(path, positions, tuple(chords), tuple(fixed[:-1]))


def check_pitch(path: Path, pitch: float) -> None:
    """Refuse a pitch that is not a number of at least 0.05 mm, or that gives more than 20,000 holes on the path."""
    if not (math.isfinite(pitch) and pitch >= SHORTEST):
        raise Refusal(f"A pitch of {pitch:.6g} mm cannot be stepped off: choose at least {SHORTEST} mm.", field="pitch")
    if path.length / pitch > MOST_STEPS:
        raise Refusal(
            f"A pitch of {pitch:.6g} mm gives more than {MOST_STEPS} holes: choose a longer pitch.", field="pitch"
        )


def bounds_of(
    path: Path, pitch: float, fixed: Sequence[float] = (), corner: float = SHARP_DEGREES
) -> tuple[float, ...]:
    """Return the fixed points of a path, mm along it, ascending from 0 to its length, crowded ones merged."""
    inner = sorted({*path.corners(corner), *fixed})
    if any(not 0.0 <= s <= path.length for s in inner):
        raise Refusal(f"A fixed point lies beyond the ends of a line of {path.length:.6g} mm.", field="fixed")
    least = LEAST_SHARE * pitch
    groups = [[0.0]]
    for s in inner:
        if len(groups) > 1 and _apart(path, groups[-1][-1], s, least) < least:
            groups[-1].append(s)
        else:
            groups.append([s])
    middles = [(group[0] + group[-1]) / 2.0 for group in groups[1:]]
    while True:
        clear = [s for s in middles if min(_apart(path, 0.0, s, least), _apart(path, s, path.length, least)) >= least]
        merged = _merged(path, clear, least)
        if merged == middles:
            return (0.0, *merged, path.length)
        middles = merged


def _merged(path: Path, places: Sequence[float], least: float) -> list[float]:
    """The places with the first two neighbours that are too near made one."""
    for i, (a, b) in enumerate(itertools.pairwise(places)):
        if _apart(path, a, b, least) < least:
            return [*places[:i], (a + b) / 2.0, *places[i + 2 :]]
    return list(places)


def _apart(path: Path, a: float, b: float, least: float) -> float:
    """How near two fixed points are that follow each other; a line that comes back later to where it was is another matter."""
    return b - a if b - a > 2.0 * least else math.dist(path.point_at(a), path.point_at(b))


def equal_chords(path: Path, begin: float, end: float, count: int) -> tuple[float, list[float]]:
    """Return the chord (mm) and the count + 1 positions (mm along the path) of equal chords from begin to end.

    The chord is the root of "where do `count` steps end?" minus `end`; each step is an exact intersection of a
    circle with a line or an arc. Every chord agrees to 1e-9 mm.

    Raises:
        Refusal: a curve too tight for the step.

    """
    mean = (end - begin) / count
    start, finish = path.point_at(begin), path.point_at(end)
    if count == 1 and math.dist(start, finish) > _SHORTEST_SHARE * mean:
        return math.dist(start, finish), [begin, end]

    found = _at_once(path, begin, end, count)
    if found is not None:
        return found
    chord, positions = _solved(lambda chord: walk(path, begin, end, chord, count), mean, begin, end)
    if abs(positions[-1] - end) > CHORD_TOLERANCE or any(s > end for s in positions[:-1]):
        raise _too_tight(mean)
    positions[-1] = end
    if abs(math.dist(path.point_at(positions[-2]), finish) - chord) > CHORD_TOLERANCE:
        raise _too_tight(mean)
    return chord, positions


def _at_once(path: Path, begin: float, end: float, count: int) -> tuple[float, list[float]] | None:
    """The equal chords of a span of very many lines, all at once; None where they are stepped one by one."""
    if path.locate(end)[0] - path.locate(begin)[0] < LEAST_SEGMENTS:
        return None
    line = dense(path)
    return None if line is None else at_once(line, begin, end, count)


def last_eased(path: Path, begin: float, end: float, count: int, pitch: float) -> tuple[float, list[float]]:
    """Return the chord of the last few steps, eased, and all positions; every step before them is exactly `pitch` mm.

    The last few are three, or as many more as keep each within a tenth of the pitch.
    """
    stepped = walk(path, begin, end, pitch, count)
    for few in range(min(_FEW, count), count):
        pivot = stepped[count - few]
        if pivot < end:
            chord, rest = equal_chords(path, pivot, end, few)
            if abs(chord / pitch - 1.0) <= EASED_SHARE:
                return chord, [*stepped[: count - few], *rest]
    return equal_chords(path, begin, end, count)


def _solved(walked: Callable[[float], list[float]], mean: float, begin: float, end: float) -> tuple[float, list[float]]:
    """The chord, at most the mean arc, that ends at `end`, and its walk: by secants, or bracketed where they fail."""
    length = end - begin
    positions = walked(mean)
    before, miss_before = mean, positions[-1] - end
    if abs(miss_before) < _CLOSE:
        return mean, positions
    chord = mean * (1.0 - miss_before / (length + miss_before))
    for _ in range(_SECANTS):
        if not _SHORTEST_SHARE * mean <= chord <= mean:
            break
        positions = walked(chord)
        miss = positions[-1] - end
        if abs(miss) < _CLOSE:
            return chord, positions
        if miss == miss_before:
            break
        before, miss_before, chord = chord, miss, chord - miss * (chord - before) / (miss - miss_before)
    chord = _bracketed(lambda chord: walked(chord)[-1] - end, mean)
    return chord, walked(chord)


def _bracketed(overshoot: Callable[[float], float], mean: float) -> float:
    low = _SHORTEST_SHARE * mean
    if overshoot(low) > 0.0 or overshoot(mean) < 0.0:
        raise _too_tight(mean)
    return float(brentq(overshoot, low, mean, xtol=1e-14, rtol=1e-15))


def _too_tight(step: float) -> Refusal:
    return Refusal(
        f"A curve is too tight for holes {step:.3g} mm apart: shorten the pitch or widen the curve.", field="pitch"
    )


def walk(path: Path, begin: float, end: float, chord: float, count: int) -> list[float]:
    """Return count + 1 positions, `chord` mm apart; steps past the end go straight on along the last direction."""
    positions = [begin]
    index, rest = path.locate(begin)
    last, _ = path.locate(end)
    if path.starts[last] == end and last > 0:
        last -= 1
    here = path.point_at(begin)
    inside = (chord - 1e-9) ** 2
    while len(positions) <= count:
        skipped = _leaving(path.segments, index, last, here, inside)
        index, rest = skipped, rest if skipped == index else 0.0
        if index > last:
            break
        segment = path.segments[index]
        found = segment.first_at(here, chord, rest)
        if found is None:
            index, rest = index + 1, 0.0
            continue
        more, step = _repeats(segment, found, chord, count - len(positions))
        base = path.starts[index] + found
        positions += [base + i * step for i in range(more + 1)]
        rest = found + more * step
        here = segment.at(rest)
    if len(positions) <= count:
        positions.extend(_straight_on(path, last, here, chord, count + 1 - len(positions)))
    return positions


def _leaving(segments: Sequence[Segment], index: int, last: int, here: Point, square: float) -> int:
    """The next segment that may leave a circle: a line that ends inside the circle it starts in cannot."""
    x, y = here
    while index <= last:
        segment = segments[index]
        if not isinstance(segment, Line):
            break
        ex, ey = segment.end
        if (ex - x) * (ex - x) + (ey - y) * (ey - y) >= square:
            break
        index += 1
    return index


def _repeats(segment: Segment, found: float, chord: float, most: int) -> tuple[int, float]:
    """How many further steps the segment holds, all of one length along it, and that length."""
    step = chord
    if not isinstance(segment, Line):
        if chord > 2.0 * segment.radius:
            return 0, chord
        step = 2.0 * segment.radius * math.asin(chord / (2.0 * segment.radius))
    return max(0, min(most, int((segment.length - found + CHORD_TOLERANCE) / step))), step


def _straight_on(path: Path, last: int, here: Point, chord: float, count: int) -> list[float]:
    """Steps along the straight line that goes on from the end of a segment."""
    segment = path.segments[last]
    (x, y), (dx, dy) = segment.end, segment.direction(segment.length)
    far = 4.0 * path.length + 1.0
    first = Line((x, y), (x + dx * far, y + dy * far)).first_at(here, chord, 0.0)
    start = path.starts[last] + segment.length + (0.0 if first is None else first)
    return [start + i * chord for i in range(count)]


def spacing_at(
    path: Path, positions: Sequence[float], chords: tuple[float, ...] = (), fixed: tuple[int, ...] = ()
) -> Spacing:
    """Return the points and directions of a path at the given ascending positions, mm along it."""
    points: list[Point] = []
    angles: list[float] = []
    index, last = 0, len(path.segments) - 1
    for s in positions:
        while index < last and path.starts[index + 1] <= s:
            index += 1
        segment = path.segments[index]
        rest = min(s - path.starts[index], segment.length)
        points.append(segment.at(rest))
        angles.append(_angle(path, segment, rest, s))
    places = np.array(points, dtype=np.float64).reshape(-1, 2)
    return Spacing(places, np.array(positions, dtype=np.float64), np.array(angles, dtype=np.float64), chords, fixed)


def _angle(path: Path, segment: Segment, rest: float, s: float) -> float:
    if CHORD_TOLERANCE < rest < segment.length - CHORD_TOLERANCE:
        x, y = segment.direction(rest)
        return math.degrees(math.atan2(y, x))
    return path.direction_at(s)
