"""A stitch line with its holes: along any path, from half of it, round a ring, and on the ply behind."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.spatial import cKDTree

from calibration.refusal import Refusal
from server.geometry.build import unfold
from server.geometry.cut import started_at
from server.geometry.path import Path
from server.geometry.placement import Placement, wrap_degrees
from server.geometry.spacing import (
    EASED_SHARE,
    LEAST_SHARE,
    SHARP_DEGREES,
    Ease,
    Spacing,
    bounds_of,
    equal_chords,
    last_eased,
    spacing_at,
    step_between,
    step_off,
)
from server.leather.piece import Hole

Centre = Literal["hole", "stitch", "nearest"]


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
    def points(self) -> NDArray[np.float64]:
        """The places of the holes, (n, 2) mm."""
        return np.array([(hole.x, hole.y) for hole in self.holes], dtype=np.float64).reshape(-1, 2)

    @property
    def steps(self) -> NDArray[np.float64]:
        """The chord of each stitch, (stitches,) mm."""
        ring = np.concatenate((self.points, self.points[:1])) if self.path.closed else self.points
        return np.asarray(np.hypot(*np.diff(ring, axis=0).T), dtype=np.float64)

    @property
    def pitch(self) -> float:
        """Mean chord between neighbouring holes, mm; all chords of one span are equal."""
        return float(self.steps.mean())

    def mirrored(self, name: str) -> StitchLine:
        """Return the line on the other side of the centre line, its numbers the same but for the sign of x.

        Both are pricked from the same face by the same chisel, so the slant is not mirrored.
        """
        holes = tuple(Hole(-h.x, h.y, wrap_degrees(180.0 - h.angle), name, h.slant) for h in self.holes)
        return StitchLine(self.path.mirrored(), holes, self.positions, self.chords)

    def behind(self, name: str) -> StitchLine:
        """Return the line for the back ply, pricked from its own outside: mirrored, and its slant mirrored with it.

        Laid face to back the slits of both plies are one hole.
        """
        return self.carried(Placement(mirror=True), name)

    def carried(self, placement: Placement, name: str) -> StitchLine:
        """Return the line on another ply that lies over or under this one.

        Args:
            placement: from this ply's mm to the other's; a mirror turns the ply over, and then the slant turns too.
            name: of the seam on the other ply.

        """
        turn = -1 if placement.mirror else 1
        places = placement.apply(self.points).tolist()
        holes = tuple(
            Hole(x, y, placement.angle(h.angle), name, h.slant * turn)
            for (x, y), h in zip(places, self.holes, strict=True)
        )
        return StitchLine(self.path.transformed(placement), holes, self.positions, self.chords)


def stitch_line(
    path: Path, pitch: float, name: str, *, fixed: Sequence[float] = (), ease: Ease = "whole"
) -> StitchLine:
    """Step holes off along a path, open or closed, at equal chords; a hole lies at each end and in each sharp corner.

    Args:
        path: mm; a ring whose start is crowded by one of its sharp corners starts in that corner instead.
        pitch: mm.
        name: of the seam.
        fixed: mm along the path of further places that get a hole (where a ply ends, where a branch meets).
        ease: "whole" eases all chords between two fixed points alike; "last" keeps the pitch, as a rigid row of tines
            does, and eases the last few before each fixed point.

    """
    if path.closed and not fixed:
        path = _well_started(path, pitch)
    return of_spacing(path, step_off(path, pitch, fixed=fixed, ease=ease), name)


def of_spacing(path: Path, spacing: Spacing, name: str) -> StitchLine:
    """Return the stitch line of a path that has been stepped off."""
    holes = tuple(
        Hole(x, y, angle, name) for (x, y), angle in zip(spacing.points.tolist(), spacing.angles.tolist(), strict=True)
    )
    return StitchLine(path, holes, tuple(spacing.positions.tolist()), spacing.chords)


def symmetric_line(half: Path, pitch: float, name: str, *, centre: Centre = "hole", ease: Ease = "whole") -> StitchLine:
    """Step holes off from the centre line outwards along half a line, and mirror them.

    Args:
        half: open path that starts on the centre line x = 0.
        pitch: mm, eased so that a whole number fits the half.
        name: of the seam.
        centre: whether a hole lies on the centre line, a stitch lies astride it, or whichever is eased less.
        ease: as for `stitch_line`; the last few are those at the ends.

    The whole runs from the left end to the right end; its numbers differ in the sign of x only.

    """
    if centre == "hole":
        return _unfolded(half, stitch_line(half, pitch, name, ease=ease))
    astride = _astride(half, pitch, name, ease)
    if centre == "stitch":
        return astride
    on = _unfolded(half, stitch_line(half, pitch, name, ease=ease))
    return min((on, astride), key=lambda line: max(abs(chord / pitch - 1.0) for chord in line.chords))


def nearest_holes(line: StitchLine, others: NDArray[np.float64]) -> float:
    """Return the least distance, mm, from the holes of a line to other places (m, 2); infinite without any."""
    if len(others) == 0:
        return float("inf")
    apart, _ = cKDTree(others).query(line.points)
    return float(np.min(apart))


def crowded(line: StitchLine, pitch: float) -> tuple[int, int, float] | None:
    """Return the two holes of a line that are nearest to each other, and how near (mm), if under 60 % of the pitch."""
    if len(line.holes) < 2:
        return None
    apart, index = cKDTree(line.points).query(line.points, k=2)
    worst = int(np.argmin(apart[:, 1]))
    near = float(apart[worst, 1])
    return (worst, int(index[worst, 1]), near) if near < LEAST_SHARE * pitch - 1e-9 else None


def count_words(title: str, line: StitchLine, pitch: float) -> str:
    """Return the sentence of a seam's count: holes, stitches, pitch, and how far that is from the pitch wished for."""
    got = line.pitch
    off = got - pitch
    how = "exactly as wished" if abs(off) < 5e-4 else f"{abs(off):.3f} mm ({100 * abs(off) / pitch:.1f} %) "
    if abs(off) >= 5e-4:
        how += "over" if off > 0.0 else "under"
        how += f" the {pitch:.4g} mm wished for"
    return f"{title}: {len(line.holes)} holes, {line.stitches} stitches at {got:.3f} mm, {how}."


