"""The flat sleeve's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

from server.leather.drafts.pocket import Pocket


@dataclass(frozen=True)
class Sizes(Pocket):
    """The draft's own figures on the right half, mm; y is 0 at the mouth and grows down.

    Attributes:
        notch: half the width of the thumb notch; 0 for none.
        notch_depth: mm.
        back_margin: how much the back is cut over-size at the sides and the bottom.

    """

    notch: float
    notch_depth: float
    back_margin: float
