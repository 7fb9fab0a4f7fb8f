"""Two edges that are sewn together have equal counts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from calibration.refusal import Refusal
from server.leather.norms import MATING_TOLERANCE


@dataclass(frozen=True)
class Mating:
    """How two stitch lines are sewn hole to hole.

    Attributes:
        stitches: the count of both, from the master line.
        master_pitch: mm.
        other_pitch: mm.
        sentence: what to say when the pitches differ by more than 5 %, else None.

    """

    stitches: int
    master_pitch: float
    other_pitch: float
    sentence: str | None


def mate(master: float, other: float, pitch: float) -> Mating:
    """Return equal counts for two stitch lines (lengths in mm, measured on the stitch line, not on the edge).

    N comes from the master line; the pitch on each is L / N.

    Raises:
        Refusal: a length or pitch that is not more than 0.

    """
    if not all(math.isfinite(value) and value > 0.0 for value in (master, other, pitch)):
        raise Refusal(
            f"Seams of {master:.6g} and {other:.6g} mm at {pitch:.6g} mm cannot be matched: give lengths above 0."
        )
    stitches = max(1, round(master / pitch))
    off = abs(other - master) / master
    sentence = None
    if off > MATING_TOLERANCE.value:
        sentence = f"The mating seam is {abs(other - master):.1f} mm ({100 * off:.0f} %) off: change it by that much or ease it in."
    return Mating(stitches, master / stitches, other / stitches, sentence)
