"""One piece of leather: its outline, slots, stitch lines, holes, marks and labels, in the piece's own millimetres.

The origin is on the centre line at the front's mouth edge; x is right, y grows down to the bottom.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from server.geometry.path import Path

Role = Literal["cut", "slot", "stitch", "hole", "fold", "mark"]
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True)
class Drawn:
    """A line of the pattern.

    Attributes:
        role: what is done there; never "hole".
        path: mm, piece-local.
        name: its own name within the piece, such as "outline" or "pocket".
        angle: degrees, for a mark that points somewhere; else None.

    """

    role: Role
    path: Path
    name: str
    angle: float | None = None


@dataclass(frozen=True)
class Hole:
    """A stitch hole.

    Attributes:
        x: mm.
        y: mm.
        angle: the direction of its line there, degrees clockwise from x.
        seam: whose it is.
        slant: 1 where the chisel's slit leans against the line as the chisel makes it, -1 where it must lean the other
            way: on a ply that is pricked from its own outside and meets this one face to back.

    """

    x: float
    y: float
    angle: float
    seam: str
    slant: int = 1


@dataclass(frozen=True)
class Label:
    """Words on a piece, centred on (x, y) mm, `size` mm high."""

    text: str
    x: float
    y: float
    size: float
    name: str = "label"


@dataclass(frozen=True)
class Piece:
    """A piece with everything drawn on it.

    Attributes:
        name: identifier, such as "front".
        title: as a person reads it.
        drawn: its lines in the order they are drawn; the cut outline is the first.
        holes: every hole, seam by seam, each seam in the order it is stepped off.
        labels: words.

    """

    name: str
    title: str
    drawn: tuple[Drawn, ...]
    holes: tuple[Hole, ...] = ()
    labels: tuple[Label, ...] = ()

    @property
    def outline(self) -> Path:
        """Return the cut outline."""
        return self.drawn[0].path

    def line(self, name: str) -> Drawn:
        """Return the line of that name; KeyError when there is none."""
        for drawn in self.drawn:
            if drawn.name == name:
                return drawn
        raise KeyError(name)

    def holes_of(self, seam: str) -> tuple[Hole, ...]:
        """Return the holes of one seam, in order."""
        return tuple(hole for hole in self.holes if hole.seam == seam)

    def hole_points(self, seam: str) -> NDArray[np.float64]:
        """Return the places of one seam's holes, (n, 2) mm, in order."""
        return np.array([(hole.x, hole.y) for hole in self.holes_of(seam)], dtype=np.float64).reshape(-1, 2)

    def box(self) -> tuple[float, float, float, float]:
        """Return left, top, right, bottom of everything drawn, mm."""
        return self._box

    @cached_property
    def _box(self) -> tuple[float, float, float, float]:
        points = np.concatenate([drawn.path.flatten() for drawn in self.drawn])
        left, top = points.min(axis=0).tolist()
        right, bottom = points.max(axis=0).tolist()
        return left, top, right, bottom
