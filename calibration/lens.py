"""The lens error: radial, about a centre that need not be the middle of the picture (lens shift moves it).

picture = c + (p - c)(1 + k1 r^2 + k2 r^4), r = |p - c| / scale: the radial terms of the Brown-Conrady model
(Brown, Decentering distortion of lenses, Photogrammetric Engineering 32, 1966; volume and year from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array, Numbers, as_points
from calibration.least_squares import minimise
from calibration.refusal import Refusal


@dataclass(frozen=True)
class Lens:
    """Ideal pixels to picture pixels.

    Attributes:
        centre: (2,) px, the optical centre in the picture.
        scale: px, the radius that counts as 1.
        k1: radial term of r^2.
        k2: radial term of r^4.

    """

    centre: Array
    scale: float
    k1: float
    k2: float

    @staticmethod
    def fit(ideal: Numbers, picture: Numbers, scale: float) -> Lens:
        """Return the lens that takes ``ideal`` (n, 2) px to ``picture`` (n, 2) px, least squares in the picture.

        A centre that the points cannot tell is held lightly at the middle of ``picture``.

        Raises:
            Refusal: fewer than four points, or numbers not finite.

        """
        start, finish = as_points(ideal, "ideal points"), as_points(picture, "picture points")
        if len(start) != len(finish) or len(start) < 4:
            raise Refusal(f"A lens needs at least four pairs of points; there are {len(start)} and {len(finish)}.")
        middle = finish.mean(axis=0)

        def lens(values: Array) -> Lens:
            return Lens(middle + scale * values[:2], scale, float(values[2]), float(values[3]))

        def equations(values: Array) -> tuple[Array, Array]:
            now = lens(values)
            terms = now.partials(start)[1].reshape(-1, 4) * np.array([scale, scale, 1.0, 1.0])
            hold = 1e-6 * scale * np.eye(4)[:2]
            return np.append(now.residuals(start, finish).ravel(), hold @ values), np.vstack([terms, hold])

        return lens(minimise(equations, np.array([0.0, 0.0, 1e-3, 0.0])))

    def __call__(self, points: Array) -> Array:
        """Bend ideal px (n, 2) into picture px (n, 2)."""
        away = points - self.centre
        return np.asarray(self.centre + away * self._stretch(self._square(away))[:, None])

    def inverse(self, points: Array) -> Array:
        """Straighten picture px (n, 2) into ideal px (n, 2), by Newton's method on the radius.

        Raises:
            Refusal: where the lens terms fold the picture over itself, so that no ideal place exists.

        """
        away = np.asarray(points) - self.centre
        wanted = np.sqrt(self._square(away))
        radius = wanted.copy()
        for _ in range(30):
            step = (radius * self._stretch(radius**2) - wanted) / self._slope(radius**2)
            radius = radius - step
            if not np.abs(step).max(initial=0.0) > 1e-14:
                break
        if not (np.abs(radius * self._stretch(radius**2) - wanted) < 1e-9).all() or (self._slope(radius**2) <= 0).any():
            raise Refusal(
                "The lens terms fold the picture over itself there; calibrate anew with crosses near the edges."
            )
        return np.asarray(self.centre + away / self._stretch(radius**2)[:, None])

    def residuals(self, ideal: Array, picture: Array) -> Array:
        """Return bent minus given, (n, 2) px."""
        return np.asarray(self(ideal) - picture)

    def partials(self, points: Array) -> tuple[Array, Array]:
        """Return the derivatives at ideal px (n, 2): by the point (n, 2, 2) and by centre x, y, k1, k2 (n, 2, 4)."""
        away = points - self.centre
        square = self._square(away)
        slope = (2 * self.k1 + 4 * self.k2 * square) / self.scale**2
        by_point = away[:, :, None] * away[:, None, :] * slope[:, None, None]
        by_point[:, [0, 1], [0, 1]] += self._stretch(square)[:, None]
        by_term = np.concatenate(
            [np.eye(2) - by_point, (away * square[:, None])[:, :, None], (away * square[:, None] ** 2)[:, :, None]],
            axis=2,
        )
        return by_point, by_term

    def mixed(self, points: Array) -> Array:
        """Return the second derivatives (n, 2, 4) at ideal px (n, 2) by k1 and centre x, k1 and y, k2 and x, k2 and y.

        They matter where neither the lens error nor its centre is well known: the product of the two doubts is then no
        longer small beside the doubts themselves.
        """
        away = points - self.centre
        square = self._square(away)[:, None, None]
        outer = away[:, :, None] * away[:, None, :] / self.scale**2
        by_k1 = -(square * np.eye(2) + 2 * outer)
        by_k2 = -(square**2 * np.eye(2) + 4 * square * outer)
        return np.concatenate([by_k1, by_k2], axis=2)

    def _square(self, away: Array) -> Array:
        return np.asarray((away**2).sum(axis=1) / self.scale**2)

    def _stretch(self, square: Array) -> Array:
        return 1.0 + square * (self.k1 + self.k2 * square)

    def _slope(self, square: Array) -> Array:
        return 1.0 + square * (3 * self.k1 + 5 * self.k2 * square)
