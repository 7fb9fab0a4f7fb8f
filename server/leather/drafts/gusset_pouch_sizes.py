"""The pouch with a gusset's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures, mm; of a panel y is 0 at the mouth and grows down.

    Attributes:
        half: centre line to a panel's side edge.
        bottom: mouth to a panel's bottom edge.
        corner: radius of a panel's bottom corners, at the edge.
        margin: stitch line to edge.
        wall: a panel's edge to the neutral line of the strip's wall.
        flange: a panel's edge to the outside of that wall.
        bend: leather each of the strip's long folds takes up.
        half_strip: centre line of the strip to its edge.

    """

    half: float
    bottom: float
    corner: float
    margin: float
    wall: float
    flange: float
    bend: float
    half_strip: float

    @property
    def base(self) -> float:
        """Half the straight bottom."""
        return self.half - self.corner

    @property
    def side(self) -> float:
        """The straight side, from the mouth to the corner."""
        return self.bottom - self.corner

    def round(self, inside: float) -> float:
        """Return the length of one corner on the line `inside` mm within the edge."""
        return math.pi / 2.0 * (self.corner - inside)

    def way(self, inside: float) -> float:
        """Return the way round, mouth to mouth, on that line: W + 2 H - 4 r + pi (r - s)."""
        return 2.0 * (self.base + self.round(inside) + self.side)
