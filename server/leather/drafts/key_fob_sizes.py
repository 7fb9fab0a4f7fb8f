"""The key fob's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

from server.leather.drafts.tips import tip_end


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures, mm; y is 0 at the front paddle's tip and grows through the loop to the back paddle's tip.

    Attributes:
        half: centre line to a paddle's side.
        neck: centre line to the neck's side.
        straight: tip to the beginning of the loop.
        loop: leather that the loop takes up.
        shoulder: height of the shoulder between neck and paddle.
        neck_length: from the loop to the shoulder.
        tip: kind of tip.
        margin: stitch line to edge.

    """

    half: float
    neck: float
    straight: float
    loop: float
    shoulder: float
    neck_length: float
    tip: str
    margin: float

    @property
    def middle(self) -> float:
        """Tip to the middle of the loop."""
        return self.straight + self.loop / 2.0

    @property
    def blank(self) -> float:
        """Tip to tip."""
        return 2.0 * self.middle

    @property
    def tip_height(self) -> float:
        """Height of the tip."""
        return tip_end(self.tip, self.half, 0.0)

    @property
    def side_top(self) -> float:
        """Of the back paddle: where the shoulder ends and its side begins."""
        return self.straight + self.loop + self.neck_length + self.shoulder

    @property
    def swell(self) -> float:
        """How far the shoulder's curves reach beyond its two ends, along neck and side."""
        room = min(self.neck_length + self.loop / 2.0, max(self.side_end - self.side_top, 0.0))
        return min(0.45 * math.hypot(self.half - self.neck, self.shoulder), 0.95 * room)

    @property
    def seam_top(self) -> float:
        """Of the back paddle: where the seam crosses it, below the shoulder and its curve."""
        return self.side_top + max(self.margin, self.swell)

    @property
    def side_end(self) -> float:
        """Of the back paddle: where its side ends and the tip begins."""
        return self.blank - self.tip_height
