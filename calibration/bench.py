"""A calibrated bench: the chain of plane, lens and height, and how sure it is at each place.

    place mm at height z --Parallax--> plane mm --Plane--> ideal px --Lens--> picture px

Picture pixels have their edges on whole numbers (the centre of the first is 0.5, 0.5). The table frame is in mm, x right,
y towards the maker, z up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from calibration.arrays import Array, Numbers, as_points, solve2
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.precision import radius95
from calibration.refusal import Refusal

TERMS = (
    "h11",
    "h12",
    "h13",
    "h21",
    "h22",
    "h23",
    "h31",
    "h32",
    "h33",
    "centre x",
    "centre y",
    "k1",
    "k2",
    "lens x",
    "lens y",
    "lens z",
)
PRODUCTS = ("k1 by centre x", "k1 by centre y", "k2 by centre x", "k2 by centre y")
"""Doubts of second order: the lens error is a product of its terms and the way from its centre."""
DOUBTS = len(TERMS) + len(PRODUCTS)
_KIND, _VERSION, _LARGEST = "hidelight bench", 1, 16384


@dataclass(frozen=True)
class Bench:
    """One projector over one table.

    Attributes:
        picture: width, height in device pixels.
        plane: plane mm to ideal px.
        lens: ideal px to picture px.
        parallax: the lens position over the table.
        covariance: (20, 20) of the terms named in ``TERMS``, then ``PRODUCTS``.
        frame: what fixes the table frame: "positions", "tape" (shape only) or "nominal" (not calibrated at all).

    """

    picture: tuple[int, int]
    plane: Plane
    lens: Lens
    parallax: Parallax
    covariance: Array
    frame: str = "positions"

    @staticmethod
    def nominal(picture: tuple[int, int], width_mm: float) -> Bench:
        """Return the guess before any sighting: square pixels, ``width_mm`` wide, origin at the picture's corner."""
        pixel = width_mm / picture[0]
        plane = Plane.of([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, pixel]])
        middle = np.array(picture, dtype=np.float64) / 2
        lens = Lens(middle, float(np.hypot(*middle)), 0.0, 0.0)
        position = np.array([*(middle * pixel), 1.5 * width_mm])
        return Bench(picture, plane, lens, Parallax(position), np.zeros((DOUBTS, DOUBTS)), "nominal")

    @property
    def position(self) -> Array:
        """The lens position (3,) in mm."""
        return self.parallax.position

    def to_picture(self, points: Numbers, height: float | Array = 0.0) -> Array:
        """Return the picture px (n, 2) that light the places (n, 2) mm at ``height`` mm (one, or (n,))."""
        return self.lens(self.plane(self.parallax(as_points(points, "table points"), height)))

    def to_table(self, points: Numbers, height: float | Array = 0.0) -> Array:
        """Return where the picture px (n, 2) land, mm (n, 2), on a surface at ``height`` mm.

        Raises:
            Refusal: where the lens terms or the horizon give a pixel no place on the table.

        """
        ideal = self.lens.inverse(as_points(points, "picture points"))
        return self.parallax.inverse(self.plane.inverse()(ideal), height)

    def partials(self, points: Array, height: float | Array = 0.0) -> tuple[Array, Array]:
        """Return the derivatives of ``to_picture`` by the place (n, 2, 2) and by ``TERMS`` (n, 2, 16)."""
        on_plane = self.parallax(points, height)
        by_place, by_position = self.parallax.partials(points, height)
        by_plane, by_entry = self.plane.partials(on_plane)
        by_ideal, by_lens = self.lens.partials(self.plane(on_plane))
        below = by_ideal @ by_plane
        return below @ by_place, np.concatenate([by_ideal @ by_entry, by_lens, below @ by_position], axis=2)

    def landing_partials(self, points: Array, height: float | Array = 0.0) -> Array:
        """Return how the landing of a fixed pixel moves with ``TERMS`` and ``PRODUCTS``, (n, 2, 20) mm, at places (n, 2) mm."""
        by_place, by_term = self.partials(points, height)
        by_product = self.lens.mixed(self.plane(self.parallax(points, height)))
        return -solve2(by_place, np.concatenate([by_term, by_product], axis=2))

    def covariance_at(self, points: Numbers, height: float | Array = 0.0) -> Array:
        """Return the covariance (n, 2, 2) mm^2 of where a line meant for the places (n, 2) mm really lands.

        Source: propagation through the Jacobian as in Criminisi, Reid, Zisserman, A plane measuring device, BMVC 1997.
        """
        slopes = self.landing_partials(as_points(points, "table points"), height)
        return np.asarray(slopes @ self.covariance @ slopes.transpose(0, 2, 1))

    def error95(self, points: Numbers, height: float | Array = 0.0) -> Array:
        """Return the radius (n,) mm round each place (n, 2) mm within which its line lies in 95 % of cases."""
        return radius95(self.covariance_at(points, height))

    def pixel(self, points: Numbers, height: float | Array = 0.0) -> Array:
        """Return the side (n,) mm of a square as large as one picture pixel at the places (n, 2) mm."""
        by_place = self.partials(as_points(points, "table points"), height)[0]
        return np.asarray(1.0 / np.sqrt(np.abs(np.linalg.det(by_place))))

    def grid(self, columns: int, rows: int, height: float = 0.0) -> Array:
        """Return a (rows * columns, 2) mm grid that covers the picture edge to edge, row by row."""
        u, v = np.meshgrid(np.linspace(0, self.picture[0], columns), np.linspace(0, self.picture[1], rows))
        return self.to_table(np.column_stack([u.ravel(), v.ravel()]), height)

    def footprint(self, height: float = 0.0, steps: int = 8) -> Array:
        """Return the outline of the picture on a surface at ``height`` mm, (4 * steps, 2) mm, once round."""
        along = np.linspace(0, 1, steps, endpoint=False)
        width, depth = self.picture
        top = np.column_stack([along * width, 0 * along])
        right = np.column_stack([0 * along + width, along * depth])
        back = np.array([width, depth])
        return self.to_table(np.vstack([top, right, back - top, back - right]), height)

    def moved(self, turn: float, shift: Array) -> Bench:
        """Return the same bench in a frame where places are turned by ``turn`` rad about the old origin, then shifted (2,) mm."""
        rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
        back = np.eye(3)
        back[:2, :2], back[:2, 2] = rotation.T, -rotation.T @ shift
        raw = self.plane.matrix @ back
        norm = float(np.linalg.norm(raw))
        change = np.eye(DOUBTS)
        change[:9, :9] = np.kron(np.eye(3), back.T) / norm
        change[13:15, 13:15] = rotation
        position = np.append(rotation @ self.position[:2] + shift, self.position[2])
        return replace(
            self, plane=Plane.of(raw), parallax=Parallax(position), covariance=change @ self.covariance @ change.T
        )

    def to_json(self) -> dict[str, Any]:
        """Return the bench file as plain values: mm, px; all that ``from_json`` needs."""
        return {
            "kind": _KIND,
            "version": _VERSION,
            "unit": "mm",
            "picture": {"width": self.picture[0], "height": self.picture[1]},
            "plane": self.plane.matrix.tolist(),
            "lens": {
                "centre": self.lens.centre.tolist(),
                "scale": self.lens.scale,
                "k1": self.lens.k1,
                "k2": self.lens.k2,
            },
            "position": self.position.tolist(),
            "terms": [*TERMS, *PRODUCTS],
            "covariance": self.covariance.tolist(),
            "frame": self.frame,
        }

    @staticmethod
    def from_json(document: Mapping[str, Any]) -> Bench:
        """Read what ``to_json`` wrote.

        Raises:
            Refusal: when it is no bench file, a newer one, or a number is missing or not finite.

        """
        if not isinstance(document, Mapping) or document.get("kind") != _KIND:
            raise Refusal(
                "This is not a bench file; make one with: hidelight calibrate SIGHTINGS.json --out BENCH.json."
            )
        if document.get("version") != _VERSION:
            raise Refusal(
                f"This bench file has version {document.get('version')!r}; this program reads version {_VERSION}."
            )
        try:
            return _read(document)
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
            raise Refusal(
                f"The bench file is damaged ({error!s:.120}); calibrate anew and keep the new file."
            ) from error


def _read(document: Mapping[str, Any]) -> Bench:
    picture = (int(document["picture"]["width"]), int(document["picture"]["height"]))
    lens, frame = document["lens"], str(document["frame"])
    covariance = _finite(document["covariance"], (DOUBTS, DOUBTS), "covariance")
    position = _finite(document["position"], (3,), "position")
    terms = _finite([lens["scale"], lens["k1"], lens["k2"]], (3,), "lens")
    if (
        not (min(picture) >= 16 and max(picture) <= _LARGEST)
        or position[2] <= 0
        or terms[0] <= 0
        or frame not in ("positions", "tape", "nominal")
    ):
        raise ValueError("picture size, lens height, lens scale or frame out of range")
    centre = _finite(lens["centre"], (2,), "lens centre")
    plane = Plane.of(_finite(document["plane"], (3, 3), "plane"))
    return Bench(picture, plane, Lens(centre, *map(float, terms)), Parallax(position), covariance, frame)


def _finite(values: Any, shape: tuple[int, ...], what: str) -> Array:
    array = np.asarray(values, dtype=np.float64)
    if array.shape != shape or not np.isfinite(array).all():
        raise ValueError(f"{what} should be {shape} finite numbers")
    return array
