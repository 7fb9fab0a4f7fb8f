"""What the misfit of an alignment means: nothing, a place missed, stretched leather, or a piece turned over.

Each explanation is tried as a fit of its own, and the misfit that it leaves is tested against what the bench and the
hand promise (chi-square; the explanation adds unknowns to the equations, as in Baarda, A testing procedure for use in
geodetic networks, Delft 1968, from memory). One is named only when the plain placement is refused and it is not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from scipy.stats import chi2

from calibration.arrays import Array

Kind: TypeAlias = Literal["point", "stretch", "turned over", "unclear"]

REFUSED = 0.01
"""A misfit that chance exceeds less often than this is not chance."""
HOLDS = 0.05
"""An explanation holds when chance alone exceeds what it leaves at least this often."""
MOST_STRETCH = 0.04
"""Cut leather gives no more than this in the hand (common practice, no source)."""
SURE_SIGMAS = 3.0
"""A stretch is spoken of from this many standard errors on."""
_RANK = 1e-9


@dataclass(frozen=True)
class Misfit:
    """What a placement leaves, and what was promised.

    Args:
        equations: (r, 3) by shift and turn.
        off: (r,) mm, what was seen against the first guess or the fit: any right side of the equations.
        covariance: (r, r) mm^2 of ``off``.

    """

    equations: Array
    off: Array
    covariance: Array

    def explained(self, columns: Array | None = None) -> tuple[float, int]:
        """Return the misfit left (chi-square) and its degrees of freedom, with further unknowns (r, k) if given."""
        every = self.equations if columns is None else np.hstack([self.equations, columns])
        rank = int(np.linalg.matrix_rank(every, tol=1e-6 * np.linalg.norm(every)))
        keep = np.eye(len(self.off)) - every @ np.linalg.pinv(every, rcond=1e-7)
        left, freedom = keep @ self.off, len(self.off) - rank
        if freedom <= 0:
            return 0.0, 0
        doubt = keep @ self.covariance @ keep.T
        values, ways = np.linalg.eigh((doubt + doubt.T) / 2.0)
        kept = np.argsort(values)[-freedom:]
        return float(((ways[:, kept].T @ left) ** 2 / np.maximum(values[kept], _RANK)).sum()), freedom

    def estimate(self, columns: Array) -> tuple[Array, Array]:
        """Return further unknowns (k,) of the columns (r, k), and their covariance (k, k), all equations weighing the same."""
        solve = np.linalg.pinv(np.hstack([self.equations, columns]), rcond=1e-7)[3:]
        return solve @ self.off, solve @ self.covariance @ solve.T

    def chance(self, columns: Array | None = None) -> float:
        """Return how often chance exceeds what is left; 1 where nothing is left to test."""
        left, freedom = self.explained(columns)
        return float(chi2.sf(left, freedom)) if freedom else 1.0


@dataclass(frozen=True)
class Finding:
    """What was noticed, and the sentence for it.

    Args:
        kind: what it is.
        sentence: for the maker.
        feature: the place in question, by its name.
        amount: mm for a place, a fraction for a stretch.

    """

    kind: Kind
    sentence: str
    feature: str | None = None
    amount: float | None = None


@dataclass(frozen=True)
class Strain:
    """By which fraction the leather is longer along an axis, and the standard error."""

    along: str
    value: float
    error: float

    @property
    def sure(self) -> bool:
        """Tell whether it is more than chance."""
        return abs(self.value) > SURE_SIGMAS * self.error


@dataclass(frozen=True)
class Strains:
    """The stretch along some axes, and the columns (r, k) by which it moves what was seen."""

    columns: Array
    found: tuple[Strain, ...]


def judge(misfit: Misfit, names: Sequence[tuple[str, str]], parts: Sequence[Array], strains: Strains) -> Finding | None:
    """Return what the misfit means, or None when there is nothing to say.

    Args:
        misfit: of the placement with the piece as it is laid.
        names: (name, title) of each place.
        parts: for each place the columns (r, 1 or 2) of its own error.
        strains: the stretch that fits best, with its columns (r, 2 or 1).

    """
    if misfit.chance() >= REFUSED:
        return None
    tried = [(misfit.chance(part), index) for index, part in enumerate(parts)] if len(names) > 2 else []
    stretched = misfit.chance(strains.columns)
    sure = [strain for strain in strains.found if strain.sure and abs(strain.value) <= MOST_STRETCH]
    best, index = max(tried, default=(0.0, -1))
    others = sorted((chance for chance, _ in tried), reverse=True)[1:2]
    if sure and stretched >= HOLDS and (best < HOLDS or len(names) == 2):
        return _stretched(sure, alone=len(names) == 2)
    if best >= HOLDS and not (sure and stretched >= HOLDS) and (not others or others[0] < HOLDS):
        return _missed(names[index], _amount(misfit, parts[index]))
    return _unclear(names, index)


def strains(misfit: Misfit, columns: Array, along: Sequence[str]) -> Strains:
    """Return the stretch along each axis whose columns (r, k) are given, with its standard error."""
    values, doubt = misfit.estimate(columns)
    errors = np.sqrt(np.maximum(np.diag(doubt), 0.0))
    found = tuple(Strain(*one) for one in zip(along, values.tolist(), errors.tolist(), strict=True))
    return Strains(columns, found)


def _amount(misfit: Misfit, part: Array) -> float:
    return float(np.hypot.reduce(misfit.estimate(part)[0]))


def _stretched(sure: Sequence[Strain], *, alone: bool) -> Finding:
    worst = max(sure, key=lambda strain: abs(strain.value / strain.error))
    longer = "longer" if worst.value > 0 else "shorter"
    per_cent, give = abs(worst.value) * 100.0, worst.error * 100.0
    sentence = f"The leather looks {per_cent:.1f} % {longer} {worst.along} than the pattern (give or take {give:.1f} %)"
    rest = " or one of the two places was missed: aim at a third." if alone else ": the light keeps the pattern's size."
    return Finding("stretch", sentence + rest, None, worst.value)


def _missed(name: tuple[str, str], amount: float) -> Finding:
    sentence = f"{name[1]} does not fit the others: it looks {amount:.1f} mm off. Aim at it again, or leave it out."
    return Finding("point", sentence, name[0], amount)


def _unclear(names: Sequence[tuple[str, str]], index: int) -> Finding:
    if index < 0:
        return Finding(
            "unclear", "The two places are farther apart or closer than on the pattern: aim again, or at a third."
        )
    worst = names[index]
    more = "aim at it again, or at one more place" if len(names) < 5 else "aim at it again"
    sentence = f"The places do not fit together, and it cannot be told which is off: {worst[1]} fits worst; {more}."
    return Finding("unclear", sentence, worst[0])


def turned_over(before: Misfit, over: Misfit | None) -> bool:
    """Tell whether the piece fits turned over, and does not as it is laid; asked only where a mirror image can be told."""
    if over is None or before.explained()[1] == 0:
        return False
    (left, freedom), (then, _) = before.explained(), over.explained()
    return bool(chi2.sf(left, freedom) < REFUSED and then < left / 4.0 and math.isfinite(then))
