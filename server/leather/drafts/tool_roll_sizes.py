"""The tool roll's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

TIE_ROWS = 10.0
"""mm between the two rows that hold the tie; common practice, no source."""


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures, mm; on the body y is 0 at the flap's edge, on the pocket panel at its mouth.

    Attributes:
        tools: diameter of each tool, the largest first.
        widths: seam to seam of each pocket.
        depth: mouth of the pockets to their floor.
        above: pockets' mouth to the flap's fold.
        flap: fold to the flap's edge.
        margin: stitch line to edge.
        corner: radius of the outer seam's bottom corners.
        tie: half width and length of the tie.
        pitch: wished for.

    """

    tools: tuple[float, ...]
    widths: tuple[float, ...]
    depth: float
    above: float
    flap: float
    margin: float
    corner: float
    tie: tuple[float, float]
    pitch: float

    @property
    def even(self) -> bool:
        """Whether all pockets are alike, so that both halves are mirrors."""
        return self.tools[0] == self.tools[-1]

    @property
    def half_seam(self) -> float:
        """Centre line to the side seam."""
        return math.fsum(self.widths) / 2.0

    @property
    def half(self) -> float:
        """Centre line to the side edge."""
        return self.half_seam + self.margin

    @property
    def mouth(self) -> float:
        """Flap's edge to the pockets' mouth."""
        return self.flap + self.above

    @property
    def bottom(self) -> float:
        """Flap's edge to the bottom edge."""
        return self.mouth + self.depth + self.margin

    @property
    def dividers(self) -> tuple[float, ...]:
        """Where the seams between the pockets stand."""
        count = len(self.tools)
        if self.even:
            return tuple((i - count / 2.0) * self.widths[0] for i in range(1, count))
        return tuple(x - self.half_seam for x in itertools.accumulate(self.widths[:-1]))

    @property
    def rows(self) -> tuple[float, float]:
        """Where the two rows for the tie stand, at the right."""
        return self.half_seam - self.margin - TIE_ROWS, self.half_seam - self.margin
