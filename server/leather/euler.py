"""One walk over every line of a figure, with the fewest stitches doubled: the open or closed postman's walk.

Edmonds and Johnson, Matching, Euler tours and the Chinese postman, Mathematical Programming 5 (1973) 88-124 (from
memory): double shortest ways between the odd knots, paired by a matching of least weight. The walk itself is Fleury's:
never over a bridge while another way is left.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import networkx as nx

Knot = int
"""A junction or an end of the figure."""


@dataclass(frozen=True)
class Chain:
    """A run of stitches between two knots (junctions or ends), with nothing branching off between.

    Attributes:
        start: knot.
        end: knot; the same for a loop.
        weight: stitches.
        places: what lies along it, ends included.

    """

    start: Knot
    end: Knot
    weight: int
    places: tuple[int, ...]


def doubled(chains: Sequence[Chain], start: Knot | None = None, finish: Knot | None = None) -> list[int]:
    """Return the indices of the chains to walk twice, of least weight, so that one walk covers all of them.

    Args:
        chains: a connected figure.
        start: where the walk must start; None leaves it free.
        finish: where it must end; None leaves it free.

    """
    odd = {knot for knot, count in _degrees(chains).items() if count % 2}
    for knot in (start, finish):
        if knot is not None:
            odd ^= {knot}
    free = (start is None) + (finish is None)
    if not odd or (free == 2 and len(odd) == 2) or (free == 1 and len(odd) == 1):
        return []
    return _joined(chains, sorted(odd), free)


def ordered(
    chains: Sequence[Chain],
    twice: Sequence[int],
    start: Knot,
    liked: Callable[[Chain | None, bool, Chain, bool], float],
) -> list[tuple[int, bool]]:
    """Return the walk over all chains (those of `twice` twice) from `start`: (chain, whether walked from its start).

    Args:
        chains: a connected figure in which such a walk exists.
        twice: indices of chains to walk twice.
        start: knot.
        liked: (chain before or None, how it was walked, next chain, how it would be walked) -> the least is taken first,
            of those that do not cut the rest off.

    """
    left = [*range(len(chains)), *twice]
    walk: list[tuple[int, bool]] = []
    here, last, last_way = start, None, True
    while left:
        ways = [(i, way) for i in sorted(set(left)) for way in (True, False) if _from(chains[i], way) == here]
        safe = [one for one in ways if not _strands(chains, left, one)] or ways
        index, way = min(safe, key=lambda one: liked(last, last_way, chains[one[0]], one[1]))
        left.remove(index)
        walk.append((index, way))
        last, last_way, here = chains[index], way, _from(chains[index], not way)
    return walk


def odd_knots(chains: Sequence[Chain], twice: Sequence[int] = ()) -> list[Knot]:
    """Return the knots where an odd number of chains meet, those of `twice` counted twice."""
    return [knot for knot, count in _degrees([*chains, *(chains[i] for i in twice)]).items() if count % 2]


def _from(chain: Chain, way: bool) -> Knot:
    return chain.start if way else chain.end


def _degrees(chains: Sequence[Chain]) -> dict[Knot, int]:
    degrees: dict[Knot, int] = {}
    for knot in itertools.chain.from_iterable((chain.start, chain.end) for chain in chains):
        degrees[knot] = degrees.get(knot, 0) + 1
    return degrees


def _joined(chains: Sequence[Chain], odd: Sequence[Knot], free: int) -> list[int]:
    """Pair the odd knots along shortest ways, `free` of them left over; knots left over cost nothing."""
    ways = nx.Graph()
    for i, chain in enumerate(chains):
        if not ways.has_edge(chain.start, chain.end) or ways[chain.start][chain.end]["weight"] > chain.weight:
            ways.add_edge(chain.start, chain.end, weight=chain.weight, chain=i)
    pairs = nx.Graph()
    routes = {knot: nx.single_source_dijkstra(ways, knot) for knot in odd}
    for a, b in itertools.combinations(range(len(odd)), 2):
        pairs.add_edge(a, b, weight=routes[odd[a]][0][odd[b]])
    for ghost, a in itertools.product(range(free), range(len(odd))):
        pairs.add_edge(("free", ghost), a, weight=0)
    found: list[int] = []
    for a, b in nx.min_weight_matching(pairs):
        if isinstance(a, int) and isinstance(b, int):
            path = routes[odd[a]][1][odd[b]]
            found.extend(ways[c][d]["chain"] for c, d in itertools.pairwise(path))
    return found


def _strands(chains: Sequence[Chain], left: Sequence[int], step: tuple[int, bool]) -> bool:
    """Whether taking this step leaves chains that can no longer be reached."""
    index, way = step
    rest = list(left)
    rest.remove(index)
    seen, edge = set(), {_from(chains[index], not way)}
    while edge:
        seen |= edge
        edge = {knot for i in rest for knot in _ends(chains[i]) if _ends(chains[i]) & edge} - seen
    return any(chains[i].start not in seen for i in rest)


def _ends(chain: Chain) -> set[Knot]:
    return {chain.start, chain.end}
