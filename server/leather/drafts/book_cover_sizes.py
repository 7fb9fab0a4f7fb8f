"""The book cover's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

from dataclasses import dataclass

LOOP_IN = 8.0
"""mm from the fold to the row that holds the pen loop; common practice, no source."""


@dataclass(frozen=True)
class Sizes:
    """The draft's own figures on the right half, mm; x is 0 on the spine's middle, y is 0 at the upper edge.

    Attributes:
        slip: whether it is slipped on.
        spine: half the spine.
        fold: middle of the spine to where the leather turns in: the first fold line, or a board's outer edge.
        turn: leather the fold takes up; 0 for a case.
        half: middle of the spine to the edge.
        height: upper edge to lower edge.
        margin: stitch line to edge.
        gap: spine to board, for a case.
        turn_in: fold to edge.
        mitre: leather kept beyond a board's corner, for a case.
        loop: length and half height of a pen loop's blank; zero for none.
        tab: end of a pen loop's blank to its row.

    """

    slip: bool
    spine: float
    fold: float
    turn: float
    half: float
    height: float
    margin: float
    gap: float
    turn_in: float
    mitre: float
    loop: tuple[float, float]
    tab: float

    @property
    def row(self) -> float:
        """Middle of the spine to the row that holds the pen loop, on the turn-in."""
        return self.fold + self.turn + LOOP_IN
