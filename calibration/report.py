"""What the residuals say: each sighting's share, the one to measure again, and how sure the picture is.

Standardised residuals and data snooping: Baarda, A testing procedure for use in geodetic networks, 1968; Ghilani, Adjustment
Computations, 6th ed., ch. 21 (chapter from memory). The critical value is Bonferroni's for the number of sightings.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from scipy import stats

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.budget import expected
from calibration.equations import LENS_SPREADS, POSITION_SPREAD, Chart
from calibration.least_squares import Solution
from calibration.sightings import Distance, LensFoot, LensHeight, Position, Sightings, Slant

RISK = 0.05
"""The chance that a faultless set of sightings has one named suspect."""
POWER = 0.8
"""The chance with which a mistake of the detectable size is found."""
TRUST = 0.01
"""Residuals so large, or so small, that they would arise by chance less often than this say that the stated sigmas are wrong."""
_LEAST_FREEDOM = 0.5
"""Less redundancy than this among the sightings, all told, and nothing can be said of their sigmas."""
_LEAST_SHARE = 0.02
"""A sighting that the others control by less than this cannot be judged."""


@dataclass(frozen=True)
class Judged:
    """One sighting after the adjustment.

    Attributes:
        kind: position, distance, slant, height or foot.
        names: the crosses it is about.
        residual_mm: how far the figure is from the adjusted one: measured minus adjusted, a length for pairs.
        dx, dy: measured minus adjusted, mm, for pairs; None else.
        standardised: the residual over its own standard deviation (the larger of the two for pairs).
        share: redundancy number, 0 (nothing controls it) to 1.
        blunder_mm: the size of the mistake that would explain the residual.
        detectable_mm: the least mistake that snooping would find here, None where nothing controls it.
        suspect: True when it stands out beyond chance.

    """

    kind: str
    names: tuple[str, ...]
    residual_mm: float
    dx: float | None
    dy: float | None
    standardised: float
    share: float
    blunder_mm: float
    detectable_mm: float | None
    suspect: bool


@dataclass(frozen=True)
class Report:
    """What an adjustment has to say besides the bench."""

    sigma0: float | None
    redundancy: int
    trusted: bool
    frame: str
    sightings: tuple[Judged, ...]
    worst: dict[str, Any] | None
    held: tuple[dict[str, str], ...]
    error: dict[str, Any]
    warnings: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """Return plain values: mm, and sentences."""
        return asdict(self)


def make_report(sightings: Sightings, solution: Solution, chart: Chart, bench: Bench, sigma: Array) -> Report:
    """Return the report of an adjustment whose first ``len(sigma)`` equations are the sightings, the last seven the priors."""
    judged = _judge(sightings, solution, sigma)
    effective = float(solution.shares[: len(sigma)].sum())
    trusted, words = _trust(solution, len(sigma))
    held = _held(solution, chart)
    return Report(
        unit_sigma(solution, len(sigma)) if effective >= _LEAST_FREEDOM else None,
        round(effective),
        trusted,
        bench.frame,
        judged,
        _worst(judged),
        held,
        error_summary(bench),
        words,
    )


def detectable(share: float, sigma: float, count: int) -> float | None:
    """Return the least mistake (mm) that snooping finds with ``POWER`` among ``count`` figures; None if nothing controls it.

    Baarda's minimal detectable error: sigma (z(1 - risk / 2 / count) + z(power)) / sqrt(share).
    """
    if share < _LEAST_SHARE:
        return None
    reach = stats.norm.isf(RISK / 2 / max(1, count)) + stats.norm.ppf(POWER)
    return float(sigma * reach / np.sqrt(share))


def error_summary(bench: Bench, height: float = 0.0) -> dict[str, Any]:
    """Return the median and worst 95 % error over the picture, where the worst is, and the middle pixel's size, all mm.

    The pixel's share is in it, as in the budget; a doubtful thickness is not.
    """
    grid = bench.grid(17, 11, height)
    error = expected(bench, grid, height)
    worst = int(error.argmax())
    return {
        "median_mm": float(np.median(error)),
        "worst_mm": float(error[worst]),
        "worst_at": grid[worst].tolist(),
        "pixel_mm": float(bench.pixel(grid[len(grid) // 2 : len(grid) // 2 + 1], height)[0]),
    }


def chi_square(solution: Solution, count: int) -> float | None:
    """Return the chance that residuals at least this large arise with the stated sigmas, None without redundancy.

    Only the first ``count`` residuals are judged, the sightings' own, with the sum of their shares as degrees of freedom:
    what is held by a prior has no say in how well the maker's hand was judged.
    """
    freedom = float(solution.shares[:count].sum())
    if freedom < _LEAST_FREEDOM:
        return None
    own = solution.residuals[:count]
    return float(stats.chi2.sf(own @ own, freedom))


def unit_sigma(solution: Solution, count: int) -> float:
    """Return how many times what was stated the sightings' own residuals are (standard deviation of unit weight)."""
    own = solution.residuals[:count]
    return float(np.sqrt(own @ own / max(float(solution.shares[:count].sum()), _LEAST_FREEDOM)))


