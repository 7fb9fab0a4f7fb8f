"""The one least-squares adjustment: any mix of sightings in, a bench with covariance and a report out."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import stats

from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.checks import check_horizon, check_sightings
from calibration.equations import Chart, Observed, Prior, frame_crosses
from calibration.least_squares import Equations, Solution, minimise, solve
from calibration.plane import Plane
from calibration.precision import free_datum, rigid_motions
from calibration.refusal import Refusal
from calibration.report import TRUST, Report, chi_square, make_report, suspicion, unit_sigma
from calibration.sightings import Sightings
from calibration.start import start

__all__ = ["Adjustment", "adjust", "solve"]

_BEYOND_REPAIR = 25.0
"""Standard deviation of unit weight above which a fit is refused rather than reported."""
_SETTLED = 1e-8
"""Share of the weighted sum of squares: a lens centre that hardly shows creeps for ever; this is under 0.01 sigma."""
_LEAST_HOLD = 1e-4
"""Smallest over largest singular value of the plane terms' Jacobian: below it the picture can swing."""


@dataclass(frozen=True)
class Adjustment:
    """A bench and what its residuals say."""

    bench: Bench
    report: Report


def adjust(sightings: Sightings) -> Adjustment:
    """Fit homography, lens terms and lens position to all sightings at once.

    Raises:
        Refusal: fewer sightings than needed, crosses in line, in one place or in crossed order, the horizon inside the
            picture, or residuals that contradict the stated errors beyond repair.

    """
    fit = least_squares_fit(sightings)
    bench = fit.bench()
    check_horizon(bench)
    report = make_report(sightings, fit.solution, fit.chart, bench, fit.observed.sigma)
    _check_repair(fit.solution, report)
    return Adjustment(bench, report)


@dataclass(frozen=True)
class Fit:
    """A fit before anything is said about it: also of sightings that contradict each other."""

    observed: Observed
    chart: Chart
    prior: Prior
    datum: Array
    solution: Solution

    def bench(self) -> Bench:
        """Return the bench, its covariance raised where the residuals contradict the stated sigmas."""
        raised = self.observed.raised(_inflation(self.solution, len(self.observed.sigma)))
        if raised is self.observed:
            return _bench(raised, self.chart, self.solution)
        equations = _equations(raised, self.chart, self.prior, self.datum)
        return _bench(raised, self.chart, solve(equations, self.solution.values, settled=_SETTLED))


def least_squares_fit(sightings: Sightings) -> Fit:
    """Return the fit of all sightings, however well they agree.

    Raises:
        Refusal: as ``adjust``, but for residuals beyond repair and the horizon.

    """
    check_sightings(sightings)
    chart, prior, unknowns = start(sightings)
    observed = Observed(sightings)
    datum = _datum(sightings, chart, unknowns)
    equations = _equations(observed, chart, prior, datum)
    if len({p.cross for p in sightings.positions}) < 4:
        unknowns = _plane_first(equations, unknowns)
    _check_held(equations(unknowns)[1], len(observed.sigma))
    solution = solve(equations, unknowns, settled=_SETTLED)
    return Fit(observed, chart, prior, datum, _without_datum(solution, len(observed.sigma)))


def _equations(observed: Observed, chart: Chart, prior: Prior, datum: Array) -> Equations:
    """Stack sightings, the datum (tape only: no shift, no turn from the start) and what is held, each over its sigma."""

    def equations(unknowns: Array) -> tuple[Array, Array]:
        residuals, slopes = observed.residuals(chart.bench(unknowns))
        held, by_held = prior.equations(unknowns)
        return (
            np.concatenate([residuals / observed.sigma, datum @ unknowns, held]),
            np.vstack([(slopes @ chart.slopes) / observed.sigma[:, None], datum, by_held]),
        )

    return equations


def _datum(sightings: Sightings, chart: Chart, unknowns: Array) -> Array:
    """Return (3, 15) equations that keep a tape-only picture from drifting over the table; (0, 15) with known marks."""
    if not sightings.tape_only:
        return np.zeros((0, 15))
    bench = chart.bench(unknowns)
    places = bench.to_table(sightings.pixels(list(sightings.crosses)))
    slopes = bench.landing_partials(places).reshape(-1, DOUBTS) @ chart.slopes
    rigid = rigid_motions(places)
    rigid /= np.linalg.norm(rigid, axis=0)
    datum = rigid.T @ slopes
    datum[:, 8:] = 0.0
    return np.asarray(datum)


def _plane_first(equations: Equations, unknowns: Array) -> Array:
    """Let the eight plane terms settle before the lens terms join in: the start from tape is only a scale."""

    def narrowed(values: Array) -> tuple[Array, Array]:
        residuals, jacobian = equations(np.concatenate([values, unknowns[8:]]))
        return residuals, jacobian[:, :8]

    return np.concatenate([minimise(narrowed, unknowns[:8]), unknowns[8:]])


