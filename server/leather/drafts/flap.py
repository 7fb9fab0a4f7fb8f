"""A flap that goes up from the back, over the thing and down the front, and what closes it.

On the flat piece y is 0 at the mouth and negative upwards. A place y mm below the mouth on the front lies at
-(2 h + 2 B + F + y): h the thing's height above the mouth, B = (pi / 2) (R + K t) each bend, F = S - 2 R the flat between.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from server.geometry.build import chain, polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Path
from server.geometry.segment import Arc
from server.leather import bend
from server.leather.piece import Drawn

KEYHOLE = 1.5
"""mm a keyhole is wider than the stud's neck, and the width of its slit; common practice, no source."""
_SLIT = 1.2
"""Length of a keyhole's slit in diameters; common practice, no source."""


@dataclass(frozen=True)
class Flap:
    """A flap, all in mm.

    Attributes:
        half: half width where it leaves the back.
        end_half: half width at its end.
        reach: how far down the front it reaches, from the mouth.
        corner: radius of its two corners.
        stands: height of the thing above the mouth, and so of the bends.
        span: from the inside of the back to the outside of the front.
        bend: leather that each of the two bends takes up.
        radius: inside radius of the bends.
        tongue: half width of a tongue, 0 for none.
        shoulder: how far above the end a tongue begins.

    """

    half: float
    end_half: float
    reach: float
    corner: float
    stands: float
    span: float
    bend: float
    radius: float
    tongue: float = 0.0
    shoulder: float = 0.0

    @property
    def over(self) -> float:
        """Mouth on the back to the mouth on the front, over the top."""
        return 2.0 * self.stands + 2.0 * self.bend + self.span - 2.0 * self.radius

    @property
    def rise(self) -> float:
        """Mouth to the flap's end, on the flat piece."""
        return self.over + self.reach

    def at(self, below: float) -> float:
        """Return the y on the flat piece of what lies `below` mm under the mouth on the front."""
        return -(self.over + below)

    @property
    def folds(self) -> tuple[float, float]:
        """The middle of each bend, y on the flat piece."""
        first = -(self.stands + self.bend / 2.0)
        return first, first - self.bend - (self.span - 2.0 * self.radius)

    def side(self) -> Path:
        """Return the right side from the end's centre to the mouth, clockwise."""
        end, mouth = -self.rise, (self.half, 0.0)
        if self.tongue == 0.0:
            spots = [(0.0, end), (self.end_half, end), (self.half, self.folds[1]), mouth]
            return rounded(spots, [0.0, self.corner, 0.6 * self.half, 0.0], field="flap-corner")
        neck, shoulder = self.tongue, end + self.shoulder
        drop = 0.8 * (self.end_half - neck)
        spots = [
            (0.0, end),
            (neck, end),
            (neck, shoulder),
            (self.end_half, shoulder + drop),
            (self.half, self.folds[1]),
            mouth,
        ]
        ease = 0.45 * math.hypot(self.end_half - neck, drop)
        return rounded(spots, [0.0, 0.7 * neck, ease, ease, 0.3 * self.half, 0.0], field="flap-corner")

    def fold_lines(self) -> tuple[Drawn, Drawn]:
        """Return both fold lines, across at the full width of the back."""
        lines = [polyline([(-self.half, y), (self.half, y)]) for y in self.folds]
        return Drawn("fold", lines[0], "fold-back"), Drawn("fold", lines[1], "fold-front")


def bent(half: float, end_half: float, reach: float, corner: float, stands: float, span: float, radius: float, leather: float,
         neutral: float) -> Flap:  # fmt: skip
    """Return a flap without a tongue; the bends' inside radius is at most half the span."""
    inside = min(radius, span / 2.0)
    taken = bend.allowance(math.pi / 2.0, inside, leather, neutral)
    return Flap(half, end_half, reach, corner, stands, span, taken, inside)


def keyhole(y: float, diameter: float) -> Path:
    """Return a keyhole on the centre line: a round hole at y and a slit with a round end below it.

    The flap's end is up (negative y): the slit points away from it, and its leather springs shut behind the stud.
    """
    radius, half = diameter / 2.0, KEYHOLE / 2.0
    away = math.sqrt(radius * radius - half * half)
    turn = math.degrees(math.atan2(away, half))
    tail = y + radius + _SLIT * diameter
    arcs = (
        Arc.of((0.0, y), radius, -90.0, 90.0 + turn),
        Arc.of((0.0, tail - half), half, 0.0, 90.0),
    )
    return unfold(chain((0.0, y - radius), arcs, (0.0, tail)), closed=True)
