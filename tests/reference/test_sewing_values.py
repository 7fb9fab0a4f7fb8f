"""Thread, routes, strikes, waste and areas against published and derived values. The source stands beside each."""

from __future__ import annotations

import math

import pytest

from server.geometry.build import chain, polyline
from server.geometry.path import Arc
from server.leather.cost import cutting_value, square_feet, waste_share
from server.leather.rack import Thread, starter
from server.leather.route import sewing_routes
from server.leather.seam import meet
from server.leather.stitch import StitchLine, stitch_line
from server.leather.strike import plan


def row() -> StitchLine:
    return stitch_line(polyline([(0, 0), (200, 0)]), 4.0, "row")


@pytest.mark.parametrize(
    ("thickness", "back", "tail", "mm"),
    [(3.0, 0, 0.0, 703), (3.0, 1, 0.0, 731), (3.0, 1, 75.0, 881), (12.0, 0, 0.0, 1612)],
)
def test_the_thread_of_a_route_is_the_saddle_stitch_formula(
    thickness: float, back: int, tail: float, mm: float
) -> None:
    """Derived: L 200, p 4: 51 holes; S + 2 n (p + S) + 2 b (p + S) + 2 tails, b = 2 back stitches, one at each end."""
    route = sewing_routes([row()], thickness, back=back, tail=tail)[0]
    assert len(row().holes) == 51
    assert route.thread == pytest.approx(mm)


@pytest.mark.parametrize(("stitches", "tines", "blows"), [(50, 10, 6), (32, 6, 7), (9, 10, 1)])
def test_fewest_blows_of_a_straight_row(stitches: int, tines: int, blows: int) -> None:
    """Derived: 1 + ceil((N - k) / (k - 1)) for 51, 33 and 10 holes with rows of 10, 6 and 10."""
    line = stitch_line(polyline([(0, 0), (4.0 * stitches, 0)]), 4.0, "row")
    assert len(plan(line, (tines,))) == blows


def test_a_u_seam_and_its_gusset_have_equal_counts() -> None:
    """Derived: U of W 120, H 80, corner r 20 followed 4 mm inside is 250.265 mm, at 4 mm 63 stitches.

    A gusset of 254 mm takes the same 63, at 4.032 mm.
    """
    side, floor, r = 56.0, 76.0, 16.0
    arcs = (Arc.of((side - r, floor - r), r, 0.0, 90.0), Arc.of((r - side, floor - r), r, 90.0, 90.0))
    panel = chain((side, 0.0), arcs, (-side, 0.0))
    assert panel.length == pytest.approx(250.265, abs=5e-4)
    meeting = meet({"panel": panel, "gusset": polyline([(0, 0), (254, 0)])}, 4.0)
    assert meeting.stitches == (63,)
    assert meeting.lines["gusset"].pitch == pytest.approx(254 / 63)
    assert meeting.lines["gusset"].pitch == pytest.approx(4.032, abs=5e-4)
    assert meeting.sentences == ()


def test_equal_counts_of_two_straight_lines() -> None:
    """Derived: 200 and 203 mm at 4 mm -> 50 stitches at 4.000 and 4.060."""
    meeting = meet({"a": polyline([(0, 0), (200, 0)]), "b": polyline([(0, 0), (203, 0)])}, 4.0)
    assert [line.pitch for line in meeting.lines.values()] == pytest.approx([4.000, 4.060])


def test_thread_of_a_tex() -> None:
    """ISO 1144 (tex = g/km); linen 18/3 = 275.6 tex; diameter sqrt(4 tex / (1000 pi rho)), rho about 0.82 g/cm3."""
    thread = Thread.of_tex("linen 18/3", 275.6)
    assert thread.diameter == pytest.approx(math.sqrt(4 * 275.6 / (1000 * math.pi * 0.82)))
    assert starter().thread("linen 18/3").diameter == pytest.approx(thread.diameter)


@pytest.mark.parametrize(("pattern", "cutting"), [(90, 92), (107, 115), (107, 128), (71, 81), (71, 84)])
def test_waste_of_interlocked_cutting(pattern: float, cutting: float) -> None:
    """Golding, Manufacture of Boots and Shoes (from memory, page not at hand): pattern -> cutting area, sq in; w = m / (1 + m)."""
    markup = cutting / pattern - 1
    assert cutting * (1 - waste_share(markup)) == pytest.approx(pattern)


def test_cutting_value() -> None:
    """Golding, as above: 5 of 110 defective -> 95.45 %."""
    assert 100 * cutting_value(110, 5) == pytest.approx(95.45, abs=5e-3)


def test_square_feet() -> None:
    """NIST SP 811, appendix B.8: 1 ft2 = 0.09290304 m2 = 9.290304 dm2 exactly (12 x 12 in of 0.254 dm)."""
    assert square_feet(9.290304) == 1.0
    assert square_feet((12 * 0.254) ** 2) == pytest.approx(1.0)
