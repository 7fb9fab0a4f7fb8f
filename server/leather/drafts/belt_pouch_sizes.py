"""The belt pouch's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.leather import norms
from server.leather.drafts.pocket import Pocket


@dataclass(frozen=True)
class Sizes(Pocket):
    """The draft's own figures, mm, all on the right half; y is 0 at the mouth edge and grows down.

    Attributes:
        top: mouth edge to the first holes: level with the top of the slot rings.
        gap: slot to stitch line, and slot to wing edge.
        slot_width: mm.
        slot_height: as tall as the belt is wide.
        pitch: wished for, between stitch holes.
        back_margin: how much the back is cut over-size.
        blank: half width and height of a moulded front's blank; zero for a flat front.
        thing: half width of the thing, and how much of it stands in the pocket.

    """

    top: float
    gap: float
    slot_width: float
    slot_height: float
    pitch: float
    back_margin: float
    blank: tuple[float, float]
    thing: tuple[float, float]

    @property
    def moulded(self) -> bool:
        """Whether the front is moulded: then the back is the piece that carries the lines, and the front is a blank."""
        return self.blank[0] > 0.0

    @property
    def wing(self) -> float:
        """Centre line to the wing's edge."""
        return self.slot_out + self.gap

    @property
    def slot_in(self) -> float:
        """Centre line to the slot's near side."""
        return self.half_seam + self.gap

    @property
    def slot_out(self) -> float:
        """Centre line to the slot's far side."""
        return self.slot_in + self.slot_width

    @property
    def slot_bottom(self) -> float:
        """Mouth edge to the slot's lower end; its upper end is `gap` below the edge."""
        return self.gap + self.slot_height

    @property
    def slot_radius(self) -> float:
        """Radius of the slot's corners; the flat that is left at each end lets the belt pass at its full width."""
        return self.slot_width * norms.SLOT_END_SHARE.value

    @property
    def reach(self) -> float:
        """Radius of a wing corner that keeps `gap` from the slot's corner all round."""
        return self.gap + self.slot_radius
