"""Edges that are sewn together have equal counts, span by span, so that hole meets hole."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from calibration.refusal import Refusal
from server.geometry.path import Path
from server.geometry.spacing import SHARP_DEGREES, bounds_of, check_pitch, step_between
from server.leather.norms import MATING_TOLERANCE
from server.leather.stitch import StitchLine, of_spacing


@dataclass(frozen=True)
class Mating:
    """How two stitch lines are sewn hole to hole.

    Attributes:
        stitches: the count of both, from the master line.
        master_pitch: mm.
        other_pitch: mm.
        sentence: what to say when the pitches differ by more than 5 %, else None.

    """

    stitches: int
    master_pitch: float
    other_pitch: float
    sentence: str | None


def mate(master: float, other: float, pitch: float) -> Mating:
    """Return equal counts for two stitch lines (lengths in mm, measured on the stitch line, not on the edge).

    N comes from the master line; the pitch on each is L / N.

    Raises:
        Refusal: a length or pitch that is not more than 0.

    """
    if not all(math.isfinite(value) and value > 0.0 for value in (master, other, pitch)):
        raise Refusal(
            f"Seams of {master:.6g} and {other:.6g} mm at {pitch:.6g} mm cannot be matched: give lengths above 0."
        )
    stitches = max(1, round(master / pitch))
    off = abs(other - master) / master
    sentence = None
    if off > MATING_TOLERANCE.value:
        sentence = f"The mating seam is {abs(other - master):.1f} mm ({100 * off:.0f} %) off: change it by that much or ease it in."
    return Mating(stitches, master / stitches, other / stitches, sentence)


@dataclass(frozen=True)
class Meeting:
    """Stitch lines of plies with different outlines, sewn as one seam: hole i of each is one hole.

    Attributes:
        lines: by name, the master first.
        stitches: the count of each span between matching points, the same for every line.
        longer: by name, how much longer than the master's each line is, mm (negative: shorter).
        sentences: what to say of lines or spans that are off by more than 5 %.

    """

    lines: Mapping[str, StitchLine]
    stitches: tuple[int, ...]
    longer: Mapping[str, float]
    sentences: tuple[str, ...]


def meet(paths: Mapping[str, Path], pitch: float, marks: Mapping[str, Sequence[float]] | None = None) -> Meeting:
    """Step off several stitch lines so that their holes meet: front to back, panel to gusset, a welt between.

    Args:
        paths: by seam name, the master first; all walked the same way from the same end (or start, when closed).
        pitch: mm, eased on the master; the others take its counts.
        marks: by seam name, mm along each path of the points that come together (balance marks), as many on each. Without
            them the master's sharp corners are matched with the others' own if they have as many, else in proportion.

    The master's sharp corners always get a hole. Each chord is equal within a span of a line.

    Raises:
        Refusal: fewer than two lines, open with closed, or marks that do not agree in number or leave the line.

    """
    names = list(paths)
    if len(names) < 2 or len({path.closed for path in paths.values()}) > 1:
        raise Refusal("A seam needs two lines or more, and either all of them closed or none.")
    for path in paths.values():
        check_pitch(path, pitch)
    bounds = _bounds(paths, pitch, marks)
    counts = tuple(max(1, round((b - a) / pitch)) for a, b in itertools.pairwise(bounds[names[0]]))
    lines = {name: of_spacing(path, step_between(path, bounds[name], counts), name) for name, path in paths.items()}
    master = paths[names[0]].length
    longer = {name: path.length - master for name, path in paths.items()}
    return Meeting(lines, counts, longer, tuple(_off(bounds, names)))


def _bounds(
    paths: Mapping[str, Path], pitch: float, marks: Mapping[str, Sequence[float]] | None
) -> dict[str, tuple[float, ...]]:
    """The matching points of every line, its ends included."""
    (first, master), *others = paths.items()
    if marks is not None:
        return _marked(paths, marks)
    bounds = {first: bounds_of(master, pitch)}
    for name, path in others:
        own = bounds_of(path, pitch)
        shares = (s / master.length * path.length for s in bounds[first][1:-1])
        matched = len(own) == len(bounds[first]) and len(own) > 2
        bounds[name] = own if matched else (0.0, *shares, path.length)
    return bounds


def _marked(paths: Mapping[str, Path], marks: Mapping[str, Sequence[float]]) -> dict[str, tuple[float, ...]]:
    counts = {name: len(marks.get(name, ())) for name in paths}
    if len(set(counts.values())) > 1:
        said = ", ".join(f"{name} {count}" for name, count in counts.items())
        raise Refusal(f"Matching points must be as many on each line, and they are not: {said}.", field="marks")
    bounds = {name: (0.0, *sorted(marks[name]), path.length) for name, path in paths.items()} if marks else {}
    for name, given in bounds.items():
        if any(b - a <= 0.0 for a, b in itertools.pairwise(given)):
            raise Refusal(f"A matching point of {name} lies beyond its ends, or two are one.", field="marks")
    return _with_corners(paths, bounds) if bounds else {name: (0.0, path.length) for name, path in paths.items()}


def _with_corners(paths: Mapping[str, Path], bounds: dict[str, tuple[float, ...]]) -> dict[str, tuple[float, ...]]:
    """The master's sharp corners between its marks, carried to the other lines in proportion within their span."""
    first = next(iter(paths))
    known = bounds[first]
    extra = [s for s in paths[first].corners(SHARP_DEGREES) if min(abs(s - b) for b in known) > 1e-6]
    for name in paths:
        places = list(bounds[name])
        for s in extra:
            i = next(i for i, (a, b) in enumerate(itertools.pairwise(known)) if a < s < b)
            share = (s - known[i]) / (known[i + 1] - known[i])
            places.append(bounds[name][i] + share * (bounds[name][i + 1] - bounds[name][i]))
        bounds[name] = tuple(sorted(places))
    return bounds


def _off(bounds: Mapping[str, tuple[float, ...]], names: Sequence[str]) -> list[str]:
    """One sentence for each line that is off as a whole, else for its worst span that is."""
    master, found = bounds[names[0]], []
    for name in names[1:]:
        other = bounds[name]
        sentence = mate(master[-1], other[-1], master[-1]).sentence
        if sentence is not None:
            found.append(f"{name}: {sentence[0].lower()}{sentence[1:]}")
            continue
        spans = [
            (b - a, d - c) for (a, b), (c, d) in zip(itertools.pairwise(master), itertools.pairwise(other), strict=True)
        ]
        worst = max(range(len(spans)), key=lambda i: abs(spans[i][1] / spans[i][0] - 1.0))
        one, two = spans[worst]
        if abs(two - one) > MATING_TOLERANCE.value * one:
            way = "move its matching points"
            found.append(
                f"{name}: stretch {worst + 1} is {abs(two - one):.1f} mm ({100 * abs(two - one) / one:.0f} %) off; {way}."
            )
    return found
