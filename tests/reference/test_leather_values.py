"""Thickness, thread, bends and pitches against published values. The source stands beside each."""

from __future__ import annotations

import math

import pytest

from server import units
from server.leather import bend, norms, thread


def test_ounce_and_iron() -> None:
    """ASTM D1814: 1 oz = 1/64 in, 1 iron = 1/48 in; 8 oz = 3.175 mm. The trade rounds the ounce to 0.4 (no source)."""
    assert units.leather("1 oz", field="leather") == 0.396875
    assert units.leather("8 oz", field="leather") == 3.175
    assert norms.OUNCE.value == 0.396875
    assert norms.IRON.value == pytest.approx(0.529167, abs=5e-7)
    assert units.leather("1 oz", field="leather") == pytest.approx(0.4, abs=0.005)


def test_inch() -> None:
    """NIST SP 811, appendix B.8: 1 in = 25.4 mm exactly."""
    assert units.length("1 in", field="width") == 25.4


def test_lockstitch_thread() -> None:
    """Sewing textbooks (from memory): C = 2 + 2 T S; T 0.01 in, 10 stitches to the inch -> 2.2 in of thread an inch."""
    assert thread.lockstitch_per_length(10, 0.01) == pytest.approx(2.2)


@pytest.mark.parametrize(
    ("thickness", "back", "tail", "mm"),
    [(3.0, 0, 0.0, 703), (3.0, 2, 0.0, 731), (3.0, 2, 75.0, 881), (12.0, 0, 0.0, 1612)],
)
def test_saddle_stitch_thread(thickness: float, back: int, tail: float, mm: float) -> None:
    """Derived: L 200, p 4 is 50 stitches; S + 2 n (p + S) + 2 b (p + S) + 2 tails."""
    assert thread.saddle_stitch(50, 4.0, thickness, back, tail) == pytest.approx(mm)


def test_a_long_saddle_stitch_has_the_geometry_of_a_lockstitch() -> None:
    """Derived: per unit length both tend to 2 (1 + T / p)."""
    n, pitch, thickness = 100_000, 4.0, 3.0
    per_length = thread.saddle_stitch(n, pitch, thickness) / (n * pitch)
    assert per_length == pytest.approx(thread.lockstitch_per_length(1 / pitch, thickness), rel=1e-4)


def test_published_multiples() -> None:
    """One running pass 1.5 x (Texas 4-H L-382), 3.5 x (a camp handbook), about 4 x (common practice, no source).

    The last is for two plies of 4-5 oz at 5 mm, tails and back stitches included.
    """
    one_pass = thread.saddle_stitch(1000, 4.0, 2.0) / 2 / 4000
    assert one_pass == pytest.approx(1.5, abs=0.01)
    assert thread.saddle_stitch(1000, 4.0, 3.0) / 4000 == pytest.approx(3.5, abs=0.01)
    plies = 2 * units.leather("4-5 oz", field="leather")
    assert thread.saddle_stitch(40, 5.0, plies, back=2, tail=75.0) / 200 == pytest.approx(4, abs=0.5)


def test_tex_and_diameter() -> None:
    """ISO 1144: tex = g/km; linen 18/3 = 275.6 tex; diameter sqrt(4 tex / (1000 pi rho)), rho about 0.82 g/cm3."""
    assert thread.tex_of_lea(18, 3) == pytest.approx(275.6, abs=0.05)
    mm = thread.diameter_of_tex(275.6)
    grams_per_km = math.pi * (mm / 10 / 2) ** 2 * 100_000 * 0.82
    assert grams_per_km == pytest.approx(275.6)
    assert mm == pytest.approx(0.654, abs=5e-4)


def test_pitches_of_irons() -> None:
    """Common practice, no source: 27.070 / N mm for irons to the old French inch, 25.4 / N for the English."""
    mm = [thread.pitch_of_irons(n, french=True) for n in range(5, 11)]
    assert mm == pytest.approx([5.4, 4.5, 3.85, 3.38, 3.0, 2.7], abs=0.02)
    assert thread.pitch_of_irons(5) == pytest.approx(5.08)


def test_bend_allowance_of_the_navy_and_faa() -> None:
    """US Navy and FAA: BA = (0.0173 R + 0.0078 T) N degrees.

    U channel T 0.040, R 0.16, flats 0.8 / 1.6 / 0.8 in -> 3.754 to 3.765 in. Their factors are pi/180 rounded, so within
    1 % of A (R + K t).
    """
    navy = (0.0173 * 0.16 + 0.0078 * 0.040) * 90
    neutral = norms.SHEET_METAL_NEUTRAL_AXIS.value
    assert neutral == pytest.approx(0.451, abs=5e-4)
    ours = bend.allowance(math.pi / 2, 0.16, 0.040, neutral)
    assert ours == pytest.approx(navy, rel=0.01)
    flats = 0.8 + 1.6 + 0.8
    assert flats + 2 * navy == pytest.approx(3.754, abs=1e-3)
    assert flats + 2 * bend.allowance(math.pi / 2, 0.16, 0.040, 0.5) == pytest.approx(3.765, abs=1e-3)
    assert 3.753 < flats + 2 * ours < 3.766
