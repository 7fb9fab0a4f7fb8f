"""The figures of a two-ply pocket that a family's own figures go on from. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.geometry.path import Path
from server.leather.drafts.parts import u_half


@dataclass(frozen=True)
class Pocket:
    """The right half of a pocket; x is 0 on the centre line, y is 0 at the mouth and grows down.

    Attributes:
        half_seam: centre line to the side stitch line.
        floor: mouth to the bottom stitch line.
        corner: radius of the stitch line's bottom corners.
        margin: stitch line to edge.

    """

    half_seam: float
    floor: float
    corner: float
    margin: float

    @property
    def half(self) -> float:
        """Centre line to the side edge."""
        return self.half_seam + self.margin

    @property
    def bottom(self) -> float:
        """Mouth to the bottom edge."""
        return self.floor + self.margin

    def u(self, inside: float, top: float) -> Path:
        """Return the right half of the U `inside` mm within the stitch line (negative: outside), from the bottom centre to `top`."""
        return u_half(self.half_seam - inside, self.floor - inside, top, self.corner - inside)