def _trust(solution: Solution, count: int) -> tuple[bool, tuple[str, ...]]:
    chance, times = chi_square(solution, count), unit_sigma(solution, count)
    if chance is None:
        return False, ("No sighting controls another; add some, so that a mistake can show.",)
    if chance < TRUST:
        return False, (
            f"The sightings differ {times:.1f} times as much as was stated; the expected error has been raised to match.",
        )
    if chance > 1.0 - TRUST:
        return True, (
            f"The sightings differ only {times:.1f} times as much as was stated: your hand is better than you say, "
            "and the expected error is cautious.",
        )
    return True, ()


def _judge(sightings: Sightings, solution: Solution, sigma: Array) -> tuple[Judged, ...]:
    limit = float(stats.norm.isf(RISK / 2 / max(1, len(sigma))))
    rows = rows_of(sightings)
    return tuple(_judge_one(sighting, at, solution, sigma, limit) for sighting, at in rows)


def rows_of(sightings: Sightings) -> list[tuple[Any, list[int]]]:
    """Return each sighting, in the order of the file, with the places of its one or two equations."""
    rows: list[tuple[Any, list[int]]] = []
    here = 0
    for sighting in (*sightings.positions, *sightings.distances, *sightings.lens):
        count = 2 if isinstance(sighting, Position | LensFoot) else 1
        rows.append((sighting, list(range(here, here + count))))
        here += count
    return rows


def _judge_one(sighting: Any, at: list[int], solution: Solution, sigma: Array, limit: float) -> Judged:
    measured = -(solution.residuals[at] * sigma[at])
    shares = solution.shares[at]
    controlled = shares > _LEAST_SHARE
    with np.errstate(divide="ignore", invalid="ignore"):
        standardised = np.where(controlled, measured / sigma[at] / np.sqrt(shares), 0.0)
        blunder = np.where(controlled, measured / shares, 0.0)
    score = float(np.abs(standardised).max())
    pair = len(at) == 2
    kind, names = _describe(sighting)
    return Judged(
        kind,
        names,
        float(np.hypot(*measured)) if pair else float(measured[0]),
        float(measured[0]) if pair else None,
        float(measured[1]) if pair else None,
        score,
        float(shares.mean()),
        float(np.hypot(*blunder)) if pair else float(blunder[0]),
        detectable(float(shares.min()), float(sigma[at].max()), len(sigma)),
        score > limit,
    )


def _describe(sighting: Any) -> tuple[str, tuple[str, ...]]:
    if isinstance(sighting, Position):
        return "position", (sighting.cross,)
    if isinstance(sighting, Distance):
        return "distance", (sighting.start, sighting.end)
    if isinstance(sighting, Slant):
        return "slant", (sighting.cross,)
    return ("height", ()) if isinstance(sighting, LensHeight) else ("foot", ())


def _worst(judged: tuple[Judged, ...]) -> dict[str, Any] | None:
    suspects = [i for i, one in enumerate(judged) if one.suspect]
    if not suspects:
        return None
    index = max(suspects, key=lambda i: judged[i].standardised)
    return {"index": index, "sentence": suspicion(judged[index])}


def suspicion(judged: Judged) -> str:
    """Return the sentence that asks for one sighting to be taken again."""
    size = abs(judged.blunder_mm)
    much = f"{size:.1f}" if size < 10 else f"{size:.0f}"
    long = "long" if judged.blunder_mm > 0 else "short"
    if judged.kind == "distance":
        return f"{judged.names[0]} to {judged.names[1]} looks {much} mm {long}: measure it again."
    if judged.kind == "position":
        return f"The place of {judged.names[0]} looks {much} mm off: sight it again."
    if judged.kind == "slant":
        return f"The slant distance to {judged.names[0]} looks {much} mm {long}: measure it again."
    what = "height" if judged.kind == "height" else "foot"
    return f"The {what} of the lens looks {much} mm off: measure it again."


def _held(solution: Solution, chart: Chart) -> tuple[dict[str, str], ...]:
    """Name what the sightings hold less than the prior does."""
    spread = np.sqrt(np.diag(solution.covariance))[8:]
    prior = np.array([LENS_SPREADS["centre"]] * 2 + [LENS_SPREADS["k1"], LENS_SPREADS["k2"], *POSITION_SPREAD])
    loose = spread > 0.7 * prior
    terms = chart.terms(solution.values)
    width = float(chart.slopes[15, 14])
    held = []
    if loose[:2].any():
        within = f"within {prior[0] * chart.scale:.0f} px of ({terms[9]:.0f}, {terms[10]:.0f})"
        held.append({"term": "lens centre", "words": f"The lens error shows no centre of its own; held {within}."})
    if loose[2:4].any():
        words = "The sightings do not show the whole lens error; the rest is held at what lenses usually have (about 1 %) and counted."
        held.append({"term": "lens error", "words": words})
    if loose[4:].any():
        taken = f"taken as {terms[15]:.0f} mm up, give or take {prior[6] * width:.0f} mm"
        words = (
            f"The lens position is not measured; {taken}. Lines on thick leather may be off: sight crosses on a block."
        )
        held.append({"term": "lens position", "words": words})
    return tuple(held)
