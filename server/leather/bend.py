"""How much leather a bend takes up. Millimetres and radians."""

from __future__ import annotations

import math

from calibration.refusal import Refusal
from server.leather.norms import NEUTRAL_AXIS


def allowance(angle: float, radius: float, thickness: float, neutral: float = NEUTRAL_AXIS.value) -> float:
    """Return the length, mm, at the neutral axis of a bend: A (R + K t).

    Args:
        angle: radians turned.
        radius: inside radius, mm.
        thickness: of the ply, mm.
        neutral: K, where in the ply the neutral axis lies (0 inside, 1 outside).

    The same formula as the US Navy and FAA bend allowance for sheet metal, whose K is 0.0078/0.0173 = 0.451.

    """
    return angle * (radius + neutral * thickness)


def neutral_from_strip(length: float, angle: float, radius: float, thickness: float) -> float:
    """Return K from a measured strip: (BA / A - R) / t.

    Args:
        length: mm of the flat strip that the bend took up.
        angle: radians turned, more than 0.
        radius: inside radius, mm.
        thickness: of the strip, mm, more than 0.

    Raises:
        Refusal: numbers that give no K between 0 and 1: the strip was measured wrong.

    """
    if not (angle > 0.0 and thickness > 0.0 and math.isfinite(length + radius)):
        raise Refusal(
            "A strip needs a bend of more than 0 degrees and a thickness of more than 0 mm.", field="thickness"
        )
    neutral = (length / angle - radius) / thickness
    if not 0.0 <= neutral <= 1.0:
        raise Refusal(
            f"The strip gives K = {neutral:.3g}, but K lies between 0 and 1: measure it again.", field="length"
        )
    return neutral
