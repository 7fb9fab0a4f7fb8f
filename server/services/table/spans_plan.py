"""A piece longer than the light, cut into spans: how many, where they overlap, and where their witness crosses go.

Criterion: the largest error at 95 % anywhere on the piece is the least. As many spans as are needed and
up to two more are tried, with overlaps that are even, or that grow or shrink from joint to joint, and with the piece shifted
straight on or turned end for end at each shift. More spans, or turning, are taken only where that is better by a twentieth:
each is a shift of the leather and so many marks more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal, TypeAlias

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from server.errors import Refusal
from server.geometry.placement import Placement, wrap_degrees
from server.leather.piece import Piece
from server.services.table.alignment_fit import AIM_MM, MARK_MM
from server.services.table.alignment_over import Marks
from server.services.table.spans_error import Carried, Hands, chain
from server.services.table.spans_marks import Ground, marks

Along: TypeAlias = Literal["x", "y"]

HANDS = Hands(MARK_MM, AIM_MM)
EDGE_PX = 14.0
"""So much of the picture's edge is left dark, device px: there the lens is known least, and a cross must stand clear."""
LEAST_OVERLAP = 45.0
"""Two spans overlap by this at least, mm, or the crosses of their joint lie too close together to hold the turn."""
MOST_OVERLAP = 0.7
"""A shift gains at least the rest of a span."""
MORE_SPANS = 2
BETTER = 0.95
"""A plan with a span more must bring the error below this share."""
GROWTH = (0.6, 1.0, 1.6)
"""How the overlap changes from joint to joint."""
STEP_MM = 2.0
MARKS_EACH = 4
"""Crosses a joint has: two hold the turn, four hold it better and show which one was missed."""
MOST_SPANS = 40


@dataclass(frozen=True)
class Room:
    """Where the spans of a piece lie under the light.

    Args:
        along: the piece's own long axis.
        start: where the piece begins along it, mm.
        length: how long the piece is, mm.
        across: its middle across, mm.
        usable: how much of it the light reaches at once, mm.
        middle: table place of the middle of that, mm.
        turn: of the piece, degrees.
        mirror: whether it is laid turned over.

    """

    along: Along
    start: float
    length: float
    across: float
    usable: float
    middle: tuple[float, float]
    turn: float
    mirror: bool

    def lies(self, begin: float, end: float, *, about: bool = False) -> Placement:
        """Return where the piece lies so that its stretch from ``begin`` to ``end`` mm is in the middle of the room.

        ``about``: turned end for end.
        """
        half, turn = (begin + end) / 2.0, wrap_degrees(self.turn + (180.0 if about else 0.0))
        centre = [half, self.across] if self.along == "x" else [self.across, half]
        turned = Placement(turn_degrees=turn, mirror=self.mirror).apply([centre])[0]
        return Placement(self.middle[0] - float(turned[0]), self.middle[1] - float(turned[1]), turn, self.mirror)


@dataclass(frozen=True)
class Plan:
    """Spans of a piece.

    Args:
        room: where they lie under the light.
        stretches: (begin, end) mm along the piece, of each span.
        joints: the witness crosses between one span and the next.
        carried: what each span carries from those before.
        outline: (n, 2) mm, places of the piece's outline.
        about: whether the piece is turned end for end at each shift. Then both spans of a joint have it at the same end of
            the picture, and what the picture is bent there falls out.

    """

    room: Room
    stretches: tuple[tuple[float, float], ...]
    joints: tuple[Marks, ...]
    carried: tuple[Carried, ...]
    outline: Array
    about: bool = False

    @cached_property
    def errors(self) -> tuple[float, ...]:
        """Return the largest error at 95 % in each span, mm."""
        column = 0 if self.room.along == "x" else 1
        found = []
        for (begin, end), carried in zip(self.stretches, self.carried, strict=True):
            on = self.outline[(self.outline[:, column] >= begin - 1e-6) & (self.outline[:, column] <= end + 1e-6)]
            found.append(float(carried.error95(on).max()) if len(on) else 0.0)
        return tuple(found)

    @property
    def far_end(self) -> Array:
        """Return the middle (2,) of the piece's far end, mm."""
        end = self.room.start + self.room.length
        return np.array([end, self.room.across] if self.room.along == "x" else [self.room.across, end])

    @property
    def far_error(self) -> float:
        """Return the error at 95 % at the far end, mm."""
        return float(self.carried[-1].error95(self.far_end[None])[0])

    @property
    def far_parts(self) -> tuple[float, float]:
        """Return the error at 95 % at the far end lengthwise and sideways, mm, each by itself (1.96 standard errors)."""
        x, y = (1.96 * np.sqrt(np.diagonal(self.carried[-1].covariance(self.far_end[None])[0]))).tolist()
        return (x, y) if self.room.along == "x" else (y, x)


