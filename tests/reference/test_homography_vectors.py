"""The plane map on published point sets."""

from __future__ import annotations

import numpy as np
import pytest

from calibration.arrays import Array
from calibration.plane import Plane
from tests.reference.exact import Points, exact_at, exact_map

A_SOURCE: Points = [(158, 64), (494, 69), (495, 404), (158, 404)]
A_TARGET: Points = [(100, 500), (152, 564), (148, 604), (100, 560)]
"""README of the open library jlouthan/perspective-transform."""
B_SOURCE: Points = [(0, 0), (0, 3), (5, 3), (5, 0)]
B_TARGET: Points = [(1, 1), (3, 3), (6, 3), (5, 2)]
"""Small whole numbers, made for this check (derived)."""
C_SOURCE: Points = [(56, 65), (368, 52), (28, 387), (389, 390)]
C_TARGET: Points = [(0, 0), (300, 0), (0, 300), (300, 300)]
"""OpenCV tutorial 'Geometric Transformations of Images', perspective transformation."""
D_SOURCE: Points = [(0, 1), (1, 1), (1, 0), (0, 0)]
D_TARGET: Points = [(18, -20), (18, 20), (80, 60), (80, -60)]
"""A unit square seen from aside (derived)."""
E_SOURCE: Points = [(320, 512), (960, 512), (0, 1024), (1280, 1024)]
E_TARGET: Points = [(0, 0), (1280, 0), (0, 1024), (1280, 1024)]
"""Points of OpenCV issue 26916: the origin of the source is on the horizon, so h33 = 0."""
F_SOURCE = np.array(
    [
        [-12.3705, -10.5075],
        [-10.7865, 15.4305],
        [8.6985, 10.8675],
        [11.4975, -9.5715],
        [7.8435, 7.4835],
        [-5.3325, 6.5025],
        [6.7905, -6.3765],
        [-6.1695, -0.8235],
    ]
)
F_TARGET = np.array(
    [[0, 0], [0, 5800], [4900, 5800], [4900, 0], [4479, 4580], [1176, 3660], [3754, 790], [1024, 1931]], dtype=float
)
"""Points of scikit-image, tests/test_geometric.py (SRC, DST)."""

FOUR = {
    "A": (A_SOURCE, A_TARGET),
    "B": (B_SOURCE, B_TARGET),
    "C": (C_SOURCE, C_TARGET),
    "D": (D_SOURCE, D_TARGET),
    "E": (E_SOURCE, E_TARGET),
}


def unit(matrix: Array) -> Array:
    """Unit norm, largest entry positive: maps are equal when these are."""
    scaled = np.asarray(matrix, float) / np.linalg.norm(matrix)
    return np.asarray(scaled * np.sign(scaled.flat[np.abs(scaled).argmax()]))


@pytest.mark.parametrize("name", FOUR)
def test_four_points_are_met(name: str) -> None:
    source, target = FOUR[name]
    assert np.abs(Plane.fit(source, target)(np.array(source, float)) - target).max() < 1e-9


@pytest.mark.parametrize("name", FOUR)
def test_four_points_agree_with_exact_fractions(name: str) -> None:
    source, target = FOUR[name]
    exact = exact_map(source, target)
    plane = Plane.fit(source, target)
    assert np.abs(unit(plane.matrix) - unit(np.array([[float(v) for v in row] for row in exact]))).max() < 1e-12
    inside = np.array(source, float).mean(axis=0) + np.array([[0.0, 0.0], [0.3, -0.2]])
    assert plane(inside) == pytest.approx(np.array([exact_at(exact, (u, v)) for u, v in inside]), rel=1e-10, abs=1e-9)


@pytest.mark.parametrize("name", FOUR)
def test_the_way_back(name: str) -> None:
    source, target = FOUR[name]
    back = Plane.fit(source, target).inverse()
    assert np.abs(back(np.array(target, float)) - source).max() < 1e-9
    assert np.abs(unit(back.matrix) - unit(Plane.fit(target, source).matrix)).max() < 1e-10


def test_a_published_value_of_a_readme() -> None:
    landed = Plane.fit(A_SOURCE, A_TARGET)(np.array([[250.0, 120.0]]))[0]
    assert landed == pytest.approx((117.27521125839255, 530.9202410878403), abs=2e-5)  # published from a rounded matrix
    assert landed == pytest.approx(exact_at(exact_map(A_SOURCE, A_TARGET), (250, 120)), abs=1e-10)
    assert landed == pytest.approx((117.275210033232, 530.920235578255), abs=1e-11)  # derived, twelve digits


