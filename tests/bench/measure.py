"""Calibrate virtual benches, project, trace the rays, and measure in mm how far the light lies from where it should.

Every figure comes from fixed seeds: bench i of a series is the same bench in every run and in every way of sighting.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np

from calibration.adjust import Adjustment, adjust
from calibration.bench import Bench
from calibration.plane import Plane
from calibration.sightings import Distance, Sightings, read
from calibration.targets import propose_distance
from tests.bench import simulator as sim
from tests.bench.simulator import Array, Document, Projector

SEED = 20_250
MARK_SIGMA, TAPE_SIGMA, BLOCK = 0.25, 0.3, 100.0
LEATHER = (2.0, 4.0, 6.0, 8.0)
Sight = Callable[[Projector, np.random.Generator], Document]


@dataclass(frozen=True)
class Outcome:
    """What one virtual bench came to.

    Attributes:
        error: (n,) mm, how far each line of a grid over the whole picture lands from where it was meant.
        predicted: (n,) mm, the 95 % radius that the bench states for the same places.
        pixel: mm, side of one picture pixel in the middle of the picture.
        sigma0: standard deviation of unit weight of the adjustment.

    """

    error: Array
    predicted: Array
    pixel: float
    sigma0: float

    @property
    def error95(self) -> float:
        """Mm within which 95 % of the picture lies."""
        return float(np.quantile(self.error, 0.95))

    @property
    def covered(self) -> float:
        """Share of the picture that lies within what was predicted."""
        return float(np.mean(self.error <= self.predicted))


def bench_number(index: int, mirrored: bool | None = None) -> tuple[Projector, np.random.Generator]:
    """Return the virtual bench of that number and the random hand that sights it."""
    rng = np.random.default_rng([SEED, index])
    return sim.random_projector(rng, mirrored), rng


def marks(projector: Projector, rng: np.random.Generator) -> Document:
    """5 x 4 crosses on known marks, 0.25 mm."""
    return sim.sight_marks(projector, sim.grid(projector.picture, 5, 4), rng, MARK_SIGMA)


def marks_and_block(projector: Projector, rng: np.random.Generator) -> Document:
    """5 x 4 crosses on known marks, and the four corner crosses once more on top of a 100 mm block, 0.25 mm."""
    crosses = sim.grid(projector.picture, 5, 4)
    corners = {name: crosses[name] for name in ("A", "E", "P", "T")}
    flat = sim.sight_marks(projector, crosses, rng, MARK_SIGMA)
    return sim.combine(flat, sim.sight_block(projector, corners, rng, MARK_SIGMA, BLOCK))


def nudged(projector: Projector, rng: np.random.Generator) -> Document:
    """5 x 4 crosses stepped by whole pixels onto known marks, the hand stopping within 0.25 mm."""
    return sim.nudge_marks(projector, sim.grid(projector.picture, 5, 4), rng, MARK_SIGMA)


def tape(projector: Projector, rng: np.random.Generator) -> Document:
    """Nine crosses, 26 of their 36 distances with a tape, 0.3 mm; which ten are left out is chance."""
    return sim.sight_tape(projector, sim.grid(projector.picture, 3, 3), rng, TAPE_SIGMA, 26)


def tape_as_proposed(projector: Projector, rng: np.random.Generator) -> Document:
    """Nine crosses, the 26 distances that the calibration itself proposes, 0.3 mm."""
    return sim.sight_tape(projector, sim.grid(projector.picture, 3, 3), rng, TAPE_SIGMA, _proposed(projector.picture))


@cache
def _proposed(picture: tuple[int, int]) -> tuple[tuple[str, str], ...]:
    crosses, taken = sim.grid(picture, 3, 3), list[Distance]()
    while len(taken) < 26 and (pair := propose_distance(Sightings(picture, crosses, (), tuple(taken)))):
        taken.append(Distance(*pair, 1.0))
    return tuple((one.start, one.end) for one in taken)


@cache
def misjudged(sight: Sight, factor: float) -> Sight:
    """Return a way of sighting by a hand that states ``factor`` times its true sigmas."""

    def sighted(projector: Projector, rng: np.random.Generator) -> Document:
        document = sight(projector, rng)
        kinds = ("positions", "distances", "lens")
        return {
            **document,
            **{k: [{**one, "sigma": one["sigma"] * factor} for one in document.get(k, [])] for k in kinds},
        }

    return sighted


def says_wrong_sigmas(adjustment: Adjustment) -> str | None:
    """Return "small" or "large" where the report says that the stated sigmas are too small or too large, else None."""
    words = " ".join(adjustment.report.warnings)
    if "only" in words and "as much as was stated" in words:
        return "large"
    return "small" if "as much as was stated" in words else None


def four_corners(projector: Projector, rng: np.random.Generator) -> Document:
    """The four corners of the picture on known marks, 0.25 mm: what a plain keystone correction sees."""
    return sim.sight_marks(projector, sim.grid(projector.picture, 2, 2, margin=0.0), rng, MARK_SIGMA)


def picture_grid(picture: tuple[int, int], columns: int = 25, rows: int = 15) -> Array:
    """Return (rows * columns, 2) px over the whole picture, edge to edge."""
    u, v = np.meshgrid(np.linspace(0, picture[0], columns), np.linspace(0, picture[1], rows))
    return np.column_stack([u.ravel(), v.ravel()])


def calibrate(document: Document) -> Adjustment:
    """Put a sightings document through the real door: read, adjust."""
    return adjust(read(document))


def outcome(projector: Projector, adjustment: Adjustment, height: float = 0.0) -> Outcome:
    """Aim at a grid of places with the calibrated bench, let the true projector cast the light, measure."""
    bench = adjustment.bench
    places, landed = _shot(projector, bench, height)
    if bench.frame == "tape":
        landed = sim.rigid(landed, places)
    error = np.linalg.norm(landed - places, axis=1)
    middle = bench.to_table(np.array([projector.picture], float) / 2, height)
    return Outcome(error, bench.error95(places, height), float(bench.pixel(middle)[0]), adjustment.report.sigma0 or 0.0)


def _shot(projector: Projector, bench: Bench, height: float) -> tuple[Array, Array]:
    """Return the places aimed at, in the frame of the bench, and where the light lands, in the true frame."""
    pixels = picture_grid(projector.picture)
    if bench.frame == "tape":
        places = bench.to_table(pixels, height)
        return places, projector.land(bench.to_picture(places, height), height)
    places = projector.land(pixels, height)
    return places, projector.land(bench.to_picture(places, height), height)


def homography_error95(projector: Projector, document: Document) -> float:
    """Return mm within which 95 % of the picture lies when the same marks are fitted with a homography alone."""
    names = [one["cross"] for one in document["positions"]]
    seen = np.array([one["at"] for one in document["positions"]])
    plane = Plane.fit(seen, np.array([document["crosses"][name] for name in names]))
    places = projector.land(picture_grid(projector.picture))
    return float(np.quantile(np.linalg.norm(projector.land(plane(places)) - places, axis=1), 0.95))


def parallax_remainder(projector: Projector, bench: Bench) -> float:
    """Return mm: 95 % of what is left of the shift by leather 2-8 mm thick, errors at height 0 taken out."""
    on_table = projector.land(picture_grid(projector.picture))
    left = []
    for thickness in LEATHER:
        pixels = bench.to_picture(on_table, thickness)
        expected = bench.to_table(pixels) - on_table
        true_shift = projector.land(projector.aim(on_table, thickness)) - on_table
        left.append(np.linalg.norm(expected - true_shift, axis=1))
    return float(np.quantile(np.concatenate(left), 0.95))


@cache
def series(sight: Sight, count: int, height: float = 0.0) -> tuple[Outcome, ...]:
    """Return the outcomes of benches 0 to count - 1, sighted one way."""
    return tuple(_one(sight, index, height) for index in range(count))


def _one(sight: Sight, index: int, height: float) -> Outcome:
    return outcome(*calibrated(sight, index), height)


@cache
def calibrated(sight: Sight, index: int) -> tuple[Projector, Adjustment]:
    """Return the virtual bench of that number and what its calibration from one way of sighting came to."""
    projector, rng = bench_number(index)
    return projector, calibrate(sight(projector, rng))


def coverage(outcomes: tuple[Outcome, ...]) -> tuple[float, float]:
    """Return the mean share covered, and its standard error: the points of one bench are not independent, the benches are."""
    shares = np.array([one.covered for one in outcomes])
    return float(shares.mean()), float(shares.std(ddof=1) / np.sqrt(len(shares)))
