"""The same points through OpenCV and scikit-image."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from calibration.arrays import Array
from calibration.bench import DOUBTS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from tests.reference.test_homography_vectors import F_SOURCE, F_TARGET, FOUR, unit

RNG = np.random.default_rng(31)
PLACES = RNG.uniform([-600.0, -350.0], [600.0, 350.0], (300, 2))
CAMERA = np.array([[2900.0, 0.0, 1010.0], [0.0, 2900.0, 260.0], [0.0, 0.0, 1.0]])
"""A 1080p panel, throw ratio 1.51, the optical axis 280 px above the middle."""
BEND = np.array([0.09, -0.05, 0.0, 0.0])
"""k1, k2 in tangents, no tangential terms."""


def scikit_image(source: Array, target: Array) -> Array:
    """The (3, 3) of its estimate."""
    estimate: Any = ProjectiveTransform.from_estimate  # untyped there
    return np.asarray(estimate(source, target).params, np.float64)


def noisy(count: int) -> tuple[Array, Array]:
    source = RNG.uniform([0.0, 0.0], [1920.0, 1080.0], (count, 2))
    plane = Plane.of([[0.6, 0.03, 10.0], [-0.02, 0.62, 30.0], [4e-5, -6e-5, 1.0]])
    return source, plane(source) + RNG.normal(0.0, 0.3, (count, 2))


@pytest.mark.parametrize("count", [5, 9, 20, 60])
def test_opencv_fits_the_same_plane(count: int) -> None:
    # cv2.findHomography with method 0 also minimises the distances in the target; it casts to float32, so 1e-4 at best
    source, target = noisy(count)
    theirs = Plane.of(np.asarray(cv2.findHomography(source, target, 0)[0], np.float64))
    ours = Plane.fit(source, target)
    assert np.abs(ours(source) - theirs(source)).max() < 1e-2
    assert np.sum(ours.residuals(source, target) ** 2) <= np.sum(theirs.residuals(source, target) ** 2) + 1e-9


def test_opencv_fits_the_published_set() -> None:
    theirs = np.asarray(cv2.findHomography(F_SOURCE, F_TARGET, 0)[0], np.float64)
    assert np.abs(unit(Plane.fit(F_SOURCE, F_TARGET).matrix) - unit(theirs)).max() < 1e-4


@pytest.mark.parametrize("name", [name for name in FOUR if name != "E"])
def test_scikit_image_meets_the_same_four_points(name: str) -> None:
    source, target = (np.array(points, float) for points in FOUR[name])
    assert np.abs(unit(Plane.fit(source, target).matrix) - unit(scikit_image(source, target))).max() < 1e-9


def test_scikit_image_weighs_otherwise_but_not_better() -> None:
    # its estimate minimises an algebraic error, ours the distances in the target: ours must be the smaller of the two
    source, target = noisy(20)
    theirs = Plane.of(scikit_image(source, target))
    ours = Plane.fit(source, target)
    assert np.sum(ours.residuals(source, target) ** 2) <= np.sum(theirs.residuals(source, target) ** 2)
    assert np.abs(ours(source) - theirs(source)).max() < 0.2


def test_opencv_warps_the_same_points() -> None:
    source, target = noisy(20)
    plane = Plane.fit(source, target)
    theirs = cv2.perspectiveTransform(PLACES.reshape(-1, 1, 2), plane.matrix)[:, 0]
    assert np.abs(plane(PLACES) - theirs).max() < 1e-9


def opencv_lens(points: Array, bend: Array) -> Array:
    """Undistorted px to distorted px through cv2.projectPoints: a camera at the origin looking at a plane one away."""
    rays = np.column_stack([(points - CAMERA[:2, 2]) / CAMERA[0, 0], np.ones(len(points))])
    return np.asarray(cv2.projectPoints(rays, np.zeros(3), np.zeros(3), CAMERA, bend)[0][:, 0], dtype=np.float64)


def test_opencv_bends_the_same_pixels() -> None:
    pixels = RNG.uniform([0.0, 0.0], [1920.0, 1080.0], (300, 2))
    lens = Lens(CAMERA[:2, 2], 2900.0, float(BEND[0]), float(BEND[1]))
    assert np.abs(lens(pixels) - opencv_lens(pixels, BEND)).max() < 1e-9


def test_our_lens_fits_what_opencv_bent() -> None:
    pixels = RNG.uniform([0.0, 0.0], [1920.0, 1080.0], (60, 2))
    lens = Lens.fit(pixels, opencv_lens(pixels, BEND), 2900.0)
    assert lens.centre == pytest.approx(CAMERA[:2, 2], abs=1e-3)
    assert (lens.k1, lens.k2) == pytest.approx((BEND[0], BEND[1]), abs=1e-6)


def test_opencv_straightens_the_same_pixels() -> None:
    pixels = RNG.uniform([0.0, 0.0], [1920.0, 1080.0], (300, 2))
    lens = Lens(CAMERA[:2, 2], 2900.0, float(BEND[0]), float(BEND[1]))
    enough = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 100, 1e-13)
    straighten: Any = getattr(cv2, "undistortPointsIter", cv2.undistortPoints)  # the name before OpenCV 5
    theirs = straighten(pixels, CAMERA, BEND, R=None, P=CAMERA, criteria=enough)[:, 0]
    assert np.abs(lens.inverse(pixels) - theirs).max() < 1e-8


@pytest.mark.parametrize("height", [0.0, 3.2, 100.0])
@pytest.mark.parametrize("mirrored", [False, True])
def test_opencv_casts_the_whole_chain(height: float, mirrored: bool) -> None:
    """A pinhole camera with lens error over a plane: our plane, lens and height must add up to cv2.projectPoints."""
    turn = cv2.Rodrigues(np.array([np.pi - 0.06, 0.04, 0.09]))[0]
    eye = np.array([80.0, 150.0, 1850.0])
    camera = CAMERA @ np.diag([-1.0 if mirrored else 1.0, 1.0, 1.0])
    # OpenCV's world is right-handed: its y is our -y
    flip = np.diag([1.0, -1.0, 1.0])
    shift = -turn @ flip @ eye
    solid = np.column_stack([PLACES, np.full(len(PLACES), height)]) @ flip
    theirs = np.asarray(cv2.projectPoints(solid, turn, shift, camera, BEND)[0][:, 0], np.float64)
    plane = Plane.of(camera @ np.column_stack([turn[:, 0], -turn[:, 1], shift]))
    lens = Lens(CAMERA[:2, 2], 2900.0, float(BEND[0]), float(BEND[1]))
    bench = Bench((1920, 1080), plane, lens, Parallax(eye), np.zeros((DOUBTS, DOUBTS)))
    assert np.abs(bench.to_picture(PLACES, height) - theirs).max() < 1e-8
    assert np.abs(bench.to_table(theirs, height) - PLACES).max() < 1e-7
