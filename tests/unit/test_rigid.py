"""The rigid fit: exact where it can be, the same whatever the axes, against two other libraries, and refused where it cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation
from skimage.transform import EuclideanTransform

from calibration.refusal import Refusal
from server.geometry import rigid
from server.geometry.placement import Placement
from server.geometry.rigid import Array, Seen

SEEDS = range(25)
SQUARE = np.array([[0.0, 0.0], [80.0, 0.0], [80.0, 50.0], [0.0, 50.0]])


def case(seed: int, noise: float = 0.0) -> tuple[Array, Array, Placement]:
    """Return places, where they were seen, and the placement that put them there."""
    rng = np.random.default_rng(seed)
    places = rng.uniform(-300.0, 300.0, (int(rng.integers(2, 9)), 2))
    x, y, turn = rng.uniform([-900, -900, -180], [900, 900, 180]).tolist()
    truth = Placement(x, y, turn, bool(rng.integers(2)))
    return places, truth.apply(places) + rng.normal(0.0, noise, places.shape), truth


def same(one: Placement, other: Placement, within: float = 1e-8) -> bool:
    turn = abs(math.remainder(one.turn_degrees - other.turn_degrees, 360.0))
    return math.dist((one.x, one.y), (other.x, other.y)) < within and turn < within and one.mirror == other.mirror


@pytest.mark.parametrize("seed", SEEDS)
def test_recovers_exactly_what_was_laid(seed: int) -> None:
    places, seen, truth = case(seed)
    assert same(rigid.fit_points(places, seen, mirror=truth.mirror), truth)
    assert rigid.inverse(truth, seen) == pytest.approx(places, abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_turns_as_scipy_and_places_as_skimage_do(seed: int) -> None:
    places, seen, truth = case(seed, noise=2.0)
    found = rigid.fit_points(places, seen, mirror=truth.mirror)
    flipped = places * [-1.0, 1.0] if truth.mirror else places
    flat = np.zeros((len(places), 1))
    about = [np.hstack([part - part.mean(axis=0), flat]) for part in (seen, flipped)]
    # In the plane the third axis is free to flip for a mirror image; a heavy third vector keeps it upright.
    upright = [np.vstack([part, [0.0, 0.0, 1e6]]) for part in about]
    turn = Rotation.align_vectors(upright[0], upright[1])[0].as_euler("zyx", degrees=True)[0]
    assert math.remainder(found.turn_degrees - turn, 360.0) == pytest.approx(0.0, abs=1e-6)
    theirs = EuclideanTransform.from_estimate(flipped, seen)
    assert found.apply(places) == pytest.approx(theirs(flipped), abs=1e-8)


@pytest.mark.parametrize("seed", SEEDS)
def test_moves_with_the_table_and_against_the_piece(seed: int) -> None:
    places, seen, truth = case(seed, noise=3.0)
    rng = np.random.default_rng(seed + 1000)
    table, own = (Placement(x, y, turn) for x, y, turn in rng.uniform(-170, 170, (2, 3)).tolist())
    plain = rigid.fit_points(places, seen, mirror=truth.mirror).apply(places)
    moved = rigid.fit_points(own.apply(places), table.apply(seen), mirror=truth.mirror)
    assert moved.apply(own.apply(places)) == pytest.approx(table.apply(plain), abs=1e-8)


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_near_fits_better(seed: int) -> None:
    places, seen, truth = case(seed, noise=3.0)
    found = rigid.fit_points(places, seen, mirror=truth.mirror)
    least = ((found.apply(places) - seen) ** 2).sum()
    for step in np.vstack([np.eye(3), -np.eye(3)]) * [0.05, 0.05, 0.001]:
        beside = rigid.moved(found, seen.mean(axis=0), step)
        assert ((beside.apply(places) - seen) ** 2).sum() >= least


def on_square(_index: int, near: Array) -> tuple[Array, Array]:
    """Return the place on the square's outline nearest to a place near it, and the normal there."""
    sides = [(np.array([near[0], y]), np.array([0.0, 1.0])) for y in (0.0, 50.0)]
    sides += [(np.array([x, near[1]]), np.array([1.0, 0.0])) for x in (0.0, 80.0)]
    return min(sides, key=lambda side: math.dist(side[0], near))


def test_edges_count_only_across() -> None:
    """Seen anywhere along its edge, a place still holds the piece: here each is seen up to 9 mm along its side."""
    truth = Placement(400.0, 300.0, 33.0)
    asked = np.array([[40.0, 0.0], [80.0, 25.0], [40.0, 50.0], [0.0, 25.0], [60.0, 0.0]])
    normals = np.array([[0.0, 1.0], [1.0, 0.0], [0.0, 1.0], [1.0, 0.0], [0.0, 1.0]])
    slid = asked + np.array([[7.0, 0.0], [0.0, -8.0], [-9.0, 0.0], [0.0, 6.0], [9.0, 0.0]])
    found, seen = rigid.fit(Seen(asked, truth.apply(slid), normals), on_square)
    assert same(found, truth, 1e-6)
    assert seen.places == pytest.approx(slid, abs=1e-6)
    assert not same(rigid.fit_points(asked, truth.apply(slid)), truth, 0.5)


def test_a_corner_and_two_edges_are_enough_and_two_edges_are_not() -> None:
    truth = Placement(10.0, 20.0, -70.0, True)
    places = np.array([[0.0, 0.0], [40.0, 50.0], [80.0, 25.0]])
    normals = np.array([[np.nan, np.nan], [0.0, 1.0], [1.0, 0.0]])
    assert same(rigid.fit(Seen(places, truth.apply(places), normals), on_square, mirror=True)[0], truth, 1e-6)
    with pytest.raises(Refusal, match="free to slide"):
        rigid.fit(Seen(places[1:], truth.apply(places[1:]), normals[1:]), on_square, mirror=True)


def test_edges_that_all_run_one_way_are_refused() -> None:
    places = np.array([[10.0, 0.0], [40.0, 0.0], [20.0, 50.0], [60.0, 50.0]])
    with pytest.raises(Refusal, match="free to slide"):
        rigid.fit(Seen(places, places, np.tile([0.0, 1.0], (4, 1))), on_square)


@pytest.mark.parametrize(
    ("places", "sentence"),
    [(SQUARE[:1], "Two places"), (np.zeros((0, 2)), "Two places"), (np.array([[5.0, 5.0], [5.5, 5.0]]), "too close")],
)
def test_too_little_is_refused(places: Array, sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        rigid.fit_points(places, places)


def test_turn_is_held_however_the_places_lie() -> None:
    """The equations' shift and turn are those of a small move, in mm and radians."""
    truth = Placement(100.0, 100.0, 20.0)
    seen = Seen.points(SQUARE, truth.apply(SQUARE))
    equations, off = rigid.system(seen, truth)
    assert off == pytest.approx(np.zeros(8), abs=1e-12)
    step = np.array([0.3, -0.2, 1e-5])
    nearby = rigid.moved(truth, seen.seen.mean(axis=0), step)
    change = (nearby.apply(SQUARE) - truth.apply(SQUARE)).ravel()
    assert equations @ step == pytest.approx(change, abs=1e-7)
