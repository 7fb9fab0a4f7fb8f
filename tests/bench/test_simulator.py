"""The virtual bench itself is right: cases worked by hand, OpenCV's projection, and hands that shake as much as they say."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from tests.bench import simulator as sim
from tests.bench.simulator import Array, Projector

PLAIN = Projector(lens=(600.0, 400.0, 1800.0), throw=1.5)
"""Straight down from 1800 mm: the picture is 1200 x 675 mm round (600, 400)."""


def random_projectors(count: int) -> list[Projector]:
    rng = np.random.default_rng(77)
    return [sim.random_projector(rng) for _ in range(count)]


def random_pixels(count: int, seed: int = 5) -> Array:
    return np.random.default_rng(seed).uniform([0.0, 0.0], [1920.0, 1080.0], (count, 2))


def test_nothing_of_ours_in_it() -> None:
    tree = ast.parse(Path(sim.__file__).read_text())
    imported = {name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names}
    imported |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert imported == {"collections.abc", "dataclasses", "itertools", "typing", "numpy", "numpy.typing"}


@pytest.mark.parametrize(
    ("pixel", "place"),
    [((960, 540), (600, 400)), ((0, 0), (0, 62.5)), ((1920, 1080), (1200, 737.5)), ((1920, 540), (1200, 400))],
)
def test_straight_down_is_a_ruler(pixel: tuple[float, float], place: tuple[float, float]) -> None:
    # throw ratio = distance / picture width, so 1800 mm at 1.5 is 1200 mm wide, 0.625 mm a pixel, y growing as v grows
    assert PLAIN.land(np.array([pixel]))[0] == pytest.approx(place, abs=1e-9)


@pytest.mark.parametrize(
    ("moved", "place"),
    [
        (
            replace(PLAIN, shift_x=0.1),
            (600 - 120, 400),
        ),  # the axis stands right of the picture's middle, so that lies left of the foot
        (replace(PLAIN, shift_y=0.28125), (600, 400 - 337.5)),  # half a picture height
        (replace(PLAIN, pitch=10.0), (600 - 1800 * np.tan(np.radians(10)), 400)),
        (replace(PLAIN, roll=10.0), (600, 400 + 1800 * np.tan(np.radians(10)))),
        (replace(PLAIN, yaw=90.0), (600, 400)),
    ],
)
def test_where_the_middle_goes(moved: Projector, place: tuple[float, float]) -> None:
    assert moved.land(np.array([[960.0, 540.0]]))[0] == pytest.approx(place, abs=1e-9)


@pytest.mark.parametrize(
    ("turned", "place"),
    [
        (replace(PLAIN, yaw=90.0), (600, 1000)),  # right of the picture points towards the maker
        (replace(PLAIN, yaw=180.0), (0, 400)),
        (replace(PLAIN, mirrored=True), (0, 400)),
        (replace(PLAIN, yaw=90.0, mirrored=True), (600, -200)),
    ],
)
def test_where_the_right_edge_goes(turned: Projector, place: tuple[float, float]) -> None:
    assert turned.land(np.array([[1920.0, 540.0]]))[0] == pytest.approx(place, abs=1e-9)


def test_lens_error_by_hand() -> None:
    # tangent at the right edge 0.5 / 1.5 = 1/3; 1 + 0.09 / 9 + 0.081 / 81 = 1.011
    bent = replace(PLAIN, d1=0.09, d2=0.081)
    assert bent.land(np.array([[1920.0, 540.0]]))[0] == pytest.approx((600 + 600 * 1.011, 400), abs=1e-9)


def test_parallax_as_the_carpenter_draws_it() -> None:
    # similar triangles (derived): lens 2000 above, mark 700 from its foot, 5 mm thick -> the ray meets the table at 701.754
    projector = Projector(lens=(0.0, 0.0, 2000.0), throw=1.5)
    aimed = projector.aim(np.array([[700.0, 0.0]]), 5.0)
    assert projector.land(aimed)[0] == pytest.approx((700 * 2000 / 1995, 0.0), abs=1e-9)
    assert projector.land(aimed)[0, 0] == pytest.approx(701.754, abs=5e-4)


@pytest.mark.parametrize("index", range(8))
@pytest.mark.parametrize("height", [0.0, 100.0])
def test_opencv_casts_the_same_undistorted_picture(index: int, height: float) -> None:
    projector = replace(random_projectors(8)[index], d1=0.0, d2=0.0, p1=0.0, p2=0.0, skew=0.0)
    pixels = random_pixels(40)
    landed = projector.land(pixels, height)
    flip = np.diag([1.0, -1.0, 1.0])  # OpenCV wants a right-handed world: y away from the maker
    solid = np.column_stack([landed, np.full(len(landed), height)]) @ flip
    turn = (flip @ projector.orientation()).T
    hand = -1.0 if projector.mirrored else 1.0
    pitch = projector.throw * 1920.0
    camera = np.array(
        [
            [hand * pitch, 0.0, 960.0 + projector.shift_x * 1920.0],
            [0.0, pitch, 540.0 + projector.shift_y * 1920.0],
            [0.0, 0.0, 1.0],
        ]
    )
    place = -turn @ flip @ np.array(projector.lens)
    seen = cv2.projectPoints(solid, cv2.Rodrigues(turn)[0], place, camera, None)[0][:, 0]
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert np.abs(seen - pixels).max() < 1e-8


def test_opencv_bends_the_same_rays() -> None:
    projector = replace(PLAIN, d1=0.08, d2=-0.03, p1=3e-3, p2=-2e-3)
    tangents = np.random.default_rng(3).uniform(-0.6, 0.6, (50, 2))
    rays = np.column_stack([tangents, np.ones(50)])
    terms = np.array([0.08, -0.03, 3e-3, -2e-3])  # OpenCV's order: k1, k2, p1, p2
    bent = cv2.projectPoints(rays, np.zeros(3), np.zeros(3), np.eye(3), terms)[0][:, 0]
    assert np.abs(bent - projector.distort(tangents)).max() < 1e-12


@pytest.mark.parametrize("height", [0.0, 5.0, 100.0])
def test_aim_undoes_land(height: float) -> None:
    for projector in random_projectors(20):
        pixels = random_pixels(30)
        assert np.abs(projector.aim(projector.land(pixels, height), height) - pixels).max() < 1e-9


def test_skew_leans_the_panel() -> None:
    leaning = replace(PLAIN, skew=1e-4)
    moved = leaning.land(np.array([[960.0, 1080.0]]))[0] - PLAIN.land(np.array([[960.0, 1080.0]]))[0]
    assert moved == pytest.approx((540 * 1e-4 * 0.625, 0.0), abs=1e-9)


def test_a_lens_that_folds_is_refused() -> None:
    with pytest.raises(ValueError, match="folds"):
        replace(PLAIN, d1=-3.0).straighten(np.array([[0.5, 0.3]]))


def test_a_ray_that_never_lands_is_refused() -> None:
    with pytest.raises(ValueError, match="never comes down"):
        replace(PLAIN, pitch=80.0).land(np.array([[0.0, 540.0], [1920.0, 540.0]]))


def test_tv_distortion_of_a_pure_second_order_lens() -> None:
    # sides 1 + d1 (1/9 + b2), middle 1 + d1 b2 with half width 1/3, half height 3/16 in tangents (derived)
    side, middle = 1 + 0.09 * (1 / 9 + 9 / 256), 1 + 0.09 * 9 / 256
    assert sim.tv_distortion(replace(PLAIN, d1=0.09)) == pytest.approx(side / middle - 1, rel=1e-12)


@pytest.mark.parametrize("fraction", [-0.01, 0.0, 0.004, 0.01])
def test_wanted_tv_distortion_is_had(fraction: float) -> None:
    shifted = replace(PLAIN, shift_y=0.28, shift_x=0.05)
    assert sim.tv_distortion(sim.with_tv_distortion(shifted, fraction, -0.3)) == pytest.approx(fraction, abs=1e-9)


def test_population_is_as_documented() -> None:
    crowd = random_projectors(300)
    tv = np.array([sim.tv_distortion(one) for one in crowd])
    assert np.abs(tv).max() <= 0.0101
    assert 0.003 < np.abs(tv).mean() < 0.007
    assert all(1.2 <= one.throw <= 2.0 and abs(one.shift_y) <= 0.28125 and abs(one.shift_x) <= 0.1 for one in crowd)
    assert all(1200.0 <= one.lens[2] <= 3000.0 and np.hypot(one.pitch, one.roll) <= 10.0 for one in crowd)
    quarters = {round(one.yaw / 90) % 4 for one in crowd}
    assert quarters == {0, 1, 2, 3}
    assert 0.4 < np.mean([one.mirrored for one in crowd]) < 0.6
    assert max(max(abs(one.p1), abs(one.p2), abs(one.skew)) for one in crowd) <= 1e-4


def test_population_has_pictures_of_about_the_stated_width() -> None:
    for one in random_projectors(50):
        ends = one.land(np.array([[0.0, 540.0], [1920.0, 540.0]]))
        assert 950.0 < np.linalg.norm(ends[1] - ends[0]) < 1900.0  # tilt and shift together widen some of them
        assert one.land(np.array([[960.0, 540.0]]))[0] == pytest.approx((550.0, 550.0), abs=150.0)


def test_mirrored_is_seen_from_the_corners() -> None:
    for one in random_projectors(40):
        assert sim.seen_mirrored(one) == one.mirrored


def spread(sight: Callable[[np.random.Generator], Array], count: int = 400) -> Array:
    """Errors of many sightings with fresh hands, flattened."""
    return np.concatenate([sight(np.random.default_rng(seed)).ravel() for seed in range(count)])


@pytest.mark.parametrize("height", [0.0, 100.0])
def test_marks_shake_by_their_sigma(height: float) -> None:
    projector = random_projectors(3)[2]
    crosses = sim.grid(projector.picture, 5, 4)
    true = projector.land(np.array(list(crosses.values())), height)

    def sight(rng: np.random.Generator) -> Array:
        document = sim.sight_marks(projector, crosses, rng, 0.25, height)
        assert {one["height"] for one in document["positions"]} == {height}
        return np.array([one["at"] for one in document["positions"]]) - true

    errors = spread(sight)  # 16000 values: standard error of their spread 0.0014, of their mean 0.002
    assert errors.std() == pytest.approx(0.25, abs=0.006)
    assert abs(errors.mean()) < 0.008


def test_nudged_crosses_stand_on_whole_steps_and_state_what_they_shake() -> None:
    projector = replace(random_projectors(3)[1], lens=(500.0, 500.0, 1900.0))
    crosses = sim.grid(projector.picture, 5, 4)
    stated = []

    def sight(rng: np.random.Generator) -> Array:
        document = sim.nudge_marks(projector, crosses, rng, 0.25)
        moved = np.array(list(document["crosses"].values()))
        assert np.all(np.mod(moved - np.array(list(crosses.values())), 1.0) == 0.0)
        stated.append(document["positions"][0]["sigma"])
        return np.asarray(projector.land(moved) - np.array([one["at"] for one in document["positions"]]))

    errors = spread(sight)
    assert errors.std() > 0.26
    assert errors.std() == pytest.approx(np.mean(stated), rel=0.06)


def test_tape_reads_between_the_crosses() -> None:
    projector = random_projectors(4)[3]
    crosses = sim.grid(projector.picture, 3, 3)
    places = dict(zip(crosses, projector.land(np.array(list(crosses.values()))), strict=True))

    def sight(rng: np.random.Generator) -> Array:
        taped = sim.sight_tape(projector, crosses, rng, 0.3, 26)["distances"]
        assert len({(one["from"], one["to"]) for one in taped}) == 26
        return np.array([one["length"] - np.linalg.norm(places[one["to"]] - places[one["from"]]) for one in taped])

    errors = spread(sight)
    assert errors.std() == pytest.approx(0.3, abs=0.008)
    assert abs(errors.mean()) < 0.012


def test_tape_pairs_scale_and_hand() -> None:
    rng = np.random.default_rng(0)
    document = sim.sight_tape(PLAIN, {"A": (0, 540), "B": (1920, 540)}, rng, 1e-9, [("A", "B")], scale=1e-3)
    assert document["distances"][0]["length"] == pytest.approx(1201.2, abs=1e-6)
    assert document["mirrored"] is False
    assert sim.sight_tape(replace(PLAIN, mirrored=True), {"A": (0, 0), "B": (9, 9)}, rng)["mirrored"] is True


def test_a_block_of_100_moves_a_cross_towards_the_foot() -> None:
    # 600 mm from the foot under 1800 mm: on a 100 mm block the ray is met at 600 * 1700 / 1800 (derived)
    document = sim.sight_block(PLAIN, {"A": (1920.0, 540.0)}, np.random.default_rng(1), sigma=1e-9)
    assert document["positions"][0]["at"] == pytest.approx((600 + 600 * 1700 / 1800, 400.0), abs=1e-6)
    assert document["positions"][0]["height"] == 100.0


def test_lens_sightings_measure_the_lens() -> None:
    document = sim.sight_lens(PLAIN, {"A": (1920.0, 540.0)}, np.random.default_rng(1), 1e-9, 1e-9, 1e-9)
    slant, height, foot = document["lens"]
    assert slant["slant"] == pytest.approx(np.hypot(600, 1800), abs=1e-6)
    assert height["height"] == pytest.approx(1800, abs=1e-6)
    assert foot["foot"] == pytest.approx((600, 400), abs=1e-6)


def test_combine_keeps_all_and_refuses_a_cross_in_two_places() -> None:
    rng = np.random.default_rng(2)
    crosses = sim.grid((1920, 1080), 3, 3)
    both = sim.combine(sim.sight_marks(PLAIN, crosses, rng), sim.sight_block(PLAIN, {"A": crosses["A"]}, rng))
    assert len(both["positions"]) == 10
    assert list(both["crosses"]) == list("ABCDEFGHI")
    with pytest.raises(ValueError, match="two places"):
        sim.combine(both, sim.sight_marks(PLAIN, {"A": (1.0, 1.0)}, rng))


def test_rigid_turns_but_never_mirrors_or_stretches() -> None:
    shape = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 5.0], [1.0, 7.0]])
    turn = np.array([[0.6, -0.8], [0.8, 0.6]])
    moved = shape @ turn.T + [100.0, -30.0]
    assert np.abs(sim.rigid(shape, moved) - moved).max() < 1e-12
    mirrored = shape * [-1.0, 1.0]
    placed = sim.rigid(shape, mirrored)
    assert np.abs(placed - mirrored).max() > 1.0
    assert np.linalg.norm(placed[1] - placed[0]) == pytest.approx(10.0)
