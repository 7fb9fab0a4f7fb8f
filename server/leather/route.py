"""The sewing route: one thread through a seam with branches and rings, two needles, with the fewest stitches doubled.

Both needles take every stitch, one on each face, so the route is a walk over the figure of stitches.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from calibration.refusal import Refusal
from server.geometry.path import Point
from server.leather.euler import Chain, doubled, odd_knots, ordered
from server.leather.norms import BACK_STITCHES, THREAD_TAIL
from server.leather.norms_sewing import LINK_SHARE
from server.leather.stitch import StitchLine
from server.leather.stitch_graph import Figure, chains, figure
from server.leather.thread import ThreadPiece, in_pieces

Kind = Literal["stitch", "again", "back", "link"]


@dataclass(frozen=True)
class Move:
    """One stitch in the order of sewing.

    Attributes:
        seam: the line it belongs to; "" for a link from one line to another.
        begin: hole number there, counted from 0 (for a link, in the line it leaves).
        finish: hole number (for a link, in the line it reaches).
        start: mm.
        end: mm.
        chord: mm.
        thickness: mm it goes through.
        kind: "stitch" the first time, "again" where the way goes over it twice, "back" for a back stitch, "link" from one
            line to another.

    """

    seam: str
    begin: int
    finish: int
    start: Point
    end: Point
    chord: float
    thickness: float
    kind: Kind

    @property
    def thread(self) -> float:
        """Thread it takes, mm: both needles go along it and through: 2 (p + S)."""
        return 2.0 * (self.chord + self.thickness)


@dataclass(frozen=True)
class Leg:
    """Moves in one go along one line: from hole to hole (counted from 0), how many stitches, of which kind."""

    seam: str
    begin: int
    finish: int
    stitches: int
    kind: Kind

    @property
    def words(self) -> str:
        """The leg in words, holes counted from 1."""
        return self.told({})

    def told(self, titles: Mapping[str, str]) -> str:
        """Return the leg in words, each seam by its title where it has one."""
        seam = titles.get(self.seam, self.seam)
        count = f"{self.stitches} stitch" + ("" if self.stitches == 1 else "es")
        if self.kind == "link":
            return f"One stitch across to hole {self.finish + 1} of {_within(seam)}."
        how = {"stitch": "sew", "again": "once more over", "back": "back stitch over"}[self.kind]
        words = f"{seam}: {how} holes {self.begin + 1} to {self.finish + 1}, {count}."
        return words[0].upper() + words[1:]


@dataclass(frozen=True)
class Route:
    """One thread's way.

    Attributes:
        moves: every stitch in order.
        closed: whether it comes back to where it starts (before back stitches).
        tail: mm, each of the two ends.

    """

    moves: tuple[Move, ...]
    closed: bool
    tail: float

    @property
    def again(self) -> int:
        """How many stitches are sewn twice because the way asks for it; back stitches are not counted."""
        links = [frozenset((move.start, move.end)) for move in self.moves if move.kind == "link"]
        return sum(move.kind == "again" for move in self.moves) + len(links) - len(set(links))

    @property
    def start(self) -> Point:
        """Where the first needle goes in, mm."""
        return self.moves[0].start

    @property
    def knot(self) -> Point:
        """Where both ends come out on the back and are hidden, mm."""
        return self.moves[-1].end

    @property
    def thread(self) -> float:
        """Thread in one piece, mm: S + the stitches + two tails."""
        return self.moves[0].thickness + sum(move.thread for move in self.moves) + 2.0 * self.tail

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The moves gathered into legs."""
        groups: list[list[Move]] = []
        for move in self.moves:
            if groups and _goes_on(groups[-1], move):
                groups[-1].append(move)
            else:
                groups.append([move])
        return tuple(Leg(g[0].seam, g[0].begin, g[-1].finish, len(g), g[0].kind) for g in groups)

    def pieces(self, longest: float, over: int = int(BACK_STITCHES.value)) -> tuple[ThreadPiece, ...]:
        """Return the thread in pieces no longer than an arm-span (mm); piece i begins at ``moves[piece.first]``."""
        lengths = [move.thread for move in self.moves]
        return in_pieces(lengths, self.moves[0].thickness, longest, tail=self.tail, over=over)

    def words(self, longest: float | None = None, titles: Mapping[str, str] | None = None) -> tuple[str, ...]:
        """Return how to sew it, sentence by sentence; seams by their titles where those are given."""
        first, known = self.moves[0], titles or {}
        seam = _within(known.get(first.seam, first.seam))
        said = [f"Start in hole {first.begin + 1} of {seam}, both needles through, the thread at its middle."]
        said += [leg.told(known) for leg in self.legs]
        said.append("Finish: bring both ends out on the back, cut them short and hide them under the last stitch.")
        if longest is not None:
            said += _join_words(self, self.pieces(longest), known)
        return tuple(said)


