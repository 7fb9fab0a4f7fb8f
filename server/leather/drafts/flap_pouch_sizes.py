"""The pouch with a flap's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.leather.drafts.flap import Flap
from server.leather.drafts.pocket import Pocket


@dataclass(frozen=True)
class Sizes(Pocket):
    """The draft's own figures on the right half, mm; y is 0 at the mouth, grows down and is negative on the flap.

    Attributes:
        flap: the flap.
        closure: mouth to the middle of the closure, on the front.
        hole: diameter of the hole for a snap or stud.
        bridge: half height of a tongue's bridge.
        row: centre line to a bridge's row of stitches on the front; the bridge's own is one ply further out.
        blank: half width and height of a moulded front's blank; zero for a flat one.
        thing: half width of the thing, and how much of it stands in the pocket.

    """

    flap: Flap
    closure: float
    hole: float
    bridge: float
    row: float
    blank: tuple[float, float]
    thing: tuple[float, float]

    @property
    def moulded(self) -> bool:
        """Whether the front is moulded."""
        return self.blank[0] > 0.0
