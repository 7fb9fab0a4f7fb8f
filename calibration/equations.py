"""From sightings to equations: what each should read on a bench, and how that changes with the bench's terms."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.refusal import Refusal
from calibration.sightings import LensFoot, LensHeight, Sightings, Slant, distance

LENS_SPREADS = {"centre": 0.35, "k1": 0.013, "k2": 0.007}
"""What is believed of a projector lens before any sighting, as standard deviations: its optical centre within a third of
the scale of the picture's middle, and terms that keep TV distortion at about 1 % (makers' data sheets state 1 %;
from memory). They only matter for terms that the sightings do not hold."""
POSITION_SPREAD = (0.4, 0.4, 0.5)
"""The same for the lens position over the middle of the picture, in picture widths: x, y, and the height about 1.5."""
LENS_HEIGHT = 1.5
"""Picture widths: usual throw of a ceiling projector (makers' data sheets; from memory)."""


@dataclass(frozen=True)
class Chart:
    """Unknowns (15,) to the 16 terms of a bench: terms = base + slopes @ unknowns, the four products kept at zero.

    The eight ways in which a plane map can change, the lens centre (in scales), k1, k2, the lens position (in widths).
    """

    picture: tuple[int, int]
    scale: float
    base: Array
    slopes: Array

    def terms(self, unknowns: Array) -> Array:
        """Return the terms (20,) of ``calibration.bench.TERMS`` and ``PRODUCTS``."""
        return np.asarray(self.base + self.slopes @ unknowns)

    def bench(self, unknowns: Array) -> Bench:
        """Return the bench of the unknowns (15,), without covariance; its plane matrix is not normalised."""
        terms = self.terms(unknowns)
        lens = Lens(terms[9:11], self.scale, float(terms[11]), float(terms[12]))
        return Bench(
            self.picture, Plane(terms[:9].reshape(3, 3)), lens, Parallax(terms[13:16]), np.zeros((DOUBTS, DOUBTS))
        )


@dataclass(frozen=True)
class Prior:
    """What is held before any sighting: the last seven unknowns lie at ``mean`` (7,) give or take ``spread`` (7,)."""

    mean: Array
    spread: Array

    def equations(self, unknowns: Array) -> tuple[Array, Array]:
        """Return the residuals over spread (7,) and their Jacobian (7, 15)."""
        jacobian = np.zeros((7, 15))
        jacobian[:, 8:] = np.diag(1.0 / self.spread)
        return (unknowns[8:] - self.mean) / self.spread, jacobian


class Observed:
    """The equations of all sightings of a bench, in the order positions (x, y), distances, lens."""

    def __init__(self, sightings: Sightings) -> None:
        self.sightings = sightings
        positions, distances, slants = sightings.positions, sightings.distances, _slants(sightings)
        first, second = frame_crosses(sightings)
        names = [p.cross for p in positions]
        names += [d.start for d in distances] + [d.end for d in distances] + [s.cross for s in slants] + [first, second]
        heights = [p.height for p in positions] + 2 * [d.height for d in distances] + [0.0] * (len(slants) + 2)
        self._pixels, self._heights = sightings.pixels(names), np.array(heights)
        counts = np.cumsum([len(positions), len(distances), len(distances), len(slants)])
        self._cuts: list[int] = [int(count) for count in counts]
        self.sigma = np.array(
            [p.sigma for p in positions for _ in "xy"] + [d.sigma for d in distances] + _lens_sigmas(sightings)
        )

    def raised(self, factor: float) -> Observed:
        """Return the same sightings with every sigma times ``factor``."""
        if factor == 1.0:
            return self
        other = copy(self)
        other.sigma = self.sigma * factor
        return other

    def residuals(self, bench: Bench) -> tuple[Array, Array]:
        """Return computed minus observed (m,) mm and the derivatives by the terms (m, 20)."""
        places = bench.to_table(self._pixels, self._heights)
        slopes = bench.landing_partials(places, self._heights)
        parts = [self._positions(places, slopes), self._distances(places, slopes), *self._lens(bench, places, slopes)]
        return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])

    def _positions(self, places: Array, slopes: Array) -> tuple[Array, Array]:
        count = self._cuts[0]
        at = np.array([p.at for p in self.sightings.positions]).reshape(-1, 2)
        return (places[:count] - at).ravel(), slopes[:count].reshape(-1, DOUBTS)

    def _distances(self, places: Array, slopes: Array) -> tuple[Array, Array]:
        start, end = slice(self._cuts[0], self._cuts[1]), slice(self._cuts[1], self._cuts[2])
        length, by_start, by_end = distance(places[start], places[end])
        change = np.einsum("ni,nip->np", by_start, slopes[start]) + np.einsum("ni,nip->np", by_end, slopes[end])
        return length - np.array([d.length for d in self.sightings.distances]), change

    def _lens(self, bench: Bench, places: Array, slopes: Array) -> list[tuple[Array, Array]]:
        by_lens = np.zeros((3, DOUBTS))
        by_lens[:, 13:16] = np.eye(3)
        slant = iter(range(self._cuts[2], self._cuts[3]))
        parts: list[tuple[Array, Array]] = []
        for sighting in self.sightings.lens:
            if isinstance(sighting, Slant):
                here = next(slant)
                length, by_place, by_position = distance(np.append(places[here], 0.0), bench.position)
                change = by_place[:2] @ slopes[here] + by_position @ by_lens
                parts.append((np.array([length - sighting.slant]), change[None, :]))
            elif isinstance(sighting, LensHeight):
                parts.append((bench.position[2:] - sighting.height, by_lens[2:]))
            else:
                parts.append(self._foot(bench, sighting, places[-2:], slopes[-2:]))
        return parts

    def _foot(self, bench: Bench, sighting: LensFoot, ends: Array, slopes: Array) -> tuple[Array, Array]:
        """A foot is given in the table frame: that of the positions, or (tape only) of the first two crosses."""
        by_foot = np.zeros((2, DOUBTS))
        by_foot[:, 13:15] = np.eye(2)
        if not self.sightings.tape_only:
            return bench.position[:2] - np.array(sighting.at), by_foot
        length, _, along = distance(ends[0], ends[1])
        axes = np.array([along, [-along[1], along[0]]])
        away = bench.position[:2] - ends[0]
        turn = axes[1] @ (slopes[1] - slopes[0]) / length
        swing = np.outer(np.array([axes[1] @ away, -(axes[0] @ away)]), turn)
        return axes @ away - np.array(sighting.at), axes @ (by_foot - slopes[0]) + swing


def frame_crosses(sightings: Sightings) -> tuple[str, str]:
    """Return the two crosses that make the frame when there is only tape: the first two that distances name.

    Raises:
        Refusal: when fewer than two crosses were sighted at all.

    """
    named = {n for d in sightings.distances for n in (d.start, d.end)} | {p.cross for p in sightings.positions}
    used = [name for name in sightings.crosses if name in named]
    if len(used) < 2:
        raise Refusal("Nothing is sighted yet: give the places of four crosses, or the distances between them.")
    return used[0], used[1]


def _slants(sightings: Sightings) -> Sequence[Slant]:
    return [s for s in sightings.lens if isinstance(s, Slant)]


def _lens_sigmas(sightings: Sightings) -> list[float]:
    return [s.sigma for s in sightings.lens for _ in range(2 if isinstance(s, LensFoot) else 1)]
