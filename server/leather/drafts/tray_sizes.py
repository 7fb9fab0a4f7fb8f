"""The tray's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures, mm; x is 0 on the centre line, y is 0 at the upper edge.

    Attributes:
        half: centre line to the side edge.
        height: upper edge to lower edge.
        fold: centre line to the fold of the side wall.
        fold_top: upper edge to the fold of the upper wall.
        bend: leather each fold takes up.
        corner: radius of the outer corners.
        up: u, from the fold up the wall to a fixing.
        ear: v, from the corner of the folds out along the ear to a fixing.
        hole: diameter of a fixing's hole.
        margin: stitch line to edge.

    """

    half: float
    height: float
    fold: float
    fold_top: float
    bend: float
    corner: float
    up: float
    ear: float
    hole: float
    margin: float

    @property
    def wall(self) -> float:
        """Fold to edge."""
        return self.fold_top
