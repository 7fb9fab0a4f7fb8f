"""Height: a point above the table is lit by the ray that would meet the bare table further from the lens's foot.

Similar triangles about the lens at (X, Y, Z): plane point P = foot + (Q - foot) Z / (Z - z) for a place Q at height z.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array, Numbers, as_points
from calibration.refusal import Refusal


@dataclass(frozen=True)
class Parallax:
    """The lens position (3,) in mm: x, y on the table, z above it."""

    position: Array

    @staticmethod
    def fit(plane: Numbers, table: Numbers, heights: Array) -> Parallax:
        """Return the lens position nearest to all rays from ``plane`` (n, 2) at height 0 through ``table`` (n, 2) at ``heights`` (n,).

        Least squares of the distances between point and ray.

        Raises:
            Refusal: fewer than two rays, rays at height 0, or rays that are parallel.

        """
        low, high = as_points(plane, "plane points"), as_points(table, "table points")
        z = np.asarray(heights, dtype=np.float64)
        if len(low) < 2 or (np.abs(z) < 1e-9).any():
            raise Refusal("The lens position needs at least two crosses sighted on a block above the table.")
        start = np.column_stack([low, np.zeros(len(low))])
        along = np.column_stack([high, z]) - start
        along /= np.linalg.norm(along, axis=1)[:, None]
        across = np.eye(3) - along[:, :, None] * along[:, None, :]
        normal = across.sum(axis=0)
        if np.linalg.cond(normal) > 1e10:
            raise Refusal("The rays through the block are parallel; sight crosses that lie further apart.")
        return Parallax(np.linalg.solve(normal, (across @ start[:, :, None]).sum(axis=0)[:, 0]))

    def __call__(self, points: Array, height: float | Array = 0.0) -> Array:
        """Carry places (n, 2) mm at ``height`` (one, or (n,)) mm down their rays to the bare table."""
        return np.asarray(self._foot + (points - self._foot) * _column(self._factor(height)))

    def inverse(self, points: Array, height: float | Array = 0.0) -> Array:
        """Carry points (n, 2) mm of the bare table up their rays to ``height`` mm."""
        return np.asarray(self._foot + (points - self._foot) / _column(self._factor(height)))

    def residuals(self, plane: Array, table: Array, heights: float | Array) -> Array:
        """Return carried minus given plane points, (n, 2) mm."""
        return np.asarray(self(table, heights) - plane)

    def partials(self, points: Array, height: float | Array = 0.0) -> tuple[Array, Array]:
        """Return the derivatives at places (n, 2): by the place (n, 2, 2) and by the lens position (n, 2, 3)."""
        z = np.broadcast_to(np.asarray(height, dtype=np.float64), (len(points),))
        factor = self._factor(z)
        by_point = factor[:, None, None] * np.eye(2)
        by_height = -z / (self.position[2] - z) ** 2
        by_lens = np.concatenate(
            [(1.0 - factor)[:, None, None] * np.eye(2), ((points - self._foot) * by_height[:, None])[:, :, None]],
            axis=2,
        )
        return by_point, by_lens

    @property
    def _foot(self) -> Array:
        return self.position[:2]

    def _factor(self, height: float | Array) -> Array:
        z = np.asarray(height, dtype=np.float64)
        lens = float(self.position[2])
        if (z >= lens).any():
            raise Refusal(
                f"A surface {float(z.max()):.1f} mm high is not below the lens at {lens:.0f} mm; check the height."
            )
        return np.asarray(lens / (lens - z))


def _column(factor: Array) -> Array:
    return factor[:, None] if factor.ndim else factor
