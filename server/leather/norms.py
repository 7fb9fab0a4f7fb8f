"""Every number that comes from outside the draft, with its unit, its range and its reference.

"Common practice, no source" is said where a number is the trade's habit and no published source was at hand.
"""

from __future__ import annotations

from dataclasses import dataclass

_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Norm:
    """A number from outside.

    Attributes:
        value: in `unit`.
        unit: mm, degrees, or "1" for a pure number.
        low: the least value met with.
        high: the greatest value met with.
        reference: the standard, book or habit it comes from; never empty.

    Raises:
        ValueError: no reference, or a value outside its own range.

    """

    value: float
    unit: str
    low: float
    high: float
    reference: str

    def __post_init__(self) -> None:
        if not self.reference:
            raise ValueError("a norm needs a reference")
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.value} is outside {self.low} to {self.high}")


OUNCE = Norm(0.396875, "mm", 0.396875, 0.4, "ASTM D1814: 1/64 in; the trade rounds to 0.4 mm")
IRON = Norm(25.4 / 48, "mm", 0.5, 0.53, "ASTM D1814: 1 iron is 1/48 in")
FRENCH_INCH = Norm(27.070, "mm", 27.07, 27.07, "old French inch, 1/12 of the pied du roi of 324.84 mm; " + _PRACTICE)

NEUTRAL_AXIS = Norm(0.5, "1", 0.3, 0.5, "middle of the ply until a strip has been measured; derived")
SHEET_METAL_NEUTRAL_AXIS = Norm(
    0.0078 / 0.0173, "1", 0.33, 0.5, "US Navy and FAA bend allowance: (0.0173 R + 0.0078 T) N"
)

TINE_TOLERANCE = Norm(0.25, "mm", 0.1, 0.5, "half the width of a small diamond hole; " + _PRACTICE)
TINES = (6, 4, 2, 1)
"""Tines of the irons in an ordinary set; common practice, no source."""
LEAST_HOLE_DISTANCE = Norm(
    0.6, "1", 0.5, 1.0, "share of the pitch below which leather tears between holes; " + _PRACTICE
)
MATING_TOLERANCE = Norm(0.05, "1", 0.03, 0.08, "share of the pitch two mating seams may differ by; " + _PRACTICE)

BACK_STITCHES = Norm(2, "1", 2, 3, "two or three back stitches at an end; " + _PRACTICE)
THREAD_TAIL = Norm(75.0, "mm", 50.0, 150.0, "each of two tails, for a grip and a needle; " + _PRACTICE)
LINEN_DENSITY = Norm(0.82, "g/cm3", 0.75, 0.95, "packed linen thread, about; " + _PRACTICE)
LEA_TO_TEX = Norm(1653.5, "tex", 1653.5, 1653.6, "linen lea of 300 yd to the pound, tex in g/km as ISO 1144")

BACK_MARGIN = Norm(8.0, "mm", 6.0, 12.0, "how much a second ply is cut over-size; " + _PRACTICE)
GLUE_REACH = Norm(1.0, "mm", 0.0, 2.0, "how far glue reaches past the stitch line into the pocket; " + _PRACTICE)
BELT_POUCH_MARGIN = Norm(6.35, "mm", 3.175, 9.525, "1/4 in plain, 1/8 in dressier; " + _PRACTICE)
SLOT_END_SHARE = Norm(0.25, "1", 0.2, 0.5, "slot corner radius as a share of its width; " + _PRACTICE)
LEAST_RING_HOLES = Norm(8, "1", 6, 12, "a ring of fewer holes does not follow its slot; " + _PRACTICE)
SNUG_EASE = Norm(3.0, "mm", 1.0, 4.0, "spare seam-to-seam width below which a thing is held; " + _PRACTICE)
LOOSE_EASE = Norm(6.0, "mm", 5.0, 15.0, "spare width above which a thin thing turns in its pocket; " + _PRACTICE)
