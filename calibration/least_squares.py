"""Weighted least squares with covariance: the engine of every fit in this room.

The minimiser is scipy's; what is ours is the reading of its answer: covariance, standard deviation of unit weight and the
redundancy of each equation, as in Ghilani, Adjustment Computations, 6th ed., ch. 11 and 21 (chapter numbers from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scipy.optimize import least_squares

from calibration.arrays import Array
from calibration.refusal import Refusal

Equations: TypeAlias = Callable[[Array], tuple[Array, Array]]
"""values (n,) -> residuals over their sigma (m,) and the Jacobian of the same (m, n)."""


@dataclass(frozen=True)
class Solution:
    """The least-squares answer to m weighted equations in n unknowns.

    Attributes:
        values: (n,) the unknowns.
        covariance: (n, n) for equations whose stated sigmas are right (unit weight 1).
        residuals: (m,) computed minus observed, over sigma.
        jacobian: (m, n) at the answer.
        freedom: equations less unknowns, conditions and all.
        sigma0: standard deviation of unit weight, None without redundancy.
        shares: (m,) redundancy number of each equation, 0 (uncontrolled) to 1 (fully controlled by the others).

    """

    values: Array
    covariance: Array
    residuals: Array
    jacobian: Array
    freedom: int
    sigma0: float | None
    shares: Array


_FAR = 1e8
"""Residual over sigma that no sighting has: a step there is taken back."""


class _Remembered:
    """Evaluates the equations once per place although scipy asks for residuals and Jacobian apart.

    Where a trial step has no answer (a folded lens, a surface above the lens) it answers with residuals so large that the
    search turns back; only the start may refuse.
    """

    def __init__(self, equations: Equations) -> None:
        self._equations = equations
        self._at: bytes = b""
        self._answer: tuple[Array, Array] = (np.empty(0), np.empty((0, 0)))

    def _at_values(self, values: Array) -> tuple[Array, Array]:
        if values.tobytes() == self._at:
            return self._answer
        try:
            self._at, self._answer = values.tobytes(), self._equations(values)
        except Refusal:
            if not self._at:
                raise
            self._at, self._answer = values.tobytes(), (np.full_like(self._answer[0], _FAR), self._answer[1])
        return self._answer

    def residuals(self, values: Array) -> Array:
        return self._at_values(values)[0]

    def jacobian(self, values: Array) -> Array:
        return self._at_values(values)[1]


def minimise(equations: Equations, start: Array, *, settled: float = 1e-10, limit: int = 400) -> Array:
    """Return the values (n,) that minimise the sum of squares of ``equations``, from ``start`` (n,).

    The search ends when a step lowers the sum by less than the share ``settled``.

    Raises:
        Refusal: when the start gives no finite residuals or the search does not settle in ``limit`` steps.

    """
    once = _Remembered(equations)
    if not np.isfinite(once.residuals(np.asarray(start, dtype=np.float64))).all():
        raise Refusal("The sightings give no place to start from; check them for swapped or mistyped figures.")
    found = least_squares(
        once.residuals,
        start,
        once.jacobian,
        method="lm",
        x_scale="jac",
        ftol=settled,
        xtol=1e-11,
        gtol=1e-10,
        max_nfev=limit,
    )
    if found.status <= 0 or not np.isfinite(found.x).all():
        raise Refusal(f"The fit did not settle in {limit} steps; check the sightings for swapped or mistyped figures.")
    return np.asarray(found.x)


def solve(equations: Equations, start: Array, *, settled: float = 1e-10) -> Solution:
    """Solve ``equations`` by least squares from ``start`` (n,) and say how sure the answer is.

    Raises:
        Refusal: when the equations do not determine the unknowns, or the search does not settle.

    """
    values = minimise(equations, np.asarray(start, dtype=np.float64), settled=settled)
    residuals, jacobian = equations(values)
    covariance = inverse_normal(jacobian)
    freedom = len(residuals) - len(values)
    sigma0 = float(np.sqrt(residuals @ residuals / freedom)) if freedom > 0 else None
    shares = 1.0 - np.einsum("ij,jk,ik->i", jacobian, covariance, jacobian)
    return Solution(values, covariance, residuals, jacobian, freedom, sigma0, np.clip(shares, 0.0, 1.0))


def inverse_normal(jacobian: Array) -> Array:
    """Return (J^T J)^-1 (n, n) of a weighted Jacobian (m, n), columns scaled first.

    Raises:
        Refusal: when the columns are dependent, so that some unknown is held by nothing.

    """
    scale = np.linalg.norm(jacobian, axis=0)
    if (scale == 0).any() or len(jacobian) < jacobian.shape[1]:
        raise Refusal("There are fewer sightings than unknowns; add sightings.")
    _, singular, rotation = np.linalg.svd(jacobian / scale, full_matrices=False)
    if singular[-1] < 1e-10 * singular[0]:
        raise Refusal("The sightings leave something of the picture free; add sightings of crosses elsewhere.")
    root = rotation.T / singular / scale[:, None]
    return np.asarray(root @ root.T)
