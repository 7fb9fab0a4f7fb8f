"""The round case's own figures: what its draft is drawn from and its words speak of. Millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Can:
    """A tube and the disc that closes it, mm.

    Attributes:
        name: "tube" or "cap".
        disc: name of its disc.
        inside: inside diameter.
        height: inside height, the tube's own height.
        leather: thickness of a ply.
        neutral: K.
        margin: hole to edge, on tube and disc.
        pitch: wished for.

    """

    name: str
    disc: str
    inside: float
    height: float
    leather: float
    neutral: float
    margin: float
    pitch: float

    @property
    def around(self) -> float:
        """Width of the tube's blank, its edges butted: the way round at the neutral axis."""
        return math.pi * (self.inside + 2.0 * self.neutral * self.leather)

    @property
    def outside(self) -> float:
        """Outside diameter, and diameter of the disc."""
        return self.inside + 2.0 * self.leather

    @property
    def holes(self) -> int:
        """Holes round the disc: as many whole pitches as the tube has."""
        return math.floor(self.around / self.pitch)

    @property
    def spacing(self) -> float:
        """Pitch of the tube's row."""
        return self.around / self.holes

    @property
    def ring(self) -> float:
        """Radius of the disc's ring of holes."""
        return self.outside / 2.0 - self.margin
