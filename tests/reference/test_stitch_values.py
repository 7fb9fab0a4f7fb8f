"""Strikes, counts, chords and stitch lines against published and derived values. The source stands beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest

from server.geometry.build import chain, polyline
from server.geometry.path import Arc, Path
from server.geometry.spacing import step_off
from server.leather.seam import mate
from server.leather.stitch import stitch_line
from server.leather.strike import plan, straight_strikes


def u_seam(width: float, height: float, radius: float, inside: float) -> Path:
    """A U whose edge has that radius, followed `inside` mm within the edge."""
    side, floor, r = width / 2 - inside, height - inside, radius - inside
    arcs = (Arc.of((side - r, floor - r), r, 0.0, 90.0), Arc.of((r - side, floor - r), r, 90.0, 90.0))
    return chain((side, 0.0), arcs, (-side, 0.0))


@pytest.mark.parametrize(("holes", "tines", "strikes"), [(51, 10, 6), (33, 6, 7), (10, 10, 1)])
def test_strikes(holes: int, tines: int, strikes: int) -> None:
    """Derived: 1 + ceil((N - k) / (k - 1)), overlap one."""
    assert straight_strikes(holes, tines) == strikes
    row = stitch_line(polyline([(0, 0), (4.0 * (holes - 1), 0)]), 4.0, "row")
    assert len(plan(row, irons=(tines, 1))) == strikes


def test_equal_counts() -> None:
    """Derived: 200 and 203 mm at 4 mm -> 50 stitches at 4.000 and 4.060."""
    mating = mate(200, 203, 4)
    assert mating.stitches == 50
    assert mating.master_pitch == pytest.approx(4.000)
    assert mating.other_pitch == pytest.approx(4.060)


@pytest.mark.parametrize(("inside", "length"), [(0, 262.832), (3, 253.407), (4, 250.265)])
def test_the_length_of_a_u_seam_is_that_of_the_stitch_line(inside: float, length: float) -> None:
    """Derived: W 120 H 80 corner r 20; W + 2 H - 4 r + pi (r - s), s = inside."""
    path = u_seam(120, 80, 20, inside)
    assert path.length == pytest.approx(length, abs=5e-4)
    assert path.length == pytest.approx(120 + 160 - 80 + math.pi * (20 - inside))


@pytest.mark.parametrize(("radius", "chord"), [(20, 4.987), (6, 4.857)])
def test_chords_of_a_5_mm_arc(radius: float, chord: float) -> None:
    """Derived: 2 r sin(5 / 2 r). Dividers step chords."""
    spacing = step_off(Path((Arc.of((0, 0), radius, 0.0, math.degrees(30 / radius)),)), 5.0)
    steps = np.hypot(*np.diff(spacing.points, axis=0).T)
    assert steps == pytest.approx(chord, abs=5e-4)
    assert steps == pytest.approx(2 * radius * math.sin(5 / (2 * radius)), abs=1e-9)
