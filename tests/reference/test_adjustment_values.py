"""The least-squares engine on surveying examples, and error theory against many throws of the dice."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from calibration.adjust import adjust, solve
from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane, tangent
from calibration.sightings import Position, Sightings, distance

QUAD = {(0, 1): 1341.785, (0, 2): 2775.364, (0, 3): 2167.437, (1, 2): 1937.887, (1, 3): 2173.715, (2, 3): 1511.014}
"""Braced quadrilateral, m: Zaki et al., XVII ISPRS Congress, Commission III."""


def test_trilateration_of_a_handbook() -> None:
    # Ghilani, Adjustment Computations, Example 14.2; answers derived here, the printed ones were not seen
    stations = np.array([[865.40, 4527.15], [2432.55, 2047.25], [2865.22, 27.15]])
    taped = np.array([6049.00, 4736.83, 5446.49])

    def equations(values: Array) -> tuple[Array, Array]:
        length, _, by_end = distance(stations, np.tile(values, (3, 1)))
        return length - taped, by_end

    solution = solve(equations, np.array([6800.0, 3700.0]))
    assert solution.values == pytest.approx((6861.316788, 3727.818566), abs=1e-5)
    assert solution.residuals == pytest.approx((-0.037373, 0.076793, -0.047366), abs=1e-6)
    assert solution.sigma0 == pytest.approx(0.09766, abs=5e-6)
    assert solution.shares.sum() == pytest.approx(1.0)  # redundancy numbers add up to the redundancy, 3 - 2


def quadrilateral(values: Array) -> tuple[Array, Array]:
    """Six distances between four stations; the first at the origin, the second on the x axis."""
    places = np.array([[0.0, 0.0], [values[0], 0.0], values[1:3], values[3:5]])
    starts, ends = (np.array([pair[i] for pair in QUAD]) for i in (0, 1))
    length, by_start, by_end = distance(places[starts], places[ends])
    slopes = np.zeros((6, 4, 2))
    slopes[np.arange(6), starts] += by_start
    slopes[np.arange(6), ends] += by_end
    return length - np.array(list(QUAD.values())), slopes.reshape(6, 8)[:, [2, 4, 5, 6, 7]]


@pytest.mark.parametrize("start", [(1340.0, 2100.0, 1700.0, 700.0, 2000.0), (1300.0, 2500.0, 1200.0, 300.0, 2200.0)])
def test_braced_quadrilateral(start: tuple[float, ...]) -> None:
    solution = solve(quadrilateral, np.array(start))
    wanted = (-0.003513, 0.006183, -0.004129, -0.004925, 0.004724, -0.002794)
    assert solution.residuals == pytest.approx(wanted, abs=1e-6)
    assert solution.sigma0 == pytest.approx(0.011045, abs=1e-6)  # one redundancy
    assert solution.shares.sum() == pytest.approx(1.0)


def test_braced_quadrilateral_fulfils_its_one_condition() -> None:
    # four points lie in a plane when the Cayley-Menger determinant of their six distances is zero (textbook identity)
    def determinant(lengths: list[float]) -> float:
        d = dict(zip(combinations(range(4), 2), lengths, strict=True))
        squares = [[0.0 if i == j else d[min(i, j), max(i, j)] ** 2 for j in range(4)] for i in range(4)]
        return float(
            np.linalg.det(np.block([[np.zeros((1, 1)), np.ones((1, 4))], [np.ones((4, 1)), np.array(squares) / 1e6]]))
        )

    taped = list(QUAD.values())
    solution = solve(quadrilateral, np.array([1340.0, 2100.0, 1700.0, 700.0, 2000.0]))
    adjusted = [one + v for one, v in zip(taped, solution.residuals, strict=True)]
    assert abs(determinant(taped)) > 1e-5
    assert abs(determinant(adjusted)) < 1e-9


def test_a_gradient_is_a_slope() -> None:
    a, b = np.array([[3.0, 4.0]]), np.array([[6.0, 8.0]])
    length, by_a, by_b = distance(a, b)
    assert length[0] == 5.0
    assert by_b[0] == pytest.approx((0.6, 0.8))
    assert by_a[0] == pytest.approx((-0.6, -0.8))


def grid(columns: int, rows: int) -> Array:
    u, v = np.meshgrid(np.linspace(65.0, 1855.0, columns), np.linspace(65.0, 1015.0, rows))
    return np.column_stack([u.ravel(), v.ravel()])


CROOKED = Plane.of([[0.63, 0.02, 15.0], [-0.01, 0.61, 40.0], [2e-5, -4e-5, 1.0]])


@pytest.mark.parametrize(("columns", "rows"), [(3, 2), (3, 3), (5, 4)])
def test_residuals_and_errors_shrink_as_theory_says(columns: int, rows: int) -> None:
    # Hartley & Zisserman, Multiple View Geometry, 2nd ed., Result 5.2 (page from memory): error on one side only,
    # n points: residual sigma sqrt(1 - 4/n), distance to the truth sigma sqrt(4/n), per coordinate
    rng, source = np.random.default_rng(8), grid(columns, rows)
    true, count = CROOKED(source), 300
    residual, error = np.zeros(count), np.zeros(count)
    for i in range(count):
        seen = true + rng.normal(0.0, 0.25, true.shape)
        plane = Plane.fit(source, seen)
        residual[i] = (plane.residuals(source, seen) ** 2).mean()
        error[i] = (plane.residuals(source, true) ** 2).mean()
    n = len(source)
    # the spread of a mean of squares with 2n - 8 and 8 degrees of freedom, four standard errors
    assert residual.mean() == pytest.approx(0.25**2 * (1 - 4 / n), rel=4 * np.sqrt(2 / (2 * n - 8) / count))
    assert error.mean() == pytest.approx(0.25**2 * 4 / n, rel=4 * np.sqrt(2 / 8 / count))


def test_four_points_never_show_their_error() -> None:
    # the same result with n = 4: the residual is zero whatever the error
    source = grid(2, 2)
    seen = CROOKED(source) + np.random.default_rng(4).normal(0.0, 10.0, (4, 2))
    plane = Plane.fit(source, seen)
    assert np.abs(plane.residuals(source, seen)).max() < 1e-9
    assert np.abs(plane.residuals(source, CROOKED(source))).max() > 3.0


def test_covariance_of_a_plane_map_carried_to_a_point() -> None:
    # Criminisi, Reid, Zisserman, A plane measuring device, BMVC 1997: (J^T S^-1 J)^-1, carried by the point's Jacobian
    rng, source = np.random.default_rng(9), grid(5, 4)
    places = np.array([[960.0, 540.0], [10.0, 10.0], [1900.0, 600.0]])
    ways = tangent(CROOKED.matrix)
    slopes = CROOKED.partials(source)[1].reshape(-1, 9) @ ways
    terms = ways @ np.linalg.inv(slopes.T @ slopes / 0.25**2) @ ways.T
    carry = CROOKED.partials(places)[1]
    predicted = carry @ terms @ carry.transpose(0, 2, 1)
    true, count = CROOKED(source), 1500
    thrown = np.array([Plane.fit(source, true + rng.normal(0.0, 0.25, true.shape))(places) for _ in range(count)])
    agree(thrown, predicted, count)


def agree(thrown: Array, predicted: Array, count: int) -> None:
    """Hold empirical covariances of (count, n, 2) against (n, 2, 2) at four standard errors (Wishart variance)."""
    away = thrown - thrown.mean(axis=0)
    found = np.einsum("kni,knj->nij", away, away) / (count - 1)
    spread = np.einsum("nii->ni", predicted)
    error = np.sqrt((spread[:, :, None] * spread[:, None, :] + predicted**2) / count)
    assert (np.abs(found - predicted) < 4 * error).all()


def true_bench() -> Bench:
    """A bench of our own form with a lens error and a lens well off the middle."""
    flat = CROOKED.inverse()
    lens = Lens(np.array([930.0, 250.0]), float(np.hypot(960, 540)), -0.012, 0.002)
    return Bench((1920, 1080), flat, lens, Parallax(np.array([620.0, 130.0, 1900.0])), np.zeros((DOUBTS, DOUBTS)))


@pytest.mark.parametrize("height", [0.0, 8.0])
def test_covariance_of_a_whole_bench_against_the_dice(height: float) -> None:
    # the same propagation (Criminisi et al.) through plane, lens and height; marks and a block, 0.05 mm so that the
    # second order stays small
    rng, bench, pixels = np.random.default_rng(10), true_bench(), grid(5, 4)
    names = "ABCDEFGHIJKLMNOPQRST"
    spots = {name: (float(u), float(v)) for name, (u, v) in zip(names, pixels, strict=True)}
    flat, raised = bench.to_table(pixels), bench.to_table(pixels[[0, 4, 15, 19]], 100.0)
    places = bench.to_table(np.array([[960.0, 540.0], [100.0, 1000.0], [1900.0, 300.0]]), height)
    aim = bench.to_picture(places, height)

    def thrown() -> tuple[Array, Array]:
        hand = [flat + rng.normal(0, 0.05, flat.shape), raised + rng.normal(0, 0.05, raised.shape)]
        marks = [Position(n, (float(x), float(y)), 0.0, 0.05) for n, (x, y) in zip(names, hand[0], strict=True)]
        block = [Position(n, (float(x), float(y)), 100.0, 0.05) for n, (x, y) in zip("AEPT", hand[1], strict=True)]
        found = adjust(Sightings((1920, 1080), spots, (*marks, *block))).bench
        return found.to_table(aim, height), found.covariance_at(places, height)

    count = 300
    tries = [thrown() for _ in range(count)]
    predicted = np.mean([one[1] for one in tries], axis=0)
    agree(np.array([one[0] for one in tries]), predicted, count)