def sewing_routes(
    lines: Sequence[StitchLine],
    thickness: float | Mapping[str, float],
    *,
    start: Point | None = None,
    finish: Point | None = None,
    link: float | None = None,
    back: int = int(BACK_STITCHES.value),
    tail: float = THREAD_TAIL.value,
    twice: Sequence[Point] = (),
) -> tuple[Route, ...]:
    """Return one route for each group of lines that hang together, each with the fewest stitches doubled.

    Args:
        lines: seams, branches and rings; holes nearer than 0.05 mm are one hole.
        thickness: mm sewn through, for all or by seam.
        start: mm; the thread starts in the hole nearest to it. None: wherever fewest are doubled, far from the maker.
        finish: mm; the ends are hidden in the hole nearest to it. None: wherever fewest are doubled.
        link: mm; how near lines must come to be linked by a stitch. None: one and a half of the first line's pitch.
        back: back stitches at each end; a closed way overlaps its start by as many instead.
        tail: mm, each of two ends.
        twice: mm; the stitch nearest to each is sewn there, back and there again: where a ply ends.

    Raises:
        Refusal: no lines, or a seam without a thickness.

    """
    if not lines:
        raise Refusal("There is nothing to sew: a route needs at least one stitch line.")
    shape = figure(lines, LINK_SHARE.value * lines[0].pitch if link is None else link)
    walks = [_walk(shape, group, start, finish) for group in shape.groups() if len(group) > 1]
    return tuple(_route(shape, walk, thickness, back, tail, twice) for walk in walks)


def _walk(shape: Figure, group: Sequence[int], start: Point | None, finish: Point | None) -> list[int]:
    """The nodes of the walk over a group."""
    fixed = [_nearest_in(shape, group, point) for point in (start, finish)]
    runs = chains(shape, group, [node for node in fixed if node is not None])
    again = doubled(runs, fixed[0], fixed[1])
    begin = fixed[0] if fixed[0] is not None else _begin(shape, runs, again, fixed[1])
    walk = [begin]
    for index, way in ordered(runs, again, begin, lambda a, w, b, v: _turn(shape, a, w, b, v)):
        places = runs[index].places if way else runs[index].places[::-1]
        walk.extend(places[1:])
    return walk


def _nearest_in(shape: Figure, group: Sequence[int], point: Point | None) -> int | None:
    if point is None:
        return None
    return min(group, key=lambda node: math.dist(shape.places[node], point))


def _begin(shape: Figure, runs: Sequence[Chain], again: Sequence[int], finish: int | None) -> int:
    """An odd knot, the farthest from the maker; a closed way starts where it must end, or where lines meet."""
    odd = [knot for knot in odd_knots(runs, again) if knot != finish]
    if odd:
        return min(odd, key=lambda node: (round(shape.places[node, 1], 6), shape.places[node, 0]))
    if finish is not None:
        return finish
    knots = [run.places[0] for run in runs] + [run.places[-1] for run in runs]
    return max(sorted(set(knots)), key=knots.count)


