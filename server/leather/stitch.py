"""A stitch line with its holes, drafted from half of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from server.geometry.build import unfold
from server.geometry.path import Path
from server.geometry.placement import wrap_degrees
from server.geometry.spacing import step_off
from server.leather.piece import Hole


@dataclass(frozen=True)
class StitchLine:
    """A line of stitches.

    Attributes:
        path: mm.
        holes: in order; each carries the direction of the line.
        positions: mm along the path, one for each hole.
        chords: the eased pitch of each span between fixed points, mm.

    """

    path: Path
    holes: tuple[Hole, ...]
    positions: tuple[float, ...]
    chords: tuple[float, ...]

    @property
    def stitches(self) -> int:
        """How many stitches the holes make."""
        return len(self.holes) - (0 if self.path.closed else 1)

    @property
    def pitch(self) -> float:
        """Mean chord between neighbouring holes, mm; all chords of one span are equal."""
        points = np.array([(hole.x, hole.y) for hole in self.holes])
        ring = np.concatenate((points, points[:1])) if self.path.closed else points
        return float(np.hypot(*np.diff(ring, axis=0).T).mean())

    def mirrored(self, name: str) -> StitchLine:
        """Return the line on the other side of the centre line, its numbers the same but for the sign of x."""
        holes = tuple(Hole(-h.x, h.y, wrap_degrees(180.0 - h.angle), name) for h in self.holes)
        return StitchLine(self.path.mirrored(), holes, self.positions, self.chords)


def stitch_line(path: Path, pitch: float, name: str) -> StitchLine:
    """Step holes off along a path, open or closed, at equal chords; a hole lies at each end and in each sharp corner."""
    spacing = step_off(path, pitch)
    holes = tuple(
        Hole(float(x), float(y), float(angle), name)
        for (x, y), angle in zip(spacing.points, spacing.angles, strict=True)
    )
    return StitchLine(path, holes, tuple(spacing.positions.tolist()), spacing.chords)


def symmetric_line(half: Path, pitch: float, name: str) -> StitchLine:
    """Step holes off from the centre line outwards along half a line, and mirror them.

    Args:
        half: open path that starts on the centre line x = 0.
        pitch: mm, eased so that a whole number fits the half.
        name: of the seam.

    The first hole of the half lies on the centre line; the whole runs from the left end to the right end.

    """
    right = stitch_line(half, pitch, name)
    left = tuple(Hole(-h.x, h.y, wrap_degrees(-h.angle), name) for h in reversed(right.holes[1:]))
    centre = Hole(0.0, right.holes[0].y, right.holes[0].angle, name)
    length = half.length
    positions = [length - s for s in reversed(right.positions[1:])] + [length + s for s in right.positions]
    chords = tuple(reversed(right.chords)) + right.chords
    return StitchLine(unfold(half), (*left, centre, *right.holes[1:]), tuple(positions), chords)
