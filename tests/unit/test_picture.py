"""Scenes and pictures: chords, the check figure, dashes, and that a drawn line lies where its stroke says."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from calibration.refusal import Refusal
from server.geometry.placement import Placement
from server.output.png import png
from server.output.projected import Picture, Stroke, clipped, crosses, outside, picture_frame, picture_json, project
from server.output.scene import Item, Scene, Words, check_corners, check_figure, dense, hole_tick
from tests.unit.test_optics import crooked


def pixels(picture: Picture, size: tuple[int, int]) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.asarray(Image.open(io.BytesIO(png(picture, size))), dtype=np.float64)[:, :, 0]


@pytest.mark.parametrize("closed", [False, True])
def test_dense_keeps_corners_and_shortens_chords(closed: bool) -> None:
    corners = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 33.0]])
    filled = dense(corners, closed, 10.0)
    ring = np.vstack([filled, filled[:1]]) if closed else filled
    steps = np.linalg.norm(np.diff(ring, axis=0), axis=1)
    assert steps.max() <= 10.0 + 1e-9
    assert steps.sum() == pytest.approx(133.0 + (np.hypot(100, 33) if closed else 0.0))
    for corner in corners:
        assert np.linalg.norm(filled - corner, axis=1).min() < 1e-12


def test_hole_tick_has_its_middle_on_the_hole() -> None:
    tick = hole_tick(3.0, 4.0, 30.0)
    assert np.allclose(tick.mean(axis=0), [3.0, 4.0])
    assert np.linalg.norm(tick[1] - tick[0]) == pytest.approx(2.0)
    along = tick[1] - tick[0]
    assert np.degrees(np.arctan2(along[1], along[0])) == pytest.approx(-15.0)


def test_check_figure_measures_what_it_says() -> None:
    scene = check_figure(300.0)
    square = next(item for item in scene.items if item.name == "square").points
    assert np.ptp(square, axis=0).tolist() == [300.0, 300.0]
    assert np.linalg.norm(check_corners(300.0)[0] - check_corners(300.0)[2]) == pytest.approx(300 * np.sqrt(2))
    ticks = np.sort([item.points[0, 0] for item in scene.items if item.name == "rule"])
    assert len(ticks) == 301
    assert np.allclose(np.diff(ticks), 1.0)


@pytest.mark.parametrize("size", [5.0, 4000.0, float("nan")])
def test_check_figure_of_no_use_is_refused(size: float) -> None:
    with pytest.raises(Refusal, match="choose a side"):
        check_figure(size)


def test_projecting_is_placing_and_then_the_bench() -> None:
    bench, placed = crooked(), Placement(40.0, -60.0, 25.0, mirror=True)
    points = np.array([[0.0, 0.0], [30.0, 5.0], [10.0, 80.0]])
    scene = Scene((Item("cut", points, True), Item("hole", points[:2])), (Words("Front", 5.0, 5.0, 8.0),))
    picture = project(scene, bench, placed, 6.0)
    assert np.allclose(picture.strokes[0].points, bench.to_picture(placed.apply(points), 6.0))
    assert picture.strokes[1].kind == "hole"
    assert not picture.strokes[1].closed
    at = bench.to_picture(placed.apply([[5.0, 5.0]]), 6.0)[0]
    assert (picture.captions[0].x, picture.captions[0].y) == pytest.approx(tuple(at))
    assert picture.captions[0].size == pytest.approx(8.0 * 1.6, rel=0.1)


def test_an_empty_scene_is_an_empty_picture() -> None:
    picture = project(Scene(()), crooked(), Placement())
    assert picture == Picture()
    assert outside(picture, (1920, 1080)) == 0.0


@pytest.mark.parametrize("slope", [0.0, 0.13, 1.0, -2.5])
@pytest.mark.parametrize("kind", ["cut", "cross"])
def test_png_lines_have_their_centre_where_the_stroke_lies(slope: float, kind: str) -> None:
    direction = np.array([1.0, slope]) / np.hypot(1, slope)
    start = np.array([60.37, 60.81]) - 45 * direction
    end = start + 90 * direction
    image = pixels(Picture((Stroke("cut" if kind == "cut" else "cross", np.array([start, end])),)), (120, 120))
    v, u = np.mgrid[0:120, 0:120] + 0.5
    along = (u - start[0]) * direction[0] + (v - start[1]) * direction[1]
    across = (v - start[1]) * direction[0] - (u - start[0]) * direction[1]
    inner = (along > 20) & (along < 70)
    for low in range(20, 70, 10):
        part = inner & (along >= low) & (along < low + 10)
        assert abs((image[part] * across[part]).sum() / image[part].sum()) < 0.05


def test_png_dashes_have_their_lengths() -> None:
    image = pixels(Picture((Stroke("stitch", np.array([[5.0, 10.5], [105.0, 10.5]])),)), (120, 20))
    row = image[10, 20:100]
    assert (row > 60).mean() == pytest.approx(0.6 + 0.15, abs=0.1)  # six lit of ten, ends rounded by the weight
    assert (np.diff((row > 60).astype(int)) == 1).sum() in (7, 8)


def test_frame_is_the_outermost_pixels() -> None:
    image = pixels(picture_frame((64, 40)), (64, 40))
    lit = np.argwhere(image == 255)
    edge = {(r, c) for r in range(40) for c in range(64) if r in (0, 39) or c in (0, 63)}
    assert {(int(r), int(c)) for r, c in lit} == edge


def test_crosses_meet_on_their_pixel_and_the_chosen_one_leaves_its_middle_free() -> None:
    image = pixels(crosses({"A": (40.5, 40.5)}), (80, 80))
    assert image[40, 40] == 255
    chosen = pixels(crosses({"A": (40.5, 40.5)}, "A"), (80, 80))
    assert chosen[40, 40] == 0
    assert chosen[40, 50] > 200


def test_json_carries_points_and_style() -> None:
    document = picture_json(Picture((Stroke("stitch", np.array([[1.23456, 2.0], [3.0, 4.0]])),)))
    stroke = document["strokes"][0]
    assert stroke["points"] == [1.235, 2.0, 3.0, 4.0]
    assert stroke["dash"]
    assert stroke["colour"].startswith("#")


def test_share_outside_the_picture() -> None:
    stroke = Stroke("cut", np.array([[10.0, 10.0], [-5.0, 10.0], [30.0, 50.0], [30.0, 12.0]]))
    assert outside(Picture((stroke,)), (40, 40)) == 0.5


def test_clipping_keeps_what_can_be_seen_and_drops_the_horizon() -> None:
    wave = np.column_stack([np.arange(-400.0, 401.0, 10.0), np.full(81, 20.0)])
    wave[5] = [np.inf, np.nan]
    kept = clipped(Picture((Stroke("cut", wave),)), (100, 40))
    assert len(kept.strokes) == 1
    points = kept.strokes[0].points
    assert points[:, 0].min() == -64.0
    assert points[:, 0].max() == 164.0
    whole = Stroke("cut", np.array([[1.0, 1.0], [50.0, 1.0], [50.0, 30.0]]), closed=True)
    assert clipped(Picture((whole,)), (100, 40)).strokes == (whole,)


def test_clipping_leaves_the_pixels_as_they_were() -> None:
    ring = Stroke("stitch", np.array([[-300.0, -20.0], [60.0, 20.0], [400.0, 30.0], [60.0, 300.0]]), closed=True)
    plain = Stroke("cut", dense(ring.points, True), closed=True)
    before, after = (pixels(p, (100, 60)) for p in (Picture((plain,)), clipped(Picture((plain,)), (100, 60))))
    assert np.abs(before - after).max() < 2


def test_a_line_without_end_is_refused() -> None:
    for far in (1e12, np.inf, np.nan):
        with pytest.raises(Refusal, match="too long to be shown"):
            dense(np.array([[0.0, 0.0], [far, 0.0]]))