def plan(bench: Bench, height: float, piece: Piece, *, mirror: bool = False, ground: Ground = "waste") -> Plan:
    """Return the spans of a piece; one alone when the light reaches all of it.

    Args:
        bench: a calibrated bench.
        height: of the lit surface, mm.
        piece: the piece.
        mirror: whether it is laid turned over.
        ground: whether crosses go on the waste beside the piece, or on the piece itself.

    Raises:
        Refusal: the piece is wider than the light, or no place for the crosses is found.

    """
    room = _room(bench, height, piece, mirror=mirror)
    outline = _outline(piece)
    if room.length <= room.usable:
        end = room.start + room.length
        lies = [room.lies(room.start, end)]
        return Plan(room, ((room.start, end),), (), tuple(chain(bench, height, lies, [], HANDS)), outline)
    given = Given(bench, height, piece, room, outline)
    found = [one for cut in _cuts(room) for one in _drawn(given, cut, ground)]
    if not found:
        where = "on the waste beside it" if ground == "waste" else "on the piece itself"
        raise Refusal(f"{piece.title} has no free place for witness crosses {where}: choose the other.", field="marks")
    return _best(found)


def reaches(bench: Bench, height: float, piece: Piece) -> bool:
    """Tell whether the light reaches all of a piece at once, its long side along the table's x or y."""
    try:
        room = _room(bench, height, piece, mirror=False)
    except Refusal:
        return False
    return room.length <= room.usable


@dataclass(frozen=True)
class Given:
    """What every plan of a piece shares."""

    bench: Bench
    height: float
    piece: Piece
    room: Room
    outline: Array


def _best(found: Sequence[Plan]) -> Plan:
    """Return the plan whose worst error is least; more spans, or turning about, only where they are clearly better."""
    best = None
    for effort in sorted({_effort(one) for one in found}):
        least = min((one for one in found if _effort(one) == effort), key=lambda one: max(one.errors))
        if best is None or max(least.errors) < BETTER * max(best.errors):
            best = least
    return best or found[0]


def _effort(one: Plan) -> tuple[int, bool]:
    return len(one.stretches), one.about


def _drawn(given: Given, cut: Sequence[tuple[float, float]], ground: Ground) -> Iterator[Plan]:
    """Return the plans of these stretches, shifted straight on and turned about; none where a joint has no room for crosses."""
    joints = []
    for number, ((_, before), (after, _)) in enumerate(pairwise(cut)):
        chosen = marks(given.piece, given.room.along, (after, before), ground, MARKS_EACH)
        if len(chosen) < 2:
            return
        joints.append(tuple((_letter(MARKS_EACH * number + i), place) for i, place in enumerate(chosen)))
    places = [np.array([place for _, place in joint]) for joint in joints]
    for about in (False, True):
        lies = [given.room.lies(*ends, about=about and k % 2 == 1) for k, ends in enumerate(cut)]
        carried = chain(given.bench, given.height, lies, places, HANDS)
        yield Plan(given.room, tuple(cut), tuple(joints), tuple(carried), given.outline, about)


def _cuts(room: Room) -> Iterator[list[tuple[float, float]]]:
    """Return ways of cutting a piece into stretches no longer than the light."""
    least = math.ceil((room.length - LEAST_OVERLAP) / (room.usable - LEAST_OVERLAP))
    if least > MOST_SPANS:
        raise Refusal(f"The piece would need {least} spans: use a bench with a larger picture.", field="piece")
    for count in range(least, least + MORE_SPANS + 1):
        for growth in GROWTH if count > 2 else (1.0,):
            yield _stretches(room, _overlaps(room, count, growth))


