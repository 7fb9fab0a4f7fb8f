"""How surely a hand sees that a cross of light lies on a mark."""

from __future__ import annotations

HAND_MM = 0.3
"""Standard deviation in x and in y of seeing a cross on a mark, when the cross can be moved freely, mm (common practice)."""


def with_step(hand: float, step_mm: float) -> float:
    """Return the standard deviation, mm, when the cross moves by steps: anything up to half a step is left standing.

    A rectangle of width s has the standard deviation s / sqrt(12) (JCGM 100:2008, Guide to the expression of uncertainty
    in measurement, 4.3.7); independent of the hand, so the squares add.
    """
    return float((hand**2 + step_mm**2 / 12.0) ** 0.5)
