"""The chain of plane, lens and height: round trips, limits, derivatives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from calibration.arrays import Array
from calibration.bench import DOUBTS, TERMS, Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.precision import radius95
from calibration.refusal import Refusal

RNG = np.random.default_rng(20)
PIXELS = RNG.uniform([0, 0], [1920, 1080], (200, 2))
PLACES = RNG.uniform([-600, -300], [600, 300], (200, 2))


def crooked(mirrored: bool = False) -> Bench:
    flip = -1.0 if mirrored else 1.0
    plane = Plane.of([[flip * 1.5, 0.08, 900.0], [-0.05, 1.6, 500.0], [3e-5, -1e-4, 1.0]])
    lens = Lens(np.array([1000.0, 20.0]), 1101.0, -0.013, 0.004)
    return Bench((1920, 1080), plane, lens, Parallax(np.array([50.0, 700.0, 1850.0])), np.eye(DOUBTS) * 1e-12)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("height", [0.0, 4.0, 100.0])
def test_table_and_picture_are_inverse(mirrored: bool, height: float) -> None:
    bench = crooked(mirrored)
    assert np.allclose(bench.to_table(bench.to_picture(PLACES, height), height), PLACES, atol=1e-8)
    assert np.allclose(bench.to_picture(bench.to_table(PIXELS, height), height), PIXELS, atol=1e-8)


def test_heights_may_differ_from_place_to_place() -> None:
    bench, heights = crooked(), np.linspace(0, 50, len(PLACES))
    one_by_one = [bench.to_picture(p[None], float(h))[0] for p, h in zip(PLACES, heights, strict=True)]
    assert np.allclose(bench.to_picture(PLACES, heights), one_by_one, atol=1e-10)


def terms_of(bench: Bench) -> Array:
    return np.concatenate(
        [bench.plane.matrix.ravel(), bench.lens.centre, [bench.lens.k1, bench.lens.k2], bench.position]
    )


def bench_of(terms: Array, like: Bench) -> Bench:
    lens = Lens(terms[9:11], like.lens.scale, float(terms[11]), float(terms[12]))
    return replace(like, plane=Plane(terms[:9].reshape(3, 3)), lens=lens, parallax=Parallax(terms[13:16]))


def test_derivatives_are_those_of_the_map() -> None:
    bench, height = crooked(), 30.0
    by_place, by_term = bench.partials(PLACES, height)
    for axis in (0, 1):
        step = np.eye(2)[axis] * 1e-3
        slope = (bench.to_picture(PLACES + step, height) - bench.to_picture(PLACES - step, height)) / 2e-3
        assert np.allclose(slope, by_place[:, :, axis], rtol=1e-6, atol=1e-6)
    terms = terms_of(bench)
    for i in range(len(TERMS)):
        small = 1e-6 * max(abs(terms[i]), 1e-3)
        more, less = (bench_of(terms + s * np.eye(16)[i] * small, bench).to_picture(PLACES, height) for s in (1, -1))
        slope = (more - less) / (2 * small)
        assert np.allclose(slope, by_term[:, :, i], rtol=1e-4, atol=1e-5 * (1 + np.abs(slope).max()))


def test_a_fixed_pixel_lands_where_the_landing_slopes_say() -> None:
    bench, height = crooked(), 20.0
    pixels = bench.to_picture(PLACES, height)
    slopes = bench.landing_partials(PLACES, height)
    change = np.zeros(DOUBTS)
    change[[9, 10, 11, 12, 13, 14, 15]] = [0.3, -0.2, 1e-6, -1e-6, 0.1, -0.1, 0.2]
    moved = bench_of(terms_of(bench) + change[:16], bench).to_table(pixels, height)
    assert np.allclose(moved - PLACES, slopes @ change, atol=2e-6)


def test_lens_products_are_second_derivatives() -> None:
    lens = crooked().lens
    for index, (k, axis) in enumerate([("k1", 0), ("k1", 1), ("k2", 0), ("k2", 1)]):
        step = np.eye(2)[axis] * 1e-2
        ahead, back = replace(lens, centre=lens.centre + step), replace(lens, centre=lens.centre - step)
        by_k = 2 if k == "k1" else 3
        slope = (ahead.partials(PIXELS)[1][:, :, by_k] - back.partials(PIXELS)[1][:, :, by_k]) / 2e-2
        assert np.allclose(slope, lens.mixed(PIXELS)[:, :, index], atol=1e-6)


def test_lens_that_folds_is_refused() -> None:
    lens = Lens(np.array([960.0, 540.0]), 1101.0, -0.6, 0.0)
    with pytest.raises(Refusal, match="fold"):
        lens.inverse(np.array([[5000.0, 540.0]]))


def test_lens_is_found_from_points() -> None:
    true = Lens(np.array([1010.0, 40.0]), 1101.0, -0.013, 0.004)
    found = Lens.fit(PIXELS, true(PIXELS), 1101.0)
    assert np.allclose([found.k1, found.k2], [true.k1, true.k2], atol=1e-8)
    assert np.allclose(found.centre, true.centre, atol=1e-3)
    assert np.abs(found.residuals(PIXELS, true(PIXELS))).max() < 1e-6


def test_lens_position_is_found_from_rays() -> None:
    true = Parallax(np.array([120.0, 640.0, 1900.0]))
    heights = np.full(len(PLACES), 100.0)
    found = Parallax.fit(true(PLACES, heights), PLACES, heights)
    assert np.allclose(found.position, true.position, atol=1e-6)
    assert np.abs(found.residuals(true(PLACES, heights), PLACES, heights)).max() < 1e-9


def test_a_surface_above_the_lens_is_refused() -> None:
    with pytest.raises(Refusal, match="not below the lens at 1850 mm"):
        crooked().to_picture(PLACES, 1850.0)


def test_moving_the_frame_moves_places_and_keeps_precision() -> None:
    bench = crooked()
    root = RNG.normal(size=(DOUBTS, DOUBTS)) * 1e-7
    bench = replace(bench, covariance=root @ root.T)
    turn, shift = 0.4, np.array([30.0, -70.0])
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    moved, there = bench.moved(turn, shift), PLACES @ rotation.T + shift
    assert np.allclose(moved.to_picture(there, 5.0), bench.to_picture(PLACES, 5.0), atol=1e-9)
    assert np.allclose(moved.error95(there, 5.0), bench.error95(PLACES, 5.0), rtol=1e-9)


def test_bench_file_holds_everything() -> None:
    bench = crooked(mirrored=True)
    again = Bench.from_json(bench.to_json())
    assert np.array_equal(again.to_picture(PLACES, 3.0), bench.to_picture(PLACES, 3.0))
    assert np.array_equal(again.covariance, bench.covariance)


@pytest.mark.parametrize(
    "spoil",
    [
        {"kind": "something else"},
        {"version": 99},
        {"covariance": [[1.0]]},
        {"position": [0.0, 0.0, float("nan")]},
        {"plane": [[0.0] * 3] * 3},
        {"picture": {"width": 0, "height": 10}},
        {"lens": {}},
        {"frame": "elsewhere"},
    ],
)
def test_a_spoilt_bench_file_is_refused(spoil: dict[str, object]) -> None:
    with pytest.raises(Refusal):
        Bench.from_json({**crooked().to_json(), **spoil})


def test_nominal_bench_has_square_pixels() -> None:
    bench = Bench.nominal((1920, 1080), 1200.0)
    assert np.allclose(bench.to_table([[0, 0], [1920, 1080]]), [[0, 0], [1200, 675]])
    assert np.allclose(bench.pixel(PLACES), 0.625)


def test_radius_of_ninety_five_percent() -> None:
    round_, flat = np.eye(2), np.diag([1.0, 0.0])
    slim = np.array([[2.0, 1.2], [1.2, 1.0]])
    radii = radius95(np.array([round_, flat, slim]))
    assert radii[0] == pytest.approx(2.447747, abs=1e-5)  # sqrt(chi2 inverse, 2 degrees, 0.95)
    assert radii[1] == pytest.approx(1.959964, abs=1e-5)  # normal
    drawn = RNG.multivariate_normal([0, 0], slim, 400_000)
    assert (np.linalg.norm(drawn, axis=1) < radii[2]).mean() == pytest.approx(0.95, abs=0.0015)
