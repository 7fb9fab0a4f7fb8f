"""The plan of blows with the pricking irons: which row, where it starts, which tines fall into holes already made.

A row of k tines is rigid. It may be used on k neighbouring holes when every tine stays within the tolerance of its hole
and of the line (its sagitta). Trade rule: a row is registered by at least one tine in a hole already made, except for the
very first blow; a single tine needs none. The plan with the fewest blows, and among those the fewest tines struck again,
is found by dynamic programming over "holes 0 to e - 1 are made".

Why that is the fewest in any order of work: sort the blows of any plan by place. Each group of wide rows that hang together
must be registered once: the first group by being struck first, every other by a single tine inside it. So a plan's
blows are its rows, its singles, and those registering singles; and that is what the dynamic programme adds up, with one
unregistered row free of charge. Working outwards from that row makes the plan in a lawful order.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.leather.norms import TINE_TOLERANCE, TINES
from server.leather.stitch import StitchLine

_BLOW = 1 << 20
"""Cost of a blow; that of a tine is 1, so blows count first."""
_NEVER = 1 << 60


@dataclass(frozen=True)
class Strike:
    """One blow.

    Attributes:
        first: number of the hole the row's first tine stands in, counted from 0.
        tines: of the row.
        holes: the hole of each tine; a ring goes on with hole 0 after its last.
        made: those of them that this blow makes; the tines of the others fall into holes already made.

    """

    first: int
    tines: int
    holes: tuple[int, ...] = ()
    made: tuple[int, ...] = ()

    @property
    def kept(self) -> tuple[int, ...]:
        """The holes that were there before this blow."""
        return tuple(hole for hole in self.holes if hole not in self.made)

    @property
    def words(self) -> str:
        """The blow in a sentence, holes counted from 1 as a maker counts: "6 tines, first tine in hole 12; makes 13 to 17."."""
        tines = "1 tine" if self.tines == 1 else f"{self.tines} tines"
        if not self.kept:
            return f"{tines}; makes {numbers(self.made)}."
        holes = "hole" if len(self.kept) == 1 else "holes"
        return f"{tines}, {_standing(self)} in {holes} {numbers(self.kept)}; makes {numbers(self.made)}."


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


def plan(
    line: StitchLine,
    irons: Sequence[int] = TINES,
    tolerance: float = TINE_TOLERANCE.value,
    row_pitch: float | None = None,
) -> tuple[Strike, ...]:
    """Return the fewest blows that make every hole of a line, in an order in which they can be struck.

    Args:
        line: its holes.
        irons: tines of the rows at hand; a single tine (or an awl) is always at hand.
        tolerance: mm each tine may stand from its hole, and the line from the row.
        row_pitch: mm between the tines; None for rows as wide as the eased pitch.

    The blows start at the row that needs no register, go on to the end, and then from there back to the start.

    """
    rows = sorted({1, *(k for k in irons if k > 1)}, reverse=True)
    count = len(line.holes)
    middles = _middles(line)
    fits = {k: _row_fits(line, middles, k, tolerance, row_pitch) for k in rows}
    fewest = _fewest_ring if line.path.closed else _fewest_open
    return _told(*fewest(count, rows, fits), count)


def irons_used(strikes: Sequence[Strike]) -> tuple[tuple[int, int], ...]:
    """Return (tines, blows) for each iron used, the widest first."""
    return tuple(sorted(Counter(strike.tines for strike in strikes).items(), reverse=True))


def row_fits(line: StitchLine, tines: int, tolerance: float, row_pitch: float | None = None) -> NDArray[np.bool_]:
    """Return, for each hole a row could start at, whether the rigid row stays within the tolerance there.

    The row lies along the chord from its first hole to its last, its middle over the chord's middle, as it is set by the
    light. Checked are each tine's distance from its hole, and how far the line leaves the row: at the holes and half-way
    between them.

    Returns:
        (n - tines + 1,) for an open line, (n,) for a ring (none when the row is wider than the ring).

    """
    return _row_fits(line, _middles(line), tines, tolerance, row_pitch)


def _row_fits(
    line: StitchLine, middles: NDArray[np.float64], tines: int, tolerance: float, row_pitch: float | None
) -> NDArray[np.bool_]:
    points, count = line.points, len(line.holes)
    closed = line.path.closed
    starts = (count if count >= tines else 0) if closed else max(0, count - tines + 1)
    if tines == 1 or starts == 0:
        return np.ones(starts, dtype=np.bool_)
    index = (np.arange(starts)[:, None] + np.arange(tines)[None, :]) % count
    holes = points[index]
    start, span = holes[:, 0], holes[:, -1] - holes[:, 0]
    whole = np.hypot(*span.T)
    unit = span / np.where(whole == 0.0, 1.0, whole)[:, None]
    step = np.hypot(*(holes[:, 1] - start).T) if row_pitch is None else np.full(starts, row_pitch)
    spare = (whole - step * (tines - 1)) / 2.0
    tips = start[:, None] + unit[:, None] * (spare[:, None] + step[:, None] * np.arange(tines))[..., None]
    far = np.hypot(*(tips - holes).transpose(2, 0, 1)).max(axis=1)
    seen = np.concatenate((holes, middles[index[:, :-1]]), axis=1) - start[:, None]
    across = np.abs(unit[:, None, 0] * seen[..., 1] - unit[:, None, 1] * seen[..., 0]).max(axis=1)
    return np.asarray((np.maximum(far, across) <= tolerance) & (whole > 0.0), dtype=np.bool_)


def _middles(line: StitchLine) -> NDArray[np.float64]:
    """The line's own points half-way from each hole to the next."""
    path, places = line.path, list(line.positions)
    after = [*places[1:], places[0] + path.length] if path.closed else places[1:]
    halves = ((a + b) / 2.0 for a, b in zip(places, after, strict=False))
    points = [path.point_at(s if s <= path.length else s - path.length) for s in halves]
    return np.array(points, dtype=np.float64).reshape(-1, 2)


