"""Draft, adjust and warp, inside one process."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import cv2
import numpy as np
from skimage.transform import ProjectiveTransform

from calibration.adjust import adjust
from calibration.arrays import Array
from calibration.bench import Bench
from calibration.plane import Plane
from calibration.sightings import read
from server.geometry.build import polyline
from server.geometry.path import Path
from server.geometry.placement import Placement
from server.geometry.spacing import step_off
from server.leather import drafts
from server.output.projected import picture_json, project
from server.output.scene import of_piece
from server.output.svg import pattern_svg
from tests.bench import measure
from tests.speed.clock import line, repeat, title

DRAFT_AIM, ADJUST_AIM = 20.0, 50.0
SIZES = (1_000, 20_000, 100_000)
HOLES, STEPPED = 2_000, (50, 5_000)


def drafting() -> None:
    """Time each family from its measures, a pattern file, and 2,000 holes along curves of few and of many segments."""
    title("draft")
    for family in drafts.families().values():
        line(f"{family.name} from its measures", repeat(partial(family.draft, {}), 60), DRAFT_AIM)
    pattern = drafts.get("belt-pouch").draft({})
    line("the belt pouch's pattern file", repeat(lambda: pattern_svg(pattern), 60))
    for segments in STEPPED:
        path = wave(segments)
        pitch = path.length / HOLES
        line(
            f"{HOLES} holes along {segments} segments",
            repeat(partial(step_off, path, pitch), 20),
            DRAFT_AIM,
        )


def wave(segments: int) -> Path:
    """Return a smooth curve of that many straight segments, 8 m long or so."""
    x = np.linspace(0.0, 6000.0, segments + 1)
    return polyline(np.column_stack([x, 300.0 * np.sin(x / 150.0)]).tolist())


def adjusting() -> None:
    """Time one calibration of each kind, from the sightings document to bench and report."""
    title("adjust")
    ways = (
        ("20 crosses on known marks", measure.marks),
        ("the same and four on a block", measure.marks_and_block),
        ("nine crosses, 26 tape distances", measure.tape),
    )
    for words, sight in ways:
        documents = [sight(*measure.bench_number(index)) for index in range(40)]
        turn = iter(documents * 3)
        line(words, repeat(lambda turn=turn: adjust(read(next(turn))), 100), ADJUST_AIM)  # type: ignore[misc]


def warping() -> None:
    """Time table mm to picture px, ours (plane, lens, height) against OpenCV on the same points in the same run."""
    bench = measure.calibrate(measure.marks_and_block(*measure.bench_number(1))).bench
    title("warp (OpenCV: perspectiveTransform, then projectPoints for the lens)")
    for size in SIZES:
        points = np.random.default_rng(size).uniform([250.0, 250.0], [850.0, 850.0], (size, 2))
        gap = float(np.abs(bench.to_picture(points) - opencv(bench, points)).max())
        if gap > 1e-6:
            raise ValueError(f"the two ways differ by {gap} px")
        runs = 200 if size < 50_000 else 60
        ours = repeat(lambda points=points: bench.to_picture(points, 4.0), runs)  # type: ignore[misc]
        theirs = repeat(lambda points=points: opencv(bench, points), runs)  # type: ignore[misc]
        line(f"{size} points, ours", ours)
        line(f"{size} points, OpenCV", theirs, more=f"ours / OpenCV = {np.median(ours) / np.median(theirs):.2f}")


def homographies() -> None:
    """Time the plane map alone, made from marks and called, against OpenCV and scikit-image in the same run."""
    bench = measure.calibrate(measure.marks(*measure.bench_number(1))).bench
    title("plane (OpenCV: findHomography, perspectiveTransform; scikit-image: ProjectiveTransform)")
    marks = np.random.default_rng(20).uniform([100.0, 100.0], [1100.0, 700.0], (20, 2))
    seen = bench.plane(marks)
    three(
        "fit of 20 marks",
        (
            lambda: Plane.fit(marks, seen),
            lambda: cv2.findHomography(marks, seen, 0),
            lambda: ProjectiveTransform.from_estimate(marks, seen),  # type: ignore[no-untyped-call]
        ),
        200,
    )
    theirs = ProjectiveTransform(bench.plane.matrix)  # type: ignore[no-untyped-call]
    for size in SIZES:
        points = np.random.default_rng(size).uniform([250.0, 250.0], [850.0, 850.0], (size, 2))
        if float(np.abs(bench.plane(points) - theirs(points)).max()) > 1e-6:
            raise ValueError("ours and scikit-image's plane map differ")
        ways = (
            lambda points=points: bench.plane(points),
            lambda points=points: cv2.perspectiveTransform(points[:, None], bench.plane.matrix),
            lambda points=points: theirs(points),
        )
        three(f"{size} points", ways, 200 if size < 50_000 else 60)


def three(words: str, ways: Sequence[Callable[[], object]], runs: int) -> None:
    """Print one line: ours, and ours over OpenCV's and scikit-image's median."""
    ours, cv, sk = (repeat(way, runs) for way in ways)
    more = f"ours / OpenCV = {np.median(ours) / np.median(cv):.2f}, ours / scikit-image = {np.median(ours) / np.median(sk):.2f}"
    line(f"{words}, ours", ours, more=more)


def opencv(bench: Bench, points: Array) -> Array:
    """Return table mm (n, 2) at height 0 in picture px (n, 2)."""
    ideal = cv2.perspectiveTransform(points.reshape(-1, 1, 2), bench.plane.matrix)[:, 0]
    lens = bench.lens
    camera = np.array([[lens.scale, 0.0, lens.centre[0]], [0.0, lens.scale, lens.centre[1]], [0.0, 0.0, 1.0]])
    rays = np.column_stack([(ideal - lens.centre) / lens.scale, np.ones(len(ideal))])
    bend = np.array([lens.k1, lens.k2, 0.0, 0.0])
    return np.asarray(cv2.projectPoints(rays, np.zeros(3), np.zeros(3), camera, bend)[0][:, 0], np.float64)


def projecting() -> None:
    """Time the whole pouch, front and back, from pieces to strokes as the windows draw them."""
    bench = measure.calibrate(measure.marks_and_block(*measure.bench_number(1))).bench
    scenes = [of_piece(piece) for piece in drafts.get("belt-pouch").draft({}).pieces]
    placement = Placement(550.0, 500.0, 12.0, False)
    title("project")
    words = f"the pouch's {sum(len(scene.points) for scene in scenes)} points to strokes"
    line(words, repeat(lambda: [picture_json(project(scene, bench, placement, 3.6)) for scene in scenes], 200))
