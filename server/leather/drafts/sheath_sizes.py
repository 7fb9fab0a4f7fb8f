"""The sheath's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.geometry.fillet import arch
from server.geometry.path import Path

TOE = 6.0
"""mm: radius of the cavity at the toe; common practice, no source."""
SLOT = 3.0
"""mm: width of the slots the strap goes through."""
LAP = 30.0
"""mm the strap's ends lap, with the snap in the middle; common practice, no source."""


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures on the right half, mm; x is 0 on the fold, y is 0 at the mouth.

    Attributes:
        blade: fold to the cavity's edge beside the blade.
        handle: fold to the cavity's edge beside the handle; as `blade` where no handle stands in the sheath.
        stop: mouth to the ledge that stops the blade.
        belly: mouth to where the edge begins to curve.
        curve: radius of the cavity's edge along the belly.
        tip: place of the blade's tip.
        welt: width of the welt.
        margin: stitch line to outer edge.
        drain: half the gap left open at the toe.

    """

    blade: float
    handle: float
    stop: float
    belly: float
    curve: float
    tip: tuple[float, float]
    welt: float
    margin: float
    drain: float

    @property
    def mouth(self) -> float:
        """Fold to the outer edge at the mouth."""
        return self.handle + self.welt

    def cavity_toe(self) -> Path:
        """Return the cavity's edge from the belly's beginning to the fold."""
        return Path(arch(self.blade, self.belly, self.curve, TOE))


@dataclass(frozen=True)
class Hanger:
    """Figures of hanger and strap, mm.

    Attributes:
        middle: fold of the sheath to the middle of the hanger, on the back.
        half: half width of the hanger.
        margin: stitch line to edge.
        foot: end of the hanger to where the belt's room begins.
        belt: room for the belt.
        fold: leather the fold takes up.
        strap: half width of the strap.
        round: the way round the handle at the strap's neutral axis.
        hole: diameter of the snap's holes.

    """

    middle: float
    half: float
    margin: float
    foot: float
    belt: float
    fold: float
    strap: float
    round: float
    hole: float

    @property
    def length(self) -> float:
        """Length of the hanger's blank."""
        return 2.0 * (self.foot + self.belt) + self.fold

    @property
    def slot(self) -> tuple[float, float]:
        """Inner and outer side of a strap slot, from the hanger's middle."""
        outer = self.half - self.margin
        return outer - SLOT, outer

    @property
    def strap_length(self) -> float:
        """Length of the strap."""
        return self.round + LAP