def _well_started(path: Path, pitch: float) -> Path:
    """A ring that starts beside a sharp corner starts in the corner: both cannot have a hole."""
    least = LEAST_SHARE * pitch
    corners = path.corners(SHARP_DEGREES)
    near = [s for s in corners if min(s, path.length - s) < least]
    return started_at(path, min(near, key=lambda s: min(s, path.length - s))) if near and 0.0 not in near else path


def _unfolded(half: Path, right: StitchLine) -> StitchLine:
    """The whole of a half whose first hole lies on the centre line."""
    first = right.holes[0]
    centre = Hole(0.0, first.y, first.angle, first.seam)
    left = tuple(_opposite(hole) for hole in reversed(right.holes[1:]))
    length = half.length
    positions = [length - s for s in reversed(right.positions[1:])] + [length + s for s in right.positions]
    chords = tuple(reversed(right.chords)) + right.chords
    return StitchLine(unfold(half), (*left, centre, *right.holes[1:]), tuple(positions), chords)


def _astride(half: Path, pitch: float, name: str, ease: Ease) -> StitchLine:
    """The whole of a half line whose middle stitch lies astride the centre line."""
    first, *others = bounds_of(half, pitch)[1:]
    chord, right = _middle_span(half, first, pitch, ease, alone=not others)
    chords = [chord]
    for begin, end in itertools.pairwise((first, *others)):
        count = max(1, round((end - begin) / pitch))
        last = ease == "last"
        eased, stepped = last_eased(half, begin, end, count, pitch) if last else equal_chords(half, begin, end, count)
        right += stepped[1:]
        chords.append(eased)
    line, length = of_spacing(half, spacing_at(half, right), name), half.length
    positions = (*(length - s for s in reversed(right)), *(length + s for s in right))
    left = tuple(_opposite(hole) for hole in reversed(line.holes))
    return StitchLine(unfold(half), (*left, *line.holes), positions, (*reversed(chords[1:]), *chords))


def _middle_span(half: Path, first: float, pitch: float, ease: Ease, *, alone: bool) -> tuple[float, list[float]]:
    """The eased chord of the span astride the centre line, and its holes, mm along the half, the last at its fixed point."""
    begin = _half_chord(half, first, pitch) if ease == "last" else None
    if begin is not None:
        chord, right = last_eased(half, begin, first, max(1, round((first - begin) / pitch)), pitch)
        return chord, list(right)
    whole, length = unfold(half), half.length
    stitches = 2 * max(0, round((2.0 * first / pitch - 1.0) / 2.0)) + 1
    if stitches == 1 and alone and 2.0 * first < LEAST_SHARE * pitch:
        raise Refusal(f"A line of {2 * first:.4g} mm is too short for a pitch of {pitch:.4g} mm.", field="pitch")
    chord, middle = equal_chords(whole, length - first, length + first, stitches)
    return chord, [s - length for s in middle[stitches // 2 + 1 :]]


def _half_chord(half: Path, first: float, pitch: float) -> float | None:
    """Where a stitch of `pitch` mm astride the centre line ends, or None when a fixed point leaves no room for one beside it."""
    if 2.0 * half.point_at(first)[0] <= pitch:
        return None
    begin = float(brentq(lambda s: 2.0 * half.point_at(s)[0] - pitch, 0.0, first, xtol=1e-12))
    return begin if first - begin >= (1.0 - EASED_SHARE) * pitch else None


def _opposite(hole: Hole) -> Hole:
    return Hole(-hole.x, hole.y, wrap_degrees(-hole.angle), hole.seam, hole.slant)


__all__ = [
    "Centre",
    "Ease",
    "StitchLine",
    "count_words",
    "crowded",
    "nearest_holes",
    "of_spacing",
    "step_between",
    "stitch_line",
    "symmetric_line",
]
