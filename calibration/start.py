"""A place to start the adjustment from: close enough that least squares finds the rest."""

from __future__ import annotations

import numpy as np

from calibration.arrays import Array
from calibration.bench import DOUBTS
from calibration.equations import LENS_HEIGHT, LENS_SPREADS, POSITION_SPREAD, Chart, Prior
from calibration.parallax import Parallax
from calibration.plane import Plane, tangent
from calibration.refusal import Refusal
from calibration.sightings import Sightings

_LEAST_BLOCK = 5.0
"""mm: sightings on anything lower do not help to start the lens position."""


def start(sightings: Sightings) -> tuple[Chart, Prior, Array]:
    """Return the chart about a first guess, what is held, and the unknowns (15,) to start from.

    Raises:
        Refusal: when the sightings are too few or lie so that no plane map can be guessed.

    """
    plane = _plane(sightings)
    width, middle = _picture_on_table(plane, sightings.picture)
    chart = _chart(plane, sightings.picture, width, middle)
    spread = [LENS_SPREADS["centre"], LENS_SPREADS["centre"], LENS_SPREADS["k1"], LENS_SPREADS["k2"], *POSITION_SPREAD]
    prior = Prior(np.zeros(7), np.array(spread))
    unknowns = np.zeros(15)
    unknowns[12:] = _lens_guess(plane, sightings, np.append(middle, LENS_HEIGHT * width), width)
    return chart, prior, unknowns


def _plane(sightings: Sightings) -> Plane:
    """Return the first plane map, table mm to px."""
    flat = [p for p in sightings.positions if p.height < _LEAST_BLOCK]
    if len({p.cross for p in flat}) < 4:
        flat = list(sightings.positions)
    if len({p.cross for p in flat}) >= 4:
        return Plane.fit([p.at for p in flat], sightings.pixels([p.cross for p in flat]))
    return _similarity(sightings)


def _similarity(sightings: Sightings) -> Plane:
    """Return turn, scale and shift from two marks or more, or the scale alone from the distances."""
    names = [p.cross for p in sightings.positions]
    if len(set(names)) == 1:
        raise Refusal(
            f"One known mark ({names[0]}) cannot fix the direction of the table; add a second, or take it away."
        )
    flip = -1.0 if sightings.mirrored else 1.0
    if not names:
        spans = sightings.pixels([d.start for d in sightings.distances]) - sightings.pixels(
            [d.end for d in sightings.distances]
        )
        lengths = np.array([d.length for d in sightings.distances])
        mm = float(np.median(lengths / np.maximum(np.linalg.norm(spans, axis=1), 1e-9)))
        return Plane.of(np.diag([flip / mm, 1.0 / mm, 1.0]))
    pixels, places = sightings.pixels(names), np.array([p.at for p in sightings.positions])
    away, over = places - places.mean(axis=0), (pixels - pixels.mean(axis=0)) * [flip, 1.0]
    factor = np.sum(_complex(over) * np.conj(_complex(away))) / np.sum(np.abs(_complex(away)) ** 2)
    turn = np.array([[factor.real * flip, -factor.imag * flip], [factor.imag, factor.real]])
    shift = pixels.mean(axis=0) - turn @ places.mean(axis=0)
    return Plane.of(np.vstack([np.column_stack([turn, shift]), [0.0, 0.0, 1.0]]))


def _complex(points: Array) -> np.ndarray[tuple[int], np.dtype[np.complex128]]:
    return np.asarray(points[:, 0] + 1j * points[:, 1], dtype=np.complex128)


def _picture_on_table(plane: Plane, picture: tuple[int, int]) -> tuple[float, Array]:
    """Return the width (mm) and middle (2,) of the picture on the table."""
    w, h = picture
    edges = plane.inverse()(np.array([[0, h / 2], [w, h / 2], [w / 2, h / 2]]))
    width = float(np.linalg.norm(edges[1] - edges[0]))
    if not np.isfinite(edges).all() or not 1.0 < width < 1e6:
        raise Refusal(
            "The horizon lies inside the picture with these sightings; check them for swapped or mistyped figures."
        )
    return width, edges[2]


def _chart(plane: Plane, picture: tuple[int, int], width: float, middle: Array) -> Chart:
    """Return the chart about ``plane``, in which every unknown of size 1 changes the picture by about its own size."""
    half = np.array(picture, dtype=np.float64) / 2
    scale = float(np.hypot(*half))
    to_unit = np.array([[1 / width, 0, -middle[0] / width], [0, 1 / width, -middle[1] / width], [0, 0, 1]])
    from_unit = np.array([[scale, 0, half[0]], [0, scale, half[1]], [0, 0, 1]])
    unit = np.linalg.inv(from_unit) @ plane.matrix @ np.linalg.inv(to_unit)
    unit = unit / np.linalg.norm(unit)
    slopes = np.zeros((DOUBTS, 15))
    slopes[:9, :8] = np.kron(from_unit, to_unit.T) @ tangent(unit)
    slopes[9:16, 8:] = np.diag([scale, scale, 1, 1, width, width, width])
    base = np.concatenate(
        [(from_unit @ unit @ to_unit).ravel(), half, [0, 0], middle, [LENS_HEIGHT * width], np.zeros(4)]
    )
    return Chart(picture, scale, base, slopes)


def _lens_guess(plane: Plane, sightings: Sightings, usual: Array, width: float) -> Array:
    """Return the lens position to start from, (3,) in widths away from the usual one."""
    blocks = [p for p in sightings.positions if p.height >= _LEAST_BLOCK]
    flat = {p.cross for p in sightings.positions if p.height < _LEAST_BLOCK}
    if len({p.cross for p in blocks}) < 2 or len(flat) < 4:
        return np.zeros(3)
    heights = np.array([p.height for p in blocks])
    on_plane = plane.inverse()(sightings.pixels([p.cross for p in blocks]))
    try:
        position = Parallax.fit(on_plane, [p.at for p in blocks], heights).position
    except Refusal:
        return np.zeros(3)
    sane = 2 * heights.max() < position[2] < 20 * width
    return np.asarray((position - usual) / width) if sane else np.zeros(3)
