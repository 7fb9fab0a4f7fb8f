"""How many blows of the pricking irons a stitch line takes, and with which iron."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from calibration.refusal import Refusal
from server.geometry.path import Point
from server.leather.norms import TINE_TOLERANCE, TINES
from server.leather.stitch import StitchLine


@dataclass(frozen=True)
class Strike:
    """One blow: an iron of `tines` tines whose first tine stands in hole number `first` (counted from 0)."""

    first: int
    tines: int


def straight_strikes(holes: int, tines: int) -> int:
    """Return the blows for N holes in a straight row with a k-tine iron set one tine back in the last hole.

    1 + ceil((N - k) / (k - 1)); a single tine makes one hole a blow. Derived.

    Raises:
        Refusal: fewer holes than tines, or no tines.

    """
    if not 1 <= tines <= holes:
        raise Refusal(f"An iron of {tines} tines does not go into a row of {holes} holes: take a narrower one.")
    return holes if tines == 1 else 1 + math.ceil((holes - tines) / (tines - 1))


def sagitta(radius: float, chord: float) -> float:
    """Return how far an arc stands off its chord, mm: r - sqrt(r^2 - (c / 2)^2).

    Raises:
        Refusal: a chord longer than the diameter.

    """
    if not 0.0 <= chord <= 2.0 * radius:
        raise Refusal(f"A chord of {chord:.6g} mm does not fit a radius of {radius:.6g} mm.")
    return radius - math.sqrt(radius * radius - chord * chord / 4.0)


def plan(line: StitchLine, irons: Sequence[int] = TINES, tolerance: float = TINE_TOLERANCE.value) -> tuple[Strike, ...]:
    """Return the blows that make every hole of a line, the widest iron first wherever its tines stay near the line.

    A row of tines is rigid. It is set with its first tine in one hole and turned towards the hole its last tine is for;
    it may be used where every tine stays within `tolerance` mm of its hole, and the line (its sagitta) of the row.
    The first tine stands in a hole already made; at an end it stands as many holes back as it must.
    """
    row = _Row(line)
    strikes: list[Strike] = []
    made = 0  # holes made so far
    while made < row.needed:
        best = max((row.best(made, tines, tolerance) for tines in irons), key=lambda s: (s.first + s.tines, s.tines))
        if best.first + best.tines <= made:
            best = Strike(made, 1)
        strikes.append(best)
        made = best.first + best.tines
    return tuple(strikes)


def irons_used(strikes: Sequence[Strike]) -> tuple[tuple[int, int], ...]:
    """Return (tines, blows) for each iron used, the widest first."""
    return tuple(sorted(Counter(strike.tines for strike in strikes).items(), reverse=True))


class _Row:
    """The holes of a line in a row; a closed line ends in its first hole again."""

    def __init__(self, line: StitchLine) -> None:
        path, ends = line.path, [*line.positions]
        self.points: list[Point] = [(hole.x, hole.y) for hole in line.holes]
        if path.closed:
            self.points.append(self.points[0])
            ends.append(path.length)
        self.count = len(self.points)
        self.needed = len(line.holes)
        self.between = [path.point_at((s + t) / 2.0) for s, t in itertools.pairwise(ends)]

    def best(self, made: int, tines: int, tolerance: float) -> Strike:
        """Return where an iron makes the most new holes, or one that makes none when it stays near the line nowhere."""
        last = min(max(made - 1, 0) + tines, self.count)
        first = last - tines
        if first < 0 or self.off(first, tines) > tolerance:
            return Strike(0, 0)
        return Strike(first, tines)

    def off(self, first: int, tines: int) -> float:
        """Return how far, mm, a rigid row leaves the line between the holes it is for."""
        if tines == 1:
            return 0.0
        last = first + tines - 1
        (ax, ay), (bx, by) = self.points[first], self.points[last]
        whole = math.hypot(bx - ax, by - ay)
        pitch = math.dist(self.points[first], self.points[first + 1])
        ux, uy = (bx - ax) / whole, (by - ay) / whole
        tips = [
            math.hypot(ax + ux * pitch * i - x, ay + uy * pitch * i - y)
            for i, (x, y) in enumerate(self.points[first : last + 1])
        ]
        line = (*self.points[first : last + 1], *self.between[first:last])
        return max(max(tips), max(abs(ux * (y - ay) - uy * (x - ax)) for x, y in line))
