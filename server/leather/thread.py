"""How much thread a seam takes, and how thick a thread is. Millimetres unless said."""

from __future__ import annotations

import math

from calibration.refusal import Refusal
from server.leather.norms import FRENCH_INCH, LEA_TO_TEX, LINEN_DENSITY


def saddle_stitch(stitches: int, pitch: float, thickness: float, back: int = 0, tail: float = 0.0) -> float:
    """Return the thread, mm, of a two-needle saddle stitch: S + 2 n (p + S) + 2 b (p + S) + 2 tails.

    Args:
        stitches: n, how many stitches.
        pitch: p, mm.
        thickness: S, of everything sewn through, mm.
        back: b, back stitches.
        tail: mm, each of the two ends left over.

    Each stitch lays p of thread on both faces and takes both threads through S; the first hole is crossed once. Derived.

    """
    if stitches < 1 or back < 0 or not (pitch > 0.0 and thickness >= 0.0 and tail >= 0.0):
        raise Refusal(
            f"Thread for {stitches} stitches of {pitch:.6g} mm cannot be worked out: at least one stitch is needed."
        )
    return thickness + 2.0 * (stitches + back) * (pitch + thickness) + 2.0 * tail


def lockstitch_per_length(stitches_per_length: float, thickness: float) -> float:
    """Return the thread of both sides for one unit length of lockstitch: 2 + 2 T S, with T in that unit.

    The textbook formula of machine sewing; a two-needle saddle stitch has the same geometry.
    """
    return 2.0 + 2.0 * thickness * stitches_per_length


def tex_of_lea(lea: float, plies: int = 1) -> float:
    """Return the tex (g/km, ISO 1144) of a linen thread of `plies` yarns of that lea number: 1653.5 n / NeL."""
    return LEA_TO_TEX.value * plies / lea


def diameter_of_tex(tex: float, density: float = LINEN_DENSITY.value) -> float:
    """Return the diameter, mm, of a round thread: sqrt(4 tex / (1000 pi rho)), rho in g/cm3."""
    return math.sqrt(4.0 * tex / (1000.0 * math.pi * density))


def pitch_of_irons(number: float, *, french: bool = False) -> float:
    """Return the pitch, mm, of irons marked N to the inch: 25.4 / N, or 27.070 / N for the old French inch."""
    return (FRENCH_INCH.value if french else 25.4) / number
