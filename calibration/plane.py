"""The plane map (homography): where a point of one plane falls on another, seen from one point.

Equations: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 4.1 (direct linear transform), 4.4 (normalisation)
and 4.2 (error in the target); the section numbers are from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array, Numbers, as_points
from calibration.least_squares import minimise
from calibration.refusal import Refusal

_LEAST_DETERMINANT = 1e-7
"""Below this (normalised coordinates, unit norm) the map flattens the plane to a line: three of the points are in line."""


@dataclass(frozen=True)
class Plane:
    """A homography. ``matrix`` (3, 3) has unit Frobenius norm; its last entry may be zero."""

    matrix: Array

    @staticmethod
    def of(matrix: Numbers) -> Plane:
        """Return the map of a (3, 3) matrix of any scale but zero.

        Raises:
            Refusal: when the matrix is not finite, or singular.

        """
        array = np.asarray(matrix, dtype=np.float64)
        if array.shape != (3, 3) or not np.isfinite(array).all() or np.linalg.det(array / _norm(array)) == 0:
            raise Refusal("A plane map needs a regular 3 x 3 matrix of finite numbers.")
        return Plane(array / _norm(array))

    @staticmethod
    def fit(source: Numbers, target: Numbers) -> Plane:
        """Return the map that takes ``source`` (n, 2) to ``target`` (n, 2), least squares in the target.

        Raises:
            Refusal: fewer than four points, equal points, points in line, crossed order, numbers not finite.

        """
        start, finish = as_points(source, "source points"), as_points(target, "target points")
        _check_count(start, finish)
        to_start, to_finish = _normaliser(start, "source"), _normaliser(finish, "target")
        start, finish = Plane(to_start)(start), Plane(to_finish)(finish)
        first = _direct(start, finish)
        _check_regular(first, start)
        best = _refine(first, start, finish)
        _check_regular(best, start)
        return Plane.of(np.asarray(np.linalg.inv(to_finish) @ best @ to_start))

    def __call__(self, points: Array) -> Array:
        """Map points (n, 2). A point on the horizon gives infinities."""
        x, y, w = self._homogeneous(points)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(np.stack([x / w, y / w], axis=1))

    def denominators(self, points: Array) -> Array:
        """Return w (n,) of points (n, 2): one sign on each side of the horizon, zero on it."""
        return np.asarray(self._homogeneous(points)[2])

    def inverse(self) -> Plane:
        """Return the map back."""
        return Plane.of(np.asarray(np.linalg.inv(self.matrix)))

    def residuals(self, source: Array, target: Array) -> Array:
        """Return mapped minus given target, (n, 2), in the unit of the target."""
        return np.asarray(self(source) - target)

    def partials(self, points: Array) -> tuple[Array, Array]:
        """Return the derivatives at points (n, 2): by the point (n, 2, 2), by the nine entries row by row (n, 2, 9)."""
        h = self.matrix
        x, y, w = self._homogeneous(points)
        mapped = np.stack([x / w, y / w], axis=1)
        by_point = (h[None, :2, :2] - mapped[:, :, None] * h[None, 2:, :2]) / w[:, None, None]
        lifted = np.column_stack([points, np.ones(len(points))]) / w[:, None]
        by_entry = np.zeros((len(points), 2, 9))
        by_entry[:, 0, 0:3] = lifted
        by_entry[:, 1, 3:6] = lifted
        by_entry[:, :, 6:9] = -mapped[:, :, None] * lifted[:, None, :]
        return by_point, by_entry

    def _homogeneous(self, points: Array) -> Array:
        return np.asarray(self.matrix[:, :2] @ points.T + self.matrix[:, 2:])


def tangent(matrix: Array) -> Array:
    """Return (9, 8): the directions in which a unit-norm 3 x 3 matrix changes the map (its own direction left out)."""
    return np.asarray(np.linalg.svd(matrix.reshape(1, 9))[2][1:].T)


def _norm(matrix: Array) -> float:
    norm = float(np.linalg.norm(matrix))
    if norm == 0 or not np.isfinite(norm):
        raise Refusal("A plane map needs a regular 3 x 3 matrix of finite numbers.")
    return norm


def _check_count(source: Array, target: Array) -> None:
    if len(source) != len(target):
        raise Refusal(f"There are {len(source)} source points but {len(target)} target points; give them in pairs.")
    if len(source) < 4:
        raise Refusal(f"A plane map needs at least four points; there are {len(source)}.")


def _normaliser(points: Array, what: str) -> Array:
    """Return (3, 3) that moves the points to their centre with mean distance sqrt 2."""
    centre = points.mean(axis=0)
    spread = float(np.linalg.norm(points - centre, axis=1).mean())
    if spread <= 1e-12 * max(1.0, float(np.abs(centre).max())):
        raise Refusal(f"All {len(points)} {what} points lie on one place; spread them over the picture.")
    s = np.sqrt(2.0) / spread
    return np.array([[s, 0.0, -s * centre[0]], [0.0, s, -s * centre[1]], [0.0, 0.0, 1.0]])


def _direct(source: Array, target: Array) -> Array:
    lifted = np.column_stack([source, np.ones(len(source))])
    rows = np.zeros((len(source), 2, 9))
    rows[:, 0, 0:3] = lifted
    rows[:, 1, 3:6] = lifted
    rows[:, :, 6:9] = -target[:, :, None] * lifted[:, None, :]
    singular, rotation = np.linalg.svd(rows.reshape(-1, 9), full_matrices=True)[1:]
    if singular[7] < 1e-9 * singular[0]:
        raise Refusal("These points do not fix a plane map: too many of them are equal or lie on one line.")
    return np.asarray(rotation[8].reshape(3, 3))


def _check_regular(matrix: Array, source: Array) -> None:
    if abs(float(np.linalg.det(matrix / _norm(matrix)))) < _LEAST_DETERMINANT:
        raise Refusal("These points do not fix a plane map: three of the four lie on one line; move one of them aside.")
    w = Plane(matrix).denominators(source)
    if w.min() < 0 < w.max():
        raise Refusal("The points are in a crossed (bow-tie) order: two of them are swapped; check their names.")


def _refine(matrix: Array, source: Array, target: Array) -> Array:
    """Minimise the distances in the target, moving in the eight directions that change the map."""
    if len(source) == 4:
        return matrix / _norm(matrix)
    base = matrix / _norm(matrix)
    directions = tangent(base)

    def equations(values: Array) -> tuple[Array, Array]:
        plane = Plane(base + (directions @ values).reshape(3, 3))
        return plane.residuals(source, target).ravel(), plane.partials(source)[1].reshape(-1, 9) @ directions

    best = base + (directions @ minimise(equations, np.zeros(8))).reshape(3, 3)
    return best / _norm(best)