def _turn(shape: Figure, before: Chain | None, way: bool, after: Chain, onward: bool) -> float:
    """How sharply a needle turns from one run into the next, radians: straight on is liked best."""
    if before is None:
        return 0.0
    a, b = before.places[-2:] if way else before.places[1::-1]
    c, d = after.places[:2] if onward else after.places[:-3:-1]
    (ax, ay), (bx, by) = shape.places[b] - shape.places[a], shape.places[d] - shape.places[c]
    return abs(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def _route(
    shape: Figure,
    walk: list[int],
    thickness: float | Mapping[str, float],
    back: int,
    tail: float,
    twice: Sequence[Point],
) -> Route:
    closed = walk[0] == walk[-1]
    nodes = _with_back(_with_twice(shape, walk, twice), back, closed)
    stitches = shape.between()
    seen: set[frozenset[int]] = set()
    core = _core_pairs(walk)
    moves = []
    for a, b in itertools.pairwise(nodes):
        stitch, pair = stitches[a, b], frozenset((a, b))
        first = pair not in seen
        again = not first and core.get(pair, 1) > 1
        if again:
            core[pair] -= 1
        seen.add(pair)
        kind: Kind = "link" if not stitch.seam else "stitch" if first else "again" if again else "back"
        begin, end = (stitch.begin, stitch.finish) if stitch.start == a else (stitch.finish, stitch.begin)
        seam = stitch.seam or shape.homes[b][0]
        places = [(float(x), float(y)) for x, y in shape.places[[a, b]]]
        moves.append(Move(seam, begin, end, places[0], places[1], stitch.chord, _thick(thickness, seam), kind))
    return Route(tuple(moves), closed, tail)


def _core_pairs(walk: Sequence[int]) -> dict[frozenset[int], int]:
    """How often the walk itself, without back stitches, goes over each stitch."""
    counts: dict[frozenset[int], int] = {}
    for a, b in itertools.pairwise(walk):
        counts[frozenset((a, b))] = counts.get(frozenset((a, b)), 0) + 1
    return counts


def _with_back(walk: list[int], back: int, closed: bool) -> list[int]:
    """Start some stitches in and sew to the end first; finish as many back. A closed way sews on over its start."""
    count = max(0, min(back, len(walk) - 1))
    if closed:
        return [*walk, *walk[1 : count + 1]]
    return [*walk[count:0:-1], *walk, *walk[len(walk) - 2 : len(walk) - 2 - count : -1]] if count else walk


def _with_twice(shape: Figure, walk: list[int], places: Sequence[Point]) -> list[int]:
    """Sew the stitch nearest to each place there, back, and there again."""
    for place in places:
        i = min(
            range(len(walk) - 1),
            key=lambda i: math.dist((shape.places[walk[i]] + shape.places[walk[i + 1]]) / 2.0, place),
        )
        walk = [*walk[: i + 2], walk[i], walk[i + 1], *walk[i + 2 :]]
    return walk


def _thick(thickness: float | Mapping[str, float], seam: str) -> float:
    if not isinstance(thickness, Mapping):
        return thickness
    if seam not in thickness:
        raise Refusal(f"How thick {seam} is where it is sewn is not known: give its plies in mm.", field="thickness")
    return thickness[seam]


def _goes_on(group: Sequence[Move], move: Move) -> bool:
    last = group[-1]
    if (last.seam, last.kind) != (move.seam, move.kind) or move.kind == "link" or last.finish != move.begin:
        return False
    return (last.begin, last.finish) != (move.finish, move.begin)


def _within(title: str) -> str:
    """A title inside a sentence."""
    return title[:1].lower() + title[1:]


def _join_words(route: Route, pieces: Sequence[ThreadPiece], titles: Mapping[str, str]) -> list[str]:
    said = []
    for i, piece in enumerate(pieces):
        move = route.moves[piece.first]
        seam = _within(titles.get(move.seam, move.seam))
        where = "" if i == 0 else f", joined at hole {move.begin + 1} of {seam}, over the last stitches"
        said.append(f"Thread {i + 1}: {piece.length:.0f} mm{where}.")
    return said
