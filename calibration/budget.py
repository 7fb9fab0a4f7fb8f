"""Where the expected error comes from: a budget, row by row, at the places that matter.

Each row is the 95 % radius that its source alone would give; radii of independent sources add by their squares
(JCGM 100:2008, Guide to the expression of uncertainty in measurement, 5.1.2), and what two of them share has a row of its own (5.2.2).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array, solve2
from calibration.bench import Bench
from calibration.precision import radius95

_LENS = slice(13, 16)
PIXEL_SHARE = 0.05
"""Pixels, standard deviation: how truly a line centre is drawn in device pixels (measured in a browser: 0.016 mean, 0.13 at most)."""


@dataclass(frozen=True)
class Row:
    """One source of error.

    Attributes:
        source: its name.
        mm: 95 % radius at the worst of the places.
        how: how the figure was got.
        reference: where it comes from.

    """

    source: str
    mm: float
    how: str
    reference: str


@dataclass(frozen=True)
class Budget:
    """The rows, and all of them together: worst and median over the places, mm at 95 %."""

    rows: tuple[Row, ...]
    worst_mm: float
    median_mm: float


def covariances(bench: Bench, places: Array, height: float = 0.0, thickness_sigma: float = 0.0) -> dict[str, Array]:
    """Return the covariances (n, 2, 2) mm^2 at ``places`` (n, 2) mm by source; their sum is the whole.

    Args:
        bench: calibrated.
        places: mm.
        height: of the lit surface above the table, mm.
        thickness_sigma: standard deviation of that height, mm.

    """
    slopes = bench.landing_partials(places, height)
    whole = slopes @ bench.covariance @ slopes.transpose(0, 2, 1)
    flat = bench.covariance_at(bench.parallax(places, height), 0.0) if height else whole
    lens = _lens_alone(bench, places, height)
    by_place = bench.partials(places, height)[0]
    pixel = solve2(by_place, np.broadcast_to(np.eye(2), by_place.shape)) * PIXEL_SHARE
    run = (places - bench.position[:2]) / (bench.position[2] - height) * thickness_sigma
    return {
        "sightings": flat,
        "lens position": lens,
        "shared": whole - flat - lens,
        "thickness": run[:, :, None] * run[:, None, :],
        "pixel": pixel @ pixel.transpose(0, 2, 1),
    }


def expected(bench: Bench, places: Array, height: float = 0.0, thickness_sigma: float = 0.0) -> Array:
    """Return the 95 % radius (n,) mm at ``places`` (n, 2) mm from all sources together."""
    return radius95(together(covariances(bench, places, height, thickness_sigma)))


def together(parts: Mapping[str, Array]) -> Array:
    """Return the covariances (n, 2, 2) mm^2 of all sources together."""
    return np.asarray(sum(parts.values()))


def budget(bench: Bench, places: Array, height: float = 0.0, thickness_sigma: float = 0.0) -> Budget:
    """Return the budget of the expected error at ``places`` (n, 2) mm on a surface at ``height`` mm."""
    parts = covariances(bench, places, height, thickness_sigma)
    total = radius95(together(parts))
    at = int(total.argmax())
    sizes = {source: _size(part[at]) for source, part in parts.items()}
    rows = tuple(Row(source, sizes[source], how, reference) for source, how, reference in _WORDS)
    return Budget(rows, float(total[at]), float(np.median(total)))


def _size(part: Array) -> float:
    """Return the 95 % radius of one source (2, 2) mm^2; negative where what two sources share takes from the whole."""
    if np.trace(part) >= 0.0:
        return float(radius95(_positive(part[None]))[0])
    return -float(radius95(_positive(-part[None]))[0])


def lens_cost(bench: Bench, places: Array, heights: Sequence[float]) -> list[float]:
    """Return what the present doubt about the lens position costs at each height: worst 95 % radius over ``places``, mm."""
    return [float(radius95(_lens_alone(bench, places, height)).max()) for height in heights]


def _lens_alone(bench: Bench, places: Array, height: float) -> Array:
    """Return the covariances (n, 2, 2) mm^2 that the doubt about the lens position alone brings on a surface at ``height``."""
    slopes = bench.landing_partials(places, height)[:, :, _LENS]
    return np.asarray(slopes @ bench.covariance[_LENS, _LENS] @ slopes.transpose(0, 2, 1))


def ellipses(bench: Bench, places: Array, height: float = 0.0, thickness_sigma: float = 0.0) -> Array:
    """Return the 95 % ellipses (n, 3) at ``places``: half axes in mm, the long one first, and its direction in degrees.

    The half axes are 2.448 standard deviations (chi-square with two degrees of freedom, 95 %).
    """
    values, vectors = np.linalg.eigh(together(covariances(bench, places, height, thickness_sigma)))
    axes = 2.447747 * np.sqrt(np.maximum(values, 0.0))
    turn = np.degrees(np.arctan2(vectors[:, 1, 1], vectors[:, 0, 1]))
    return np.column_stack([axes[:, 1], axes[:, 0], turn])


def _positive(covariance: Array) -> Array:
    """Return the nearest covariance with no negative variance (a difference of two nearly equal ones may have some)."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.maximum(values, 0.0)[:, None, :] @ vectors.transpose(0, 2, 1))


_WORDS = (
    ("sightings", "covariance of the adjustment, carried to the place", "Criminisi, Reid, Zisserman, BMVC 1997"),
    ("lens position", "its own doubt, carried to the height of the surface", "similar triangles about the lens"),
    (
        "shared",
        "sighted together, the two above are not independent: below zero, one takes from the other",
        "JCGM 100:2008, 5.2.2",
    ),
    ("thickness", "standard deviation of the height times the slope of the ray", "similar triangles about the lens"),
    ("pixel", f"{PIXEL_SHARE} px: how truly a line centre is drawn", "measured in a browser"),
)