def test_a_published_value_back() -> None:
    # the same README: transformInverse(130, 570) -> (338.99465637447327, 278.6450957956236), from its rounded matrix
    back = Plane.fit(A_SOURCE, A_TARGET).inverse()(np.array([[130.0, 570.0]]))[0]
    assert back == pytest.approx((338.99465637447327, 278.6450957956236), abs=1e-3)


def test_b_small_fractions() -> None:
    plane = Plane.fit(B_SOURCE, B_TARGET)
    assert (
        np.abs(unit(plane.matrix) - unit(np.array([[9 / 5, 2 / 3, 1], [3 / 5, 2 / 3, 1], [1 / 5, 0, 1]]))).max() < 1e-12
    )
    landed = plane(np.array([[1.0, 1.0], [2.5, 1.5]]))
    assert landed == pytest.approx(np.array([[26 / 9, 17 / 9], [13 / 3, 7 / 3]]), abs=1e-12)


def test_c_a_tutorial_s_page_corner() -> None:
    landed = Plane.fit(C_SOURCE, C_TARGET)(np.array([[200.0, 200.0]]))[0]
    assert landed == pytest.approx((144.332755377162, 139.305307128672), abs=1e-11)


def test_d_by_hand() -> None:
    plane = Plane.fit(D_SOURCE, D_TARGET)
    assert np.abs(unit(plane.matrix) - unit(np.array([[0, -26, 80], [120, 0, -60], [0, 2, 1]]))).max() < 1e-12


def test_e_last_entry_zero_is_legal() -> None:
    plane = Plane.fit(E_SOURCE, E_TARGET)
    wanted = np.array([[1024, 640, -655360], [0, 2048, -1048576], [0, 1, 0]])
    assert np.abs(unit(plane.matrix) - unit(wanted)).max() < 1e-12
    assert abs(plane.matrix[2, 2]) < 1e-12
    again = Plane.of(plane.matrix).inverse().inverse()
    assert again(np.array(E_SOURCE, float)) == pytest.approx(np.array(E_TARGET, float), abs=1e-6)


def test_f_least_squares_in_the_target() -> None:
    plane = Plane.fit(F_SOURCE, F_TARGET)
    residuals = plane.residuals(F_SOURCE, F_TARGET)
    assert np.sqrt((residuals**2).mean()) == pytest.approx(11.529523, abs=5e-7)  # per coordinate (derived)
    assert plane.matrix[0, 0] / plane.matrix[2, 2] == pytest.approx(194.079603, abs=5e-6)
    assert np.linalg.norm(plane.matrix) == pytest.approx(1.0, abs=1e-15)


def test_f_is_a_minimum() -> None:
    plane = Plane.fit(F_SOURCE, F_TARGET)
    slopes = plane.partials(F_SOURCE)[1].reshape(-1, 9)
    pull = slopes.T @ plane.residuals(F_SOURCE, F_TARGET).ravel()  # zero gradient, on the scale of its own terms
    size = np.abs(slopes).T @ np.abs(plane.residuals(F_SOURCE, F_TARGET)).ravel()
    assert (np.abs(pull) < 1e-6 * size).all()


def test_order_of_points_does_not_matter() -> None:
    order = [3, 0, 7, 5, 1, 6, 2, 4]
    plain, shuffled = Plane.fit(F_SOURCE, F_TARGET), Plane.fit(F_SOURCE[order], F_TARGET[order])
    assert np.abs(unit(plain.matrix) - unit(shuffled.matrix)).max() < 1e-9


def test_a_mirrored_picture_is_no_error() -> None:
    target = [(-x, y) for x, y in A_TARGET]
    plane, spot = Plane.fit(A_SOURCE, target), np.array([[250.0, 120.0]])
    turning = [np.linalg.det(one.partials(spot)[0][0]) for one in (plane, Plane.fit(A_SOURCE, A_TARGET))]
    assert turning[0] == pytest.approx(-turning[1])
    assert plane(spot)[0] == pytest.approx((-117.275210033232, 530.920235578255), abs=1e-9)