def _check_held(jacobian: Array, count: int) -> None:
    """Refuse when the sightings (and the datum) leave some motion of the plane map free."""
    plane = jacobian[: len(jacobian) - 7, :8]
    singular = np.linalg.svd(plane, compute_uv=False)
    if len(plane) < 8 or singular[-1] < _LEAST_HOLD * singular[0]:
        raise Refusal(
            f"These {count} figures leave the picture free to swing; sight crosses near the corners that have none yet."
        )


def _without_datum(solution: Solution, count: int) -> Solution:
    """Drop the datum rows: they are conditions met exactly (residual zero), not sightings."""
    keep = np.r_[0:count, len(solution.residuals) - 7 : len(solution.residuals)]
    return replace(
        solution,
        residuals=solution.residuals[keep],
        jacobian=solution.jacobian[keep],
        shares=solution.shares[keep],
    )


def _bench(observed: Observed, chart: Chart, solution: Solution) -> Bench:
    sightings = observed.sightings
    raw = chart.bench(solution.values)
    plane = Plane.of(raw.plane.matrix)
    unit = np.ones(DOUBTS)
    unit[:9] = 1.0 / np.linalg.norm(raw.plane.matrix)
    slopes = chart.slopes * unit[:, None]
    bench = replace(raw, plane=plane, covariance=slopes @ solution.covariance @ slopes.T)
    bench = replace(bench, covariance=bench.covariance + _second_order(observed, bench))
    return _tape_frame(sightings, bench) if sightings.tape_only else bench


def _second_order(observed: Observed, bench: Bench) -> Array:
    """Return (20, 20) what the products of doubtful lens terms and a doubtful centre add, less what the other terms take up.

    Moments of products of normal deviates: Isserlis, Biometrika 12, 1918 (from memory).
    """
    slopes = observed.residuals(bench)[1] / observed.sigma[:, None]
    products = slopes[:, 16:]
    lift = np.vstack([-(bench.covariance @ slopes.T @ products)[:16], np.eye(4)])
    pairs = [(11, 9), (11, 10), (12, 9), (12, 10)]
    c = bench.covariance
    moments = np.array([[c[i, k] * c[j, m] + c[i, m] * c[j, k] for k, m in pairs] for i, j in pairs])
    return np.asarray(lift @ moments @ lift.T)


def _inflation(solution: Solution, count: int) -> float:
    """Return the factor on the sightings' sigmas: 1 unless the residuals say that what was stated is too small.

    A sigma that is itself taken from few residuals makes the 95 % region wider: two coordinates follow Fisher's F with the
    sightings' degrees of freedom in place of chi-square (JCGM 102:2011, 6.5.4; clause from memory).
    """
    chance = chi_square(solution, count)
    if chance is None or chance >= TRUST:
        return 1.0
    freedom = max(float(solution.shares[:count].sum()), 1.0)
    wider = np.sqrt(2.0 * stats.f.ppf(0.95, 2, freedom) / stats.chi2.ppf(0.95, 2))
    return max(1.0, unit_sigma(solution, count) * float(wider))


def _tape_frame(sightings: Sightings, bench: Bench) -> Bench:
    """Put the first cross at the origin and the second along x; state the precision of the shape, free of that choice."""
    first, second = bench.to_table(sightings.pixels(frame_crosses(sightings)))
    turn = -float(np.arctan2(*(second - first)[::-1]))
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    bench = bench.moved(turn, -(rotation @ first))
    grid = bench.grid(9, 6)
    covariance = free_datum(bench.covariance, _moves(bench, grid), bench.landing_partials(grid), grid)
    return replace(bench, covariance=covariance, frame="tape")


def _moves(bench: Bench, grid: Array) -> Array:
    """Return (20, 3): how the terms change when the frame shifts along x, along y, or turns about the grid's middle."""
    x, y = grid.mean(axis=0)
    generators = np.zeros((3, 3, 3))
    generators[0, 0, 2] = generators[1, 1, 2] = 1.0
    generators[2] = [[0.0, -1.0, y], [1.0, 0.0, -x], [0.0, 0.0, 0.0]]
    moves = np.zeros((DOUBTS, 3))
    moves[:9] = -(bench.plane.matrix @ generators).reshape(3, 9).T
    foot = np.append(bench.position[:2], 1.0)
    moves[13:15] = (generators @ foot)[:, :2].T
    return moves


def _check_repair(solution: Solution, report: Report) -> None:
    if solution.sigma0 is None or solution.sigma0 < _BEYOND_REPAIR:
        return
    worst = max(report.sightings, key=lambda one: one.standardised)
    raise Refusal(
        f"The sightings contradict each other: the residuals are {solution.sigma0:.0f} times what was stated. {suspicion(worst)}"
    )