def _overlaps(room: Room, count: int, growth: float) -> Array:
    """Return the overlaps (count - 1,) mm: what full spans leave over, shared out by powers of ``growth``."""
    spare = count * room.usable - room.length - (count - 1) * LEAST_OVERLAP
    shares = growth ** np.arange(count - 1, dtype=np.float64)
    return np.asarray(np.minimum(LEAST_OVERLAP + spare * shares / shares.sum(), MOST_OVERLAP * room.usable))


def _stretches(room: Room, overlaps: Array) -> list[tuple[float, float]]:
    """Return the stretches; where overlaps were held back, all spans are a little shorter than the light."""
    count = len(overlaps) + 1
    size = min(room.usable, (room.length + float(overlaps.sum())) / count)
    begins = room.start + np.concatenate([[0.0], np.cumsum(size - overlaps)])
    return [(float(begin), float(begin) + size) for begin in begins]


def _outline(piece: Piece) -> Array:
    """Return places (n, 2) mm round the outline, no farther apart than 20 mm."""
    path = piece.outline
    count = max(24, math.ceil(path.length / 20.0))
    return np.array([path.point_at(s) for s in np.linspace(0.0, path.length, count, endpoint=False)])


def _room(bench: Bench, height: float, piece: Piece, *, mirror: bool) -> Room:
    """Return the longest room that the light has for the piece's width, along the table's x or y."""
    left, top, right, bottom = piece.box()
    along: Along = "y" if bottom - top >= right - left else "x"
    low, high = (left, right) if along == "y" else (top, bottom)
    start, end = (top, bottom) if along == "y" else (left, right)
    wide = high - low + 2.0 * BESIDE_MM
    usable, middle, lengthwise = max(_usable(bench, height, wide, axis) for axis in (0, 1))
    if usable < 2.0 * LEAST_OVERLAP:
        raise Refusal(
            f"{piece.title} is {high - low:.0f} mm wide, wider than the light: spans only go lengthwise.", field="piece"
        )
    turn = _turn(along, lengthwise, mirror)
    return Room(along, start, end - start, (low + high) / 2.0, usable, middle, turn, mirror)


BESIDE_MM = 16.0
"""Room left beside the piece for crosses on the waste, mm."""


def _turn(along: Along, axis: int, mirror: bool) -> float:
    """Return the turn, degrees, that lays the piece's long axis along the table's x (0) or y (1)."""
    own = (180.0 if mirror else 0.0) if along == "x" else 90.0
    return (0.0 if axis == 0 else 90.0) - own


def _usable(bench: Bench, height: float, wide: float, axis: int) -> tuple[float, tuple[float, float], int]:
    """Return the longest straight run of a band ``wide`` mm within the picture along an axis, its middle, and the axis."""
    corners = bench.footprint(height)
    low, high = corners.min(axis=0), corners.max(axis=0)
    runs = np.arange(low[axis], high[axis], STEP_MM)
    best = (0.0, (0.0, 0.0), axis)
    for offset in np.linspace(low[1 - axis] + wide / 2, high[1 - axis] - wide / 2, 41):
        length, middle = _run(bench, height, runs, offset, wide, axis)
        place = (middle, float(offset)) if axis == 0 else (float(offset), middle)
        best = max(best, (length, place, axis), key=lambda one: one[0])
    return best


def _run(bench: Bench, height: float, runs: Array, offset: float, wide: float, axis: int) -> tuple[float, float]:
    """Return the length and the middle, mm, of the longest run whose both sides are lit."""
    lit = np.ones(len(runs), dtype=bool)
    for side in (-wide / 2, wide / 2):
        other = np.full(len(runs), offset + side)
        places = np.column_stack([runs, other] if axis == 0 else [other, runs])
        at = bench.to_picture(places, height)
        lit &= ((at >= EDGE_PX) & (at <= np.array(bench.picture) - EDGE_PX)).all(axis=1)
    ends = np.flatnonzero(np.diff(np.concatenate([[0], lit.astype(int), [0]])))
    if len(ends) == 0:
        return 0.0, 0.0
    sizes = ends[1::2] - ends[::2]
    best = int(sizes.argmax())
    first, last = runs[ends[2 * best]], runs[ends[2 * best + 1] - 1]
    return float(last - first), float(first + last) / 2.0


def _letter(index: int) -> str:
    return chr(ord("A") + index % 26) * (1 + index // 26)
