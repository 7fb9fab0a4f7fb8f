"""Mistakes in sightings: found, named and sized, when the residuals say that there is one.

Each explanation is tried by a fit: leave one sighting out (data snooping, Baarda 1968), two letters swapped, all tapes wrong
by one factor, all tapes wrong by one length. The one that lowers the weighted sum of squares most for what it costs is
named; a single sighting's figure is then looked at for the slips of a hand: swapped digits, inches, the next letter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import Literal

import numpy as np
from scipy import stats

from calibration.adjust import Fit, least_squares_fit
from calibration.arrays import Array
from calibration.refusal import Refusal
from calibration.report import RISK, TRUST, chi_square, rows_of
from calibration.sightings import Distance, Position, Sightings

_SUSPECTS, _LETTERS = 5, 5
"""How many sightings are left out in turn, and how many letters are tried for a swap: the worst ones."""
_LEAST_GAIN = 10.8
"""Drop of the sum of squares per figure that an explanation must bring: chance 0.1 % for one (chi-square)."""
_NEAR = 3.3
"""Standard deviations within which a corrected slip must agree with what the other sightings expect."""
Kind = Literal["sighting", "swapped", "scale", "offset"]
_COST: dict[Kind, float] = {"sighting": 2.0, "scale": 1.0, "offset": 1.0, "swapped": 0.0}
"""What an explanation gains by chance alone: a mark left out takes two figures with it, a swap changes none."""


@dataclass(frozen=True)
class Finding:
    """The mistake that explains the residuals best.

    Attributes:
        kind: one sighting, two letters swapped, a factor or a length common to all tapes.
        index: which sighting of the file (positions, distances, lens), None if it is not one.
        names: the crosses it is about.
        size: mm, or the factor less one for "scale".
        gain: by how much the weighted sum of squares falls; None when no fit survives the mistake.
        sentence: what to do.

    """

    kind: Kind
    index: int | None
    names: tuple[str, ...]
    size: float
    gain: float | None
    sentence: str


def find_blunder(sightings: Sightings) -> Finding | None:
    """Return the most likely mistake, None when the sightings agree as well as they say.

    Raises:
        Refusal: the sightings cannot be fitted at all (see ``least_squares_fit``).

    """
    fit = _refit(lambda: sightings)
    if fit is None:
        return _rescue(sightings)
    chance = chi_square(fit.solution, len(fit.observed.sigma))
    scores = _scores(fit)
    limit = stats.norm.isf(RISK / 2 / max(1, len(fit.observed.sigma)))
    if chance is None or (chance >= TRUST and max(scores, default=0.0) < limit):
        return None
    found = [*_left_out(fit, scores), *_swaps(fit, scores), *_commons(fit)]
    best = max(found, key=lambda one: one.gain - _COST[one.kind], default=None)
    return None if best is None else best.finding()


def without(sightings: Sightings, index: int) -> Sightings:
    """Return the sightings less one, counted over positions, distances, lens."""
    positions, distances, lens = list(sightings.positions), list(sightings.distances), list(sightings.lens)
    for group in (positions, distances, lens):
        if index < len(group):
            del group[index]
            break
        index -= len(group)
    return replace(sightings, positions=tuple(positions), distances=tuple(distances), lens=tuple(lens))


def swapped(sightings: Sightings, one: str, two: str) -> Sightings:
    """Return the sightings with two letters exchanged wherever they stand."""
    other = {one: two, two: one}
    positions = tuple(replace(p, cross=other.get(p.cross, p.cross)) for p in sightings.positions)
    distances = tuple(
        replace(d, start=other.get(d.start, d.start), end=other.get(d.end, d.end)) for d in sightings.distances
    )
    return replace(sightings, positions=positions, distances=distances)


@dataclass(frozen=True)
class _Explained:
    """An explanation that was tried; only the best is put in words."""

    kind: Kind
    gain: float
    finding: Callable[[], Finding]


def _told(finding: Finding) -> _Explained:
    return _Explained(finding.kind, finding.gain or 0.0, lambda: finding)


def _sum(fit: Fit) -> float:
    return float(fit.solution.residuals @ fit.solution.residuals)


def _scores(fit: Fit) -> list[float]:
    """Return the standardised residual of each sighting (the larger of the two for a mark)."""
    shares = np.maximum(fit.solution.shares, 0.02)
    standard = np.abs(fit.solution.residuals) / np.sqrt(shares)
    return [float(standard[at].max()) for _, at in rows_of(fit.observed.sightings)]


def _refit(change: Callable[[], Sightings]) -> Fit | None:
    try:
        return least_squares_fit(change())
    except Refusal:
        return None


def _rescue(sightings: Sightings) -> Finding | None:
    """Find the one sighting without which a fit that failed goes well."""
    count = len(sightings.positions) + len(sightings.distances) + len(sightings.lens)
    tries = ((index, _refit(lambda index=index: without(sightings, index))) for index in range(count))  # type: ignore[misc]
    fits = [(_sum(fit), index, fit) for index, fit in tries if fit is not None]
    if not fits:
        least_squares_fit(sightings)
        return None
    _, index, fit = min(fits, key=lambda one: one[0])
    return _sized(sightings, index, fit, None)


def _left_out(fit: Fit, scores: list[float]) -> Iterator[_Explained]:
    sightings = fit.observed.sightings
    for index in sorted(range(len(scores)), key=lambda i: -scores[i])[:_SUSPECTS]:
        other = _refit(lambda index=index: without(sightings, index))  # type: ignore[misc]
        gain = _sum(fit) - _sum(other) if other is not None else 0.0
        if other is not None and gain > _LEAST_GAIN:
            yield _Explained("sighting", gain, lambda i=index, o=other, g=gain: _sized(sightings, i, o, g))  # type: ignore[misc]


def _sized(sightings: Sightings, index: int, others: Fit, gain: float | None) -> Finding:
    """Compare one sighting with what all others expect of it."""
    one = (*sightings.positions, *sightings.distances, *sightings.lens)[index]
    bench = others.bench()
    if isinstance(one, Position):
        seen = bench.to_table(sightings.pixels([one.cross]), one.height)[0]
        size = float(np.hypot(*(np.array(one.at) - seen)))
        return Finding("sighting", index, (one.cross,), size, gain, _mark_words(one, seen, others, sightings))
    if isinstance(one, Distance):
        first, second = bench.to_table(sightings.pixels([one.start, one.end]), one.height)
        size = one.length - float(np.hypot(*(second - first)))
        return Finding("sighting", index, (one.start, one.end), size, gain, _tape_words(one, size, others, sightings))
    names = (one.cross,) if hasattr(one, "cross") else ()
    return Finding("sighting", index, names, 0.0, gain, "A figure of the lens does not agree: measure it again.")


def _mark_words(mark: Position, seen: Array, others: Fit, sightings: Sightings) -> str:
    size = float(np.hypot(*(np.array(mark.at) - seen)))
    words = f"The place of {mark.cross} looks {_mm(size)} mm off: sight it again."
    if np.hypot(*(np.array(mark.at[::-1]) - seen)) < _near(mark.sigma):
        return f"{words} Its x and y look swapped."
    if np.hypot(*(np.array(mark.at) * 25.4 - seen)) < _near(mark.sigma, 25.4):
        return f"{words} The figures look like inches."
    bench = others.bench()
    for name in sightings.crosses:
        there = bench.to_table(sightings.pixels([name]), mark.height)[0]
        if name != mark.cross and np.hypot(*(np.array(mark.at) - there)) < _near(mark.sigma):
            return f"{words} That is where {name} lies."
    return words


def _tape_words(tape: Distance, size: float, others: Fit, sightings: Sightings) -> str:
    long = "long" if size > 0 else "short"
    words = f"{tape.start} to {tape.end} looks {_mm(abs(size))} mm {long}: measure it again."
    expected = tape.length - size
    for typed in transposed(tape.length):
        if abs(typed - expected) < _near(tape.sigma):
            return f"{words} {typed:g} would fit: two digits look swapped."
    if abs(tape.length * 25.4 - expected) < _near(tape.sigma, 25.4):
        return f"{words} The figure looks like inches."
    return words + _other_letter(tape, others, sightings)


def _other_letter(tape: Distance, others: Fit, sightings: Sightings) -> str:
    places = dict(
        zip(sightings.crosses, others.bench().to_table(sightings.pixels(list(sightings.crosses))), strict=True)
    )
    for kept in (tape.start, tape.end):
        for name, place in places.items():
            away = float(np.hypot(*(place - places[kept])))
            if name not in (tape.start, tape.end) and abs(away - tape.length) < _near(tape.sigma) / 3:
                return f" It fits {kept} to {name}."
    return ""


def _near(sigma: float, factor: float = 1.0) -> float:
    return _NEAR * float(np.hypot(sigma * factor, 0.5))


def _mm(size: float) -> str:
    return f"{size:.1f}" if size < 10 else f"{size:.0f}"


def transposed(length: float) -> Iterator[float]:
    """Yield the figure with each pair of neighbouring digits exchanged."""
    text = f"{length:.1f}" if length != int(length) else f"{length:.0f}"
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for i, j in pairwise(digits):
        letters = list(text)
        letters[i], letters[j] = letters[j], letters[i]
        yield float("".join(letters))


def _swaps(fit: Fit, scores: list[float]) -> Iterator[_Explained]:
    sightings = fit.observed.sightings
    sizes: dict[str, float] = {}
    for (one, _), score in zip(rows_of(sightings), scores, strict=True):
        for name in {getattr(one, key, None) for key in ("cross", "start", "end")} - {None}:
            sizes[str(name)] = sizes.get(str(name), 0.0) + score**2
    suspects = sorted(sizes, key=lambda name: -sizes[name])[:_LETTERS]
    for one, two in combinations(sorted(suspects), 2):
        other = _refit(lambda one=one, two=two: swapped(sightings, one, two))  # type: ignore[misc]
        gain = _sum(fit) - _sum(other) if other is not None else 0.0
        if gain > _LEAST_GAIN:
            words = f"{one} and {two} look swapped: check their letters."
            yield _told(Finding("swapped", None, (one, two), 0.0, gain, words))


def _commons(fit: Fit) -> Iterator[_Explained]:
    """Test a factor and a length common to all tapes, by one more unknown in the linear model at the answer."""
    sightings = fit.observed.sightings
    lengths = np.array([d.length for d in sightings.distances])
    if len(lengths) < 2:
        return
    for kind, column in (("scale", lengths), ("offset", np.ones(len(lengths)))):
        found = common(fit, column)
        if found is None or (found[0] / found[1]) ** 2 < _LEAST_GAIN:
            continue
        size, sigma = found
        gain = (size / sigma) ** 2
        if kind == "scale":
            words = f"All tapes read {100 * abs(size):.2f} % {'long' if size > 0 else 'short'} against the known marks: check the tape."
            yield _told(Finding("scale", None, (), size, gain, words))
        else:
            long = "long" if size > 0 else "short"
            words = f"All tapes look {_mm(abs(size))} mm {long}: check where the tape was hooked."
            yield _told(Finding("offset", None, (), size, gain, words))


def common(fit: Fit, column: Array) -> tuple[float, float] | None:
    """Return the size of an error ``column`` (one a distance) common to all tapes, and its standard deviation.

    None where the sightings cannot tell: a factor common to all tapes is invisible without a known mark.
    """
    solution, sigma = fit.solution, fit.observed.sigma
    first = 2 * len(fit.observed.sightings.positions)
    extra = np.zeros(len(solution.residuals))
    extra[first : first + len(column)] = column / sigma[first : first + len(column)]
    hidden = extra - solution.jacobian @ (solution.covariance @ (solution.jacobian.T @ extra))
    weight = float(extra @ hidden)
    if weight < 1e-4 * float(extra @ extra):
        return None
    return float(-(hidden @ solution.residuals) / weight), 1.0 / float(np.sqrt(weight))
