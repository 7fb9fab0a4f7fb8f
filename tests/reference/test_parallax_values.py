"""Height, lens error and tape: figures worked out by hand or taken from a standard."""

from __future__ import annotations

import math

import numpy as np
import pytest

from calibration.adjust import adjust
from calibration.bench import Bench
from calibration.lens import Lens
from calibration.parallax import Parallax
from calibration.plane import Plane
from calibration.sightings import read
from tests.bench import simulator as sim

OVER_ORIGIN = Parallax(np.array([0.0, 0.0, 2000.0]))


def test_five_millimetres_700_from_the_foot() -> None:
    # derived from similar triangles: 700 * 2000 / (2000 - 5)
    aimed = OVER_ORIGIN(np.array([[700.0, 0.0]]), 5.0)[0]
    assert aimed == pytest.approx((1_400_000 / 1995, 0.0), rel=1e-15)
    assert aimed[0] == pytest.approx(701.754, abs=5e-4)
    assert aimed[0] - 700 == pytest.approx(1.754, abs=5e-4)


@pytest.mark.parametrize("height", [0.0, 1.2, 5.0, 100.0])
def test_up_and_down_the_same_ray(height: float) -> None:
    places = np.array([[700.0, 0.0], [-300.0, 512.5], [0.0, 0.0]])
    assert OVER_ORIGIN.inverse(OVER_ORIGIN(places, height), height) == pytest.approx(places, abs=1e-12)


def test_straight_under_the_lens_nothing_moves() -> None:
    lens = Parallax(np.array([310.0, -40.0, 1500.0]))
    assert lens(np.array([[310.0, -40.0]]), 12.0)[0] == pytest.approx((310.0, -40.0), abs=1e-12)


def test_lens_position_from_a_block_by_hand() -> None:
    # rays from (-600, 0) and (600, 0) meet a 100 mm block at -560 and 560: they cross at 100 * 600 / 40 = 1500 (derived)
    found = Parallax.fit([[-600.0, 0.0], [600.0, 0.0]], [[-560.0, 0.0], [560.0, 0.0]], np.array([100.0, 100.0]))
    assert found.position == pytest.approx((0.0, 0.0, 1500.0), abs=1e-9)


def test_four_millimetres_on_a_shifted_picture() -> None:
    # the design's "up to 2.5 mm": a lens 1440 up whose picture reaches 900 from its foot: 900 * 4 / 1436 (derived)
    lens = Parallax(np.array([0.0, 0.0, 1440.0]))
    assert lens(np.array([[900.0, 0.0]]), 4.0)[0, 0] - 900 == pytest.approx(2.507, abs=5e-4)
    wrong = Parallax(np.array([0.0, 0.0, 1450.0]))  # the lens known to 10 mm
    assert abs(wrong(np.array([[900.0, 0.0]]), 4.0)[0, 0] - lens(np.array([[900.0, 0.0]]), 4.0)[0, 0]) < 0.03


def test_one_per_cent_tv_distortion_leaves_3_5_mm_after_four_corners() -> None:
    # derived: 1200 x 675 mm, r' = r (1 + k r^2); (A - B) / B = 1 % gives k = 0.01 / 600^2 to first order; four corners
    # take out the size; k r (R^2 - r^2) is largest at r = R / sqrt 3: k R^3 2 / (3 sqrt 3), R the half diagonal
    corner = math.hypot(600.0, 337.5)
    assert 0.01 / 600**2 * corner**3 * 2 / (3 * math.sqrt(3)) == pytest.approx(3.49, abs=5e-3)
    plain = sim.Projector(lens=(600.0, 337.5, 1800.0), throw=1.5)
    projector = sim.with_tv_distortion(plain, 0.01)
    corners = np.array([[0.0, 0.0], [1920.0, 0.0], [0.0, 1080.0], [1920.0, 1080.0]])
    plane = Plane.fit(projector.land(corners), corners)
    u, v = np.meshgrid(np.linspace(0, 1920, 97), np.linspace(0, 1080, 55))
    places = projector.land(np.column_stack([u.ravel(), v.ravel()]))
    left = np.linalg.norm(projector.land(plane(places)) - places, axis=1)
    assert left.max() == pytest.approx(3.5, abs=0.06)


@pytest.mark.parametrize(
    ("length", "allowed"), [(0.4, 0.5), (1.0, 0.5), (1.2, 0.7), (2.0, 0.7), (2.01, 0.9), (5.0, 1.3)]
)
def test_what_a_class_ii_tape_may_be_off(length: float, allowed: float) -> None:
    # UK SI 2016/1153, schedule 1I (material measures of length), class II: 0.3 + 0.2 L mm, L in whole metres rounded up
    assert 0.3 + 0.2 * math.ceil(length) == pytest.approx(allowed)


def test_a_tape_s_own_error_is_a_size_that_no_residual_shows() -> None:
    # 0.7 mm at 1.2 m is a scale error of 1/1714: a tape that reads that much long makes everything that much larger
    projector = sim.Projector(lens=(600.0, 400.0, 1800.0), throw=1.5, pitch=3.0)
    crosses = sim.grid((1920, 1080), 3, 3)
    true, long = (
        adjust(read(sim.sight_tape(projector, crosses, np.random.default_rng(6), 0.3, 26, scale=scale)))
        for scale in (0.0, 0.7 / 1200)
    )
    ends = np.array([[65.0, 65.0], [1855.0, 1015.0]])
    sizes = [float(np.linalg.norm(np.diff(one.bench.to_table(ends), axis=0))) for one in (true, long)]
    assert sizes[1] / sizes[0] - 1 == pytest.approx(0.7 / 1200, rel=0.02)
    assert long.report.sigma0 == pytest.approx(true.report.sigma0, abs=0.02)
    assert long.report.worst is None


def test_pixel_edges_are_on_whole_numbers() -> None:
    # the whole picture, 0 to 1920, is as wide as the footprint: not 1919 pixels
    bench = Bench.nominal((1920, 1080), 1200.0)
    outline = bench.footprint()
    assert np.ptp(outline, axis=0) == pytest.approx((1200.0, 675.0), abs=1e-9)
    assert bench.pixel(np.array([[100.0, 100.0]]))[0] == pytest.approx(0.625, abs=1e-12)


def test_lens_terms_by_hand() -> None:
    # c + d (1 + k1 r^2 + k2 r^4): 500 px right of the centre at scale 1000, r^2 = 1/4: 500 (1 + 0.02 - 0.0025) (derived)
    lens = Lens(np.array([900.0, 300.0]), 1000.0, 0.08, -0.04)
    assert lens(np.array([[1400.0, 300.0]]))[0] == pytest.approx((900 + 500 * 1.0175, 300.0), abs=1e-12)
