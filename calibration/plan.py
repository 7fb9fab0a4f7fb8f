"""Which sighting next: the one that lowers the worst expected error most, and when to stop.

A sighting with slope a and variance s^2 takes C a^T (a C a^T + s^2)^-1 a C off the covariance C of the terms, whatever it
will read; so its worth is known before it is taken (sequential least squares; Koch, ch. 3, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

import numpy as np

from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.budget import covariances, expected, together
from calibration.precision import radius95
from calibration.sightings import Sightings, distance

TOLERANCE = 0.5
"""mm at 95 %: what a maker is content with unless another figure is chosen."""
_WORTH = 0.005
"""mm: a sighting that lowers the worst error by less is not worth a walk to the table."""
Way = Literal["mark", "tape", "block"]


@dataclass(frozen=True)
class Proposal:
    """A sighting worth taking.

    Attributes:
        way: a mark on the table, a tape between two crosses, a mark on a block.
        names: the crosses.
        worst_now, worst_then: mm, the largest expected error before and after it.
        sentence: what to do.

    """

    way: Way
    names: tuple[str, ...]
    worst_now: float
    worst_then: float
    sentence: str


@dataclass(frozen=True)
class _Candidate:
    way: Way
    names: tuple[str, ...]
    slopes: Array
    sigma: float


def is_met(
    bench: Bench, places: Array, height: float, tolerance: float = TOLERANCE, thickness_sigma: float = 0.0
) -> bool:
    """Return whether the expected error, from all sources, stays within ``tolerance`` mm at all ``places`` (n, 2) mm."""
    return bool(expected(bench, places, height, thickness_sigma).max(initial=0.0) <= tolerance)


def next_sighting(
    bench: Bench,
    sightings: Sightings,
    places: Array,
    *,
    height: float = 0.0,
    tolerance: float = TOLERANCE,
    thickness_sigma: float = 0.0,
    ways: Sequence[Way] = ("mark", "tape", "block"),
    sigma: float = 0.3,
    block: float = 100.0,
) -> Proposal | None:
    """Return the sighting that lowers the worst error over ``places`` (n, 2) mm at ``height`` most.

    None when the tolerance is met everywhere, or when no sighting would lower the worst by ``_WORTH``: then thickness or pixel rule.

    Args:
        bench: the fit so far.
        sightings: what it rests on; a tape that was taken is not proposed again.
        places: where the pattern lies, or a grid over the picture.
        height: of the surface the pattern lies on, mm.
        tolerance: mm at 95 %.
        thickness_sigma: mm, how surely the height is known.
        ways: kinds of sighting the maker can take.
        sigma: mm, of one sighting.
        block: mm, height of the block at hand.

    """
    parts = covariances(bench, places, height, thickness_sigma)
    worst = float(radius95(together(parts)).max(initial=0.0))
    if worst <= tolerance:
        return None
    slopes, rest = bench.landing_partials(places, height), parts["thickness"] + parts["pixel"]
    scored = [
        (_worst_after(bench, slopes, rest, one), one) for one in _candidates(bench, sightings, ways, sigma, block)
    ]
    then, best = min(scored, key=lambda pair: pair[0], default=(worst, None))
    if best is None or then > worst - _WORTH:
        return None
    return Proposal(best.way, best.names, worst, then, _words(best, block, worst, then))


def _candidates(
    bench: Bench, sightings: Sightings, ways: Sequence[Way], sigma: float, block: float
) -> Iterator[_Candidate]:
    names = list(sightings.crosses)
    pixels = sightings.pixels(names)
    places = bench.to_table(pixels)
    slopes = bench.landing_partials(places)
    if "mark" in ways and not sightings.tape_only:
        yield from (_Candidate("mark", (n,), s, sigma) for n, s in zip(names, slopes, strict=True))
    if "block" in ways and not sightings.tape_only and block < bench.position[2]:
        raised = bench.landing_partials(bench.to_table(pixels, block), block)
        yield from (_Candidate("block", (n,), s, sigma) for n, s in zip(names, raised, strict=True))
    if "tape" in ways:
        taken = {frozenset((d.start, d.end)) for d in sightings.distances}
        for i, j in combinations(range(len(names)), 2):
            if frozenset((names[i], names[j])) not in taken:
                _, by_start, by_end = distance(places[i], places[j])
                row = by_start @ slopes[i] + by_end @ slopes[j]
                yield _Candidate("tape", (names[i], names[j]), row[None, :], sigma)


def _worst_after(bench: Bench, slopes: Array, rest: Array, candidate: _Candidate) -> float:
    """Return the largest radius once ``candidate`` is taken; ``rest`` (n, 2, 2) mm^2 is what no sighting lowers."""
    a = candidate.slopes.reshape(-1, DOUBTS)
    carried = bench.covariance @ a.T
    inner = np.linalg.inv(a @ carried + candidate.sigma**2 * np.eye(len(a)))
    left = bench.covariance - carried @ inner @ carried.T
    return float(radius95(slopes @ left @ slopes.transpose(0, 2, 1) + rest).max())


def _words(best: _Candidate, block: float, worst: float, then: float) -> str:
    gain = f"the worst place goes from {worst:.2f} to {then:.2f} mm."
    if best.way == "tape":
        return f"Tape from {best.names[0]} to {best.names[1]}: {gain}"
    where = f"on a block {block:g} mm high" if best.way == "block" else "on the table"
    return f"Sight cross {best.names[0]} {where}: {gain}"
