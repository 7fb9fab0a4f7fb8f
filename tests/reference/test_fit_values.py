"""Fits and the belt pouch against published and derived values. The source stands beside each."""

from __future__ import annotations

import math

import numpy as np
import pytest

from server import units
from server.leather.drafts import get
from server.leather.fit import close_allowance, easy_allowance, girth_bound, round_bound, seam_to_seam
from server.leather.pattern import Pattern


def inches(text: str) -> float:
    return units.length(text, field="test")


def pouch(edge_margin: str) -> Pattern:
    """Common practice, no source: the worked example of the belt pouch, typed as a maker types it."""
    typed = {
        "width": "3 in", "height": "6 in", "thickness": "1/2 in", "stands-out": "1 in", "belt": '1 1/2"',
        "side-allowance": "1/2 in", "bottom-allowance": "1/2 in", "edge-margin": edge_margin,
        "slot-width": "3/8 in", "slot-gap": "1/4 in",
    }  # fmt: skip
    return get("belt-pouch").draft({name: units.length(text, field=name) for name, text in typed.items()})


def size(pattern: Pattern, line: str) -> tuple[float, float]:
    width, height = np.ptp(pattern.piece("front").line(line).path.flatten(), axis=0)
    return float(width), float(height)


def body_width(pattern: Pattern) -> float:
    """Width of the front just above its bottom corners, below the wings."""
    points = pattern.piece("front").outline.flatten()
    below = points[(points[:, 1] > inches("4 in"))]
    return float(np.ptp(below[:, 0]))


def test_belt_pouch() -> None:
    """Common practice, no source: seam-to-seam 4 in, body 4 1/2 in wide, overall 5 3/4 x 5 3/4 in, slots 1 1/2 x 3/8."""
    pattern = pouch("1/4 in")
    assert size(pattern, "pocket")[0] == pytest.approx(inches("4 in"))
    assert body_width(pattern) == pytest.approx(inches("4 1/2 in"))
    assert size(pattern, "outline") == pytest.approx((inches("5 3/4 in"), inches("5 3/4 in")))
    assert size(pattern, "slot-left") == pytest.approx((inches("3/8 in"), inches("1 1/2 in")))


def test_belt_pouch_with_a_dressier_margin() -> None:
    """Common practice, no source: 1/8 in on the three body sides: body 4 1/4 in wide, 5 5/8 in high, stitch line unmoved."""
    plain, dressy = pouch("1/4 in"), pouch("1/8 in")
    assert body_width(dressy) == pytest.approx(inches("4 1/4 in"))
    assert size(dressy, "outline") == pytest.approx((inches("5 3/4 in"), inches("5 5/8 in")))
    for name in ("pocket", "ring-left", "ring-right"):
        assert np.array_equal(
            dressy.piece("front").line(name).path.flatten(), plain.piece("front").line(name).path.flatten()
        )
        assert np.array_equal(dressy.piece("front").hole_points(name), plain.piece("front").hole_points(name))


def test_empty_allowances_give_the_same_pouch() -> None:
    """The easy fit a = T is the 1/2 in of the worked example."""
    empty = get("belt-pouch").draft({})
    assert size(empty, "outline") == pytest.approx(size(pouch("1/4 in"), "outline"))


def test_two_ply_girth() -> None:
    """Derived: W + T + 1.571 t at K 0.5; the half perimeter of a rectangle grown by t / 2, from its four sides and circle."""
    w, t, ply = 76.2, 12.7, 2.4
    grown = (2 * (w + t) + 2 * math.pi * ply / 2) / 2
    assert girth_bound(w, t, ply) == pytest.approx(grown)
    assert girth_bound(w, t, ply) - w - t == pytest.approx(1.571 * ply, abs=1e-3)
    assert girth_bound(w, t, ply, neutral=0.0) == pytest.approx(w + t)


def test_round_thing() -> None:
    """Derived: pi (D + t) / 2 a ply: D 14.5, t 2 -> 25.918."""
    assert round_bound(14.5, 2.0) == pytest.approx(25.918, abs=5e-4)


def test_card_sleeve() -> None:
    """ISO/IEC 7810 ID-1 (85.60 mm wide), t 1.2, stack 3.0: seam-to-seam 91.0; cut width 97.0 at a 3 mm margin. Derived."""
    width = seam_to_seam(85.60, close_allowance(3.0, 1.2))
    assert width == pytest.approx(91.0)
    assert width + 2 * 3.0 == pytest.approx(97.0)
    assert easy_allowance(3.0) == 3.0


@pytest.mark.parametrize(("thickness", "ply"), [(1.0, 2.0), (12.7, 2.4), (40.0, 4.0)])
def test_a_close_fit_always_goes_in(thickness: float, ply: float) -> None:
    """Derived: W + T + 2 t is (2 - pi / 2) t more than the girth bound."""
    spare = seam_to_seam(60.0, close_allowance(thickness, ply)) - girth_bound(60.0, thickness, ply)
    assert spare == pytest.approx((2 - math.pi / 2) * ply)