Span = tuple[int, int]
"""First hole and tines of a blow."""
Step = tuple[int, int, int, int]
"""First hole and tines of the blow that led to a state, and the state it came from: unregistered row used, holes made."""


def _fewest_open(count: int, rows: Sequence[int], fits: dict[int, NDArray[np.bool_]]) -> tuple[list[Span], int]:
    at = {k: fits[k].tolist() for k in rows}
    costs, steps = _table(count, rows, at, 0)
    return _trace(steps, count, 0 if costs[0][count] <= costs[1][count] else 1)


def _fewest_ring(count: int, rows: Sequence[int], fits: dict[int, NDArray[np.bool_]]) -> tuple[list[Span], int]:
    """Some blow makes any one hole: try each that can, and go round from its end to its start again."""
    at = {k: fits[k].tolist() * 3 if len(fits[k]) else [] for k in rows}

    def blows(hole: int) -> list[Span]:
        starts = ((first, k) for k in rows if at[k] for first in range(hole, hole - k, -1))
        return [(first, k) for first, k in starts if at[k][first % count]]

    hole = min(range(count), key=lambda hole: len(blows(hole)))
    _, spans, begin = min((_round(count, rows, at, blow) for blow in blows(hole)), key=lambda found: found[0])
    return spans, begin


def _round(count: int, rows: Sequence[int], at: dict[int, list[bool]], blow: Span) -> tuple[int, list[Span], int]:
    """The least cost of a ring that starts with this blow, its blows, and which of them needs no register."""
    first, tines = blow
    shifted = {k: flags[first % count :] for k, flags in at.items()}
    most = count + max(rows)
    costs, steps = _table(most, rows, shifted, tines)
    # a wide first blow that nothing overlaps from behind is itself the one that needs no register
    ends = [
        (costs[used][end], end, used)
        for end in range(max(count, tines), most)
        for used in (0, 1)
        if not (tines > 1 and end == count and used == 1)
    ]
    cost, end, used = min(ends)
    spans, begin = _trace(steps, end, used, stop=tines)
    around = [(first + start, k) for start, k in [(0, tines), *spans]]
    return cost + _BLOW + tines, around, begin + 1 if used else 0


