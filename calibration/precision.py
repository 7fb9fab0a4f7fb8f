"""How sure: from covariance to the radius that holds 95 % of the cases, and the choice of datum.

The radius of a two-dimensional normal error with unequal axes has no closed form; it follows from
P(r < R) = 1 - mean over the angle f of exp(-R^2 / (2 (a^2 cos^2 f + b^2 sin^2 f))), the Hoyt distribution
(Hoyt, Bell System Technical Journal 26, 1947; from memory), solved once for a table of axis ratios.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.optimize import brentq

from calibration.arrays import Array

LEVEL = 0.95


def radius95(covariance: Array) -> Array:
    """Return the radius (n,) that holds 95 % of errors with the covariances (n, 2, 2), in the unit of their roots."""
    trace = covariance[:, 0, 0] + covariance[:, 1, 1]
    split = np.hypot(covariance[:, 0, 0] - covariance[:, 1, 1], 2 * covariance[:, 0, 1])
    large = np.maximum((trace + split) / 2, 0.0)
    small = np.maximum((trace - split) / 2, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(large > 0, np.sqrt(small / large), 1.0)
    ratios, radii = _table()
    return np.asarray(np.sqrt(large) * np.interp(ratio, ratios, radii))


@cache
def _table() -> tuple[Array, Array]:
    """Return axis ratios (33,) from 0 to 1 and the 95 % radius in long axes for each (1.960 to 2.448)."""
    angle = (np.arange(2000) + 0.5) * np.pi / 2000
    ratios = np.linspace(0.0, 1.0, 33)

    def missing(radius: float, ratio: float) -> float:
        spread = np.cos(angle) ** 2 + (ratio * np.sin(angle)) ** 2
        return float(np.exp(-(radius**2) / (2 * spread)).mean()) - (1.0 - LEVEL)

    return ratios, np.array([brentq(missing, 1.0, 4.0, args=(ratio,)) for ratio in ratios])


def rigid_motions(points: Array) -> Array:
    """Return the fields (2n, 3) by which points (n, 2) move when the frame shifts along x, along y, or turns."""
    about = points - points.mean(axis=0)
    fields = np.zeros((len(points), 2, 3))
    fields[:, 0, 0] = fields[:, 1, 1] = 1.0
    fields[:, 0, 2], fields[:, 1, 2] = -about[:, 1], about[:, 0]
    return fields.reshape(-1, 3)


def free_datum(covariance: Array, moves: Array, by_terms: Array, points: Array) -> Array:
    """Return ``covariance`` (p, p) seen from the frame that fits the whole picture best (a free network).

    Args:
        covariance: (p, p) of the terms in some arbitrary frame.
        moves: (p, 3) change of the terms under the three rigid motions of ``rigid_motions(points)``.
        by_terms: (n, 2, p) movement of the points with the terms.
        points: (n, 2) mm, a grid over the picture.

    Source: the S-transformation of Baarda (1973); Teunissen, Adjustment Theory (edition and page from memory).

    """
    rigid = rigid_motions(points)
    slopes = by_terms.reshape(len(rigid), -1)
    keep = np.eye(len(covariance)) - moves @ np.linalg.solve(rigid.T @ rigid, rigid.T @ slopes)
    return np.asarray(keep @ covariance @ keep.T)
