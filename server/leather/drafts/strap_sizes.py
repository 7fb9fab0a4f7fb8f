"""The strap's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.leather.drafts.tips import tip_end


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures, mm; y is 0 at the end that turns back and grows to the tip.

    Attributes:
        half: centre line to the side.
        turn: end to the fold at the buckle's bar.
        slot: length of the pin slot.
        pin: width of the pin slot.
        fixings: from the fold to each fixing.
        holes: where the belt holes are.
        hole: their diameter.
        blank: whole length.
        tip: kind of tip.
        margin: end of a row of stitches to the side.
        keeper: half width and length of the keeper.

    """

    half: float
    turn: float
    slot: float
    pin: float
    fixings: tuple[float, float]
    holes: tuple[float, ...]
    hole: float
    blank: float
    tip: str
    margin: float
    keeper: tuple[float, float]

    @property
    def tip_start(self) -> float:
        """Where the tip begins."""
        return self.blank - tip_end(self.tip, self.half, 0.0)