def _table(
    end: int, rows: Sequence[int], at: dict[int, list[bool]], made: int
) -> tuple[list[list[int]], list[list[Step]]]:
    """Fill costs[used][e], the least cost of having holes 0 to e - 1 made, e up to `end`, from `made` of them.

    `used` says whether the one row that needs no register has been struck; steps[used][e] is the blow that led there.
    """
    costs = [[_NEVER] * (end + 1) for _ in range(2)]
    steps: list[list[Step]] = [[(0, 0, 0, 0)] * (end + 1) for _ in range(2)]
    costs[0][made] = 0
    for e in range(made + 1, end + 1):
        for k in rows:
            if e >= k and e - k < len(at[k]) and at[k][e - k]:
                _relax(costs, steps, e, k, made)
    return costs, steps


def _relax(costs: list[list[int]], steps: list[list[Step]], e: int, k: int, made: int) -> None:
    """Try a blow of k tines that ends in hole e - 1, registered or as the one that need not be."""
    first = e - k
    low = max(first if k == 1 else first + 1, made)
    for used in (0, 1):
        window = costs[used][low:e]
        cost = min(window, default=_NEVER) + _BLOW + k
        if cost < costs[used][e]:
            costs[used][e] = cost
            steps[used][e] = (first, k, used, low + window.index(cost - _BLOW - k))
    if k > 1 and first >= made and costs[0][first] + _BLOW + k < costs[1][e]:
        costs[1][e], steps[1][e] = costs[0][first] + _BLOW + k, (first, k, 0, first)


def _trace(steps: list[list[Step]], end: int, used: int, stop: int = 0) -> tuple[list[Span], int]:
    """The blows that lead to a state, by place, and which of them is the one that needs no register (0 without one)."""
    spans: list[Span] = []
    left = 0
    while end > stop:
        first, k, before_used, before = steps[used][end]
        spans.append((first, k))
        if before_used != used:
            left = len(spans)
        end, used = before, before_used
    return spans[::-1], len(spans) - left if left else 0


def _told(spans: Sequence[Span], begin: int, count: int) -> tuple[Strike, ...]:
    """Put the blows in an order in which each is registered, and say which holes each makes."""
    outwards = [*spans[begin:], *reversed(spans[:begin])]
    order = outwards if _lawful(outwards, count) else [*spans[begin:], *spans[:begin]]
    made: set[int] = set()
    strikes = []
    for first, k in order:
        holes = tuple((first + i) % count for i in range(k))
        strikes.append(Strike(holes[0], k, holes, tuple(hole for hole in holes if hole not in made)))
        made.update(holes)
    return tuple(strikes)


def _lawful(order: Sequence[Span], count: int) -> bool:
    """Whether every row but the first has a tine in a hole already made."""
    made: set[int] = set()
    for first, k in order:
        holes = {(first + i) % count for i in range(k)}
        if made and k > 1 and not holes & made:
            return False
        made |= holes
    return True


def _standing(strike: Strike) -> str:
    """Which tines stand in holes already made."""
    stands = [i for i, hole in enumerate(strike.holes) if hole not in strike.made]
    if stands == list(range(len(stands))):
        return "first tine" if len(stands) == 1 else f"first {len(stands)} tines"
    if stands == list(range(strike.tines - len(stands), strike.tines)):
        return "last tine" if len(stands) == 1 else f"last {len(stands)} tines"
    return f"{len(stands)} tines"


def numbers(holes: Sequence[int]) -> str:
    """Return hole numbers, counted from 1, in runs: "12", "13 to 17", "9 down to 5", "60 and 1 to 4" where a ring goes on."""
    runs: list[list[int]] = []
    for hole in holes:
        way = runs[-1][1] - runs[-1][0] if runs and len(runs[-1]) > 1 else hole - runs[-1][-1] if runs else 0
        if runs and abs(way) == 1 and hole == runs[-1][-1] + way:
            runs[-1].append(hole)
        else:
            runs.append([hole])
    told = [_run(run) for run in runs]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"


def _run(run: Sequence[int]) -> str:
    if len(run) == 1:
        return f"{run[0] + 1}"
    return f"{run[0] + 1} {'to' if run[-1] > run[0] else 'down to'} {run[-1] + 1}"
