"""The stitches of several lines as one figure: shared holes are one, lines that only come near are linked by a stitch."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from server.leather.euler import Chain
from server.leather.stitch import StitchLine

SAME_HOLE = 0.05
"""mm: holes of different lines nearer than this are one hole."""


@dataclass(frozen=True)
class Stitch:
    """One stitch of the figure: from node to node, the line it belongs to ("" for a link), its holes there, its chord mm."""

    start: int
    end: int
    seam: str
    begin: int
    finish: int
    chord: float


@dataclass(frozen=True)
class Figure:
    """All stitches.

    Attributes:
        places: (n, 2) mm, the holes; one node for each.
        stitches: no two between the same nodes.
        homes: for each node (seam, hole number) of the first line that has it.

    """

    places: NDArray[np.float64]
    stitches: tuple[Stitch, ...]
    homes: tuple[tuple[str, int], ...]

    def nearest(self, x: float, y: float) -> int:
        """Return the node nearest to a place, mm."""
        return int(np.argmin(np.hypot(self.places[:, 0] - x, self.places[:, 1] - y)))

    def neighbours(self) -> dict[int, list[int]]:
        """Return the nodes each node is sewn to, in the order of the lines."""
        found: dict[int, list[int]] = {}
        for stitch in self.stitches:
            found.setdefault(stitch.start, []).append(stitch.end)
            found.setdefault(stitch.end, []).append(stitch.start)
        return found

    def between(self) -> Mapping[tuple[int, int], Stitch]:
        """Return the stitch between two nodes, either way round."""
        pairs = {(s.start, s.end): s for s in self.stitches}
        return {**{(b, a): s for (a, b), s in pairs.items()}, **pairs}

    def groups(self) -> list[list[int]]:
        """Return the nodes that hang together, group by group, in the order of the lines."""
        near, left, found = self.neighbours(), dict.fromkeys(range(len(self.places))), []
        while left:
            edge = [next(iter(left))]
            group: dict[int, None] = {}
            while edge:
                group.update(dict.fromkeys(edge))
                edge = [b for a in edge for b in near.get(a, []) if b not in group]
            found.append(sorted(group))
            left = dict.fromkeys(node for node in left if node not in group)
        return found


def figure(lines: Sequence[StitchLine], link: float) -> Figure:
    """Return the figure of several lines.

    Args:
        lines: each with holes of one seam.
        link: mm; groups of lines that do not share a hole but come this near are linked by one stitch. 0 for none.

    """
    points = np.concatenate([line.points for line in lines])
    nodes = _merged(points)
    homes: dict[int, tuple[str, int]] = {}
    stitches: dict[tuple[int, int], Stitch] = {}
    offset = 0
    for line in lines:
        count = len(line.holes)
        for i in range(count):
            homes.setdefault(int(nodes[offset + i]), (line.holes[0].seam, i))
        for i, chord in enumerate(line.steps.tolist()):
            a, b = int(nodes[offset + i]), int(nodes[offset + (i + 1) % count])
            if a != b and (a, b) not in stitches and (b, a) not in stitches:
                stitches[a, b] = Stitch(a, b, line.holes[0].seam, i, (i + 1) % count, chord)
        offset += count
    first = {int(node): i for i, node in reversed(list(enumerate(nodes)))}
    places = points[[first[node] for node in range(len(first))]]
    whole = Figure(places, tuple(stitches.values()), tuple(homes[node] for node in range(len(first))))
    return _linked(whole, link)


def chains(shape: Figure, group: Iterable[int], knots: Iterable[int]) -> list[Chain]:
    """Return the runs of stitches between knots: junctions, ends, and the nodes given; a bare ring starts in its first hole."""
    near = shape.neighbours()
    inside = set(group)
    ends = {node for node in inside if len(near.get(node, [])) != 2} | (set(knots) & inside)
    found: list[Chain] = []
    walked: set[tuple[int, int]] = set()
    for start in sorted(ends or {min(inside)}):
        for onward in near.get(start, []):
            if (start, onward) in walked:
                continue
            places = [start, onward]
            while places[-1] not in ends and places[-1] != start:
                a, b = near[places[-1]]
                places.append(b if a == places[-2] else a)
            walked.update(itertools.pairwise(places))
            walked.update(itertools.pairwise(places[::-1]))
            found.append(Chain(start, places[-1], len(places) - 1, tuple(places)))
    return found


def _merged(points: NDArray[np.float64]) -> list[int]:
    """The node of each hole; nodes are numbered in the order of the holes."""
    parent = list(range(len(points)))

    def root(i: int) -> int:
        while parent[i] != i:
            i = parent[i]
        return i

    for i, j in sorted(cKDTree(points).query_pairs(SAME_HOLE)):
        parent[max(root(i), root(j))] = min(root(i), root(j))
    numbers: dict[int, int] = {}
    return [numbers.setdefault(root(i), len(numbers)) for i in range(len(points))]


def _linked(shape: Figure, link: float) -> Figure:
    """Join groups that come within reach of each other, the nearest first."""
    stitches = list(shape.stitches)
    while link > 0.0:
        groups = Figure(shape.places, tuple(stitches), shape.homes).groups()
        best = min(_gaps(shape.places, groups), default=(np.inf, 0, 0))
        if best[0] > link:
            break
        chord, a, b = best
        stitches.append(Stitch(a, b, "", shape.homes[a][1], shape.homes[b][1], chord))
    return Figure(shape.places, tuple(stitches), shape.homes)


def _gaps(places: NDArray[np.float64], groups: Sequence[Sequence[int]]) -> Iterable[tuple[float, int, int]]:
    """For each group the nearest hole of any other: (mm, its node, the other's)."""
    for group in groups[1:] if len(groups) == 2 else groups if len(groups) > 2 else []:
        others = [node for other in groups if other is not group for node in other]
        apart, index = cKDTree(places[others]).query(places[list(group)])
        worst = int(np.argmin(apart))
        yield float(apart[worst]), group[worst], others[int(index[worst])]
