"""Equal chords against brute-force stepping (tests/reference/brute.py), to 1e-9 mm; the source is the definition itself."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely

from server.geometry.build import chain, polyline, rounded_rectangle
from server.geometry.curve import bezier
from server.geometry.path import Arc, Path
from server.leather.stitch import stitch_line
from tests.reference.brute import Curve, equal_steps, joined, round_about, straight

U_SEAM = chain((-50.0, 0.0), (Arc.of((-30, 60), 20.0, 180.0, -90.0), Arc.of((30, 60), 20.0, 90.0, -90.0)), (50.0, 0.0))
U_CURVE = joined(
    (60, straight((-50, 0), (-50, 60))),
    (10 * math.pi, round_about((-30, 60), 20, 180, -90)),
    (60, straight((-30, 80), (30, 80))),
    (10 * math.pi, round_about((30, 60), 20, 90, -90)),
    (60, straight((50, 60), (50, 0))),
)
FREE = bezier((0, 0), (60, -40), (-10, 70), (80, 50))


def along(points: list[tuple[float, float]]) -> Curve:
    return joined(*((math.dist(a, b), straight(a, b)) for a, b in itertools.pairwise(points)))


@pytest.mark.parametrize(
    ("path", "curve", "pitch"),
    [
        (polyline([(0, 0), (200, 0)]), straight((0, 0), (200, 0)), 4.1),
        (Path((Arc.of((0, 0), 20.0, 0.0, 200.0),)), round_about((0, 0), 20, 0, 200), 5.0),
        (Path((Arc.of((0, 0), 6.0, 0.0, 270.0),)), round_about((0, 0), 6, 0, 270), 5.0),
        (U_SEAM, U_CURVE, 7.0),
        (
            chain((0.0, 0.0), (Arc.of((10, 3), 3.0, -90.0, 180.0),), (0.0, 6.0)),
            joined(
                (10, straight((0, 0), (10, 0))),
                (3 * math.pi, round_about((10, 3), 3, -90, 180)),
                (10, straight((10, 6), (0, 6))),
            ),
            2.0,
        ),
        (FREE, along([(x, y) for x, y in FREE.flatten().tolist()]), 8.0),
    ],
    ids=["straight", "arc", "tight arc", "U", "hairpin", "free curve"],
)
def test_the_engine_steps_as_dividers_do(path: Path, curve: Curve, pitch: float) -> None:
    line = stitch_line(path, pitch, "s")
    chord, points = equal_steps(curve, line.stitches, path.length / line.stitches)
    assert line.chords == pytest.approx((chord,), abs=1e-9)
    assert np.abs(line.points - np.array(points)).max() < 1e-8
    assert line.steps == pytest.approx(np.full(line.stitches, chord), abs=1e-9)


def test_a_ring_closes_as_dividers_do() -> None:
    path = rounded_rectangle(0, 0, 30, 50, 6)
    parts = []
    for segment in path.segments:
        if isinstance(segment, Arc):
            start = math.degrees(math.atan2(segment.start[1] - segment.centre[1], segment.start[0] - segment.centre[0]))
            parts.append((segment.length, round_about(segment.centre, segment.radius, start, 90)))
        else:
            parts.append((segment.length, straight(segment.start, segment.end)))
    ring = stitch_line(path, 8.0, "ring")
    chord, points = equal_steps(joined(*parts), ring.stitches, path.length / ring.stitches)
    assert ring.chords == pytest.approx((chord,), abs=1e-9)
    assert np.abs(ring.points - np.array(points[:-1])).max() < 1e-8


def test_the_free_curve_is_the_bezier_it_says() -> None:
    """Bernstein form; the flattened line stays within 0.005 mm of it, says GEOS."""
    t = np.linspace(0, 1, 4001)[:, None]
    true = (1 - t) ** 3 * (0, 0) + 3 * t * (1 - t) ** 2 * (60, -40) + 3 * t * t * (1 - t) * (-10, 70) + t**3 * (80, 50)
    apart = shapely.distance(shapely.points(true), shapely.LineString(FREE.flatten()))
    assert 1e-4 < apart.max() < 0.0051
