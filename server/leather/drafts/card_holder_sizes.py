"""The card holder's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

CLEAR = 1.5
"""mm between a stem and the side seam; common practice, no source."""
OVERLAP = 4.0
"""mm an arm reaches below the next pocket's mouth, which hides its end; common practice, no source."""


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures on the right half, mm; y is 0 at the top of the body and grows down.

    Attributes:
        half_seam: centre line to the side stitch line.
        margin: stitch line to edge.
        corner: radius of the stitch line's bottom corners.
        mouths: top of the body to each pocket's mouth, from the rear one on.
        depth: a pocket's mouth to its base.
        step: from mouth to mouth.
        top: where the outer seam ends.
        pitch: wished for.
        back: whether there is a pocket behind the body.

    """

    half_seam: float
    margin: float
    corner: float
    mouths: tuple[float, ...]
    depth: float
    step: float
    top: float
    pitch: float
    back: bool

    @property
    def half(self) -> float:
        """Centre line to the side edge."""
        return self.half_seam + self.margin

    @property
    def floor(self) -> float:
        """Top of the body to the bottom stitch line."""
        return self.mouths[-1] + self.depth

    @property
    def bottom(self) -> float:
        """Top of the body to the bottom edge."""
        return self.floor + self.margin

    @property
    def stem(self) -> float:
        """Centre line to the side of a stem."""
        return self.half_seam - CLEAR

    @property
    def arm(self) -> float:
        """Height of the arms."""
        return self.step + OVERLAP
