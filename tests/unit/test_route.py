"""The sewing route: fewest doubled stitches by exhaustive search, order, back stitches, joins, words."""

from __future__ import annotations

import heapq
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle
from server.geometry.path import Arc
from server.leather.euler import Chain, doubled, odd_knots, ordered
from server.leather.ring import ring_line
from server.leather.route import Route, sewing_routes
from server.leather.stitch import StitchLine, stitch_line, symmetric_line
from server.leather.thread import in_pieces

U_HALF = chain((0.0, 100.0), (Arc.of((30, 80), 20.0, 90.0, -90.0),), (50.0, 0.0))
Edge = tuple[int, int, int]


def shortest_walk(edges: list[Edge], start: int | None, finish: int | None) -> int:
    """The least weight of a walk over all edges: Dijkstra over (knot, edges walked)."""
    every = (1 << len(edges)) - 1
    knots = {knot for edge in edges for knot in edge[:2]} if start is None else {start}
    queue, done = [(0, knot, 0) for knot in knots], set()
    while True:
        weight, knot, walked = heapq.heappop(queue)
        if walked == every and finish in (None, knot):
            return weight
        if (knot, walked) in done:
            continue
        done.add((knot, walked))
        for i, (a, b, more) in enumerate(edges):
            for here, there in ((a, b), (b, a)):
                if here == knot:
                    heapq.heappush(queue, (weight + more, there, walked | 1 << i))


@st.composite
def figures(draw: st.DrawFn) -> list[Edge]:
    """A connected figure of up to six knots and nine edges."""
    count = draw(st.integers(2, 6))
    weights = st.integers(1, 9)
    tree = [(draw(st.integers(0, i - 1)), i, draw(weights)) for i in range(1, count)]
    more = draw(st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), weights), max_size=4))
    return tree + more


@settings(deadline=None, max_examples=80)
@given(figures(), st.booleans(), st.booleans(), st.integers(0, 5), st.integers(0, 5))
def test_no_walk_doubles_less(edges: list[Edge], from_there: bool, to_there: bool, one: int, two: int) -> None:
    knots = sorted({knot for edge in edges for knot in edge[:2]})
    start = knots[one % len(knots)] if from_there else None
    finish = knots[two % len(knots)] if to_there else None
    chains = [Chain(a, b, weight, ()) for a, b, weight in edges]
    twice = doubled(chains, start, finish)
    odd = [knot for knot in odd_knots(chains, twice) if knot != finish]
    begin = start if start is not None else odd[0] if odd else finish if finish is not None else knots[0]
    walk = ordered(chains, twice, begin, lambda *_: 0.0)
    here = begin
    for index, way in walk:
        a, b = (chains[index].start, chains[index].end) if way else (chains[index].end, chains[index].start)
        assert a == here
        here = b
    assert finish in (None, here)
    assert {index for index, _ in walk} == set(range(len(edges)))
    assert sum(chains[index].weight for index, _ in walk) == shortest_walk(edges, start, finish)


def pouch(gap: float = 3.0) -> list[StitchLine]:
    pocket = symmetric_line(U_HALF, 4.0, "pocket")
    ring = ring_line(rounded_rectangle(50 + gap, 5, 69, 45, 5), 4.0, "ring-right", pocket.points)
    return [pocket, ring.line, ring.line.mirrored("ring-left")]


def check_whole(route: Route, lines: list[StitchLine]) -> None:
    """One walk, no gap, every stitch of every line in it."""
    for before, after in itertools.pairwise(route.moves):
        assert before.end == after.start
    sewn = {(m.seam, frozenset((m.begin, m.finish))) for m in route.moves if m.kind != "link"}
    count = 0
    for line in lines:
        name, holes = line.holes[0].seam, len(line.holes)
        count += line.stitches
        assert {(name, frozenset((i, (i + 1) % holes))) for i in range(line.stitches)} <= sewn
    assert sum(m.kind == "stitch" for m in route.moves) == count


def test_a_pocket_with_a_ring_each_side_is_one_thread() -> None:
    lines = pouch()
    routes = sewing_routes(lines, 5.0)
    assert len(routes) == 1
    check_whole(routes[0], lines)
    assert routes[0].again == 2
    assert sum(m.kind == "link" for m in routes[0].moves) == 4
    assert not routes[0].closed
    assert {routes[0].moves[2].start, routes[0].moves[-3].end} == {lines[0].path.start, lines[0].path.end}


def test_without_links_each_ring_has_its_own_thread() -> None:
    routes = sewing_routes(pouch(), 5.0, link=0.0)
    assert [route.closed for route in routes] == [False, True, True]
    assert all(route.again == 0 for route in routes)
    for route, line in zip(routes, pouch(), strict=True):
        check_whole(route, [line])


def test_a_branch_that_shares_a_hole_is_sewn_with_fewest_doubled() -> None:
    base = stitch_line(polyline([(0, 0), (80, 0)]), 4.0, "base")
    branch = stitch_line(polyline([(20, 0), (20, -24)]), 4.0, "branch")
    route = sewing_routes([base, branch], 3.0)[0]
    check_whole(route, [base, branch])
    assert route.again == 5
    fixed = sewing_routes([base, branch], 3.0, start=(80, 0), finish=(0, 0))[0]
    assert fixed.again == 6
    assert fixed.knot == (8.0, 0.0)


def test_a_closed_way_starts_where_it_is_told_to_hide_and_overlaps() -> None:
    ring = stitch_line(rounded_rectangle(0, 0, 40, 30, 6), 4.0, "ring")
    hole = ring.holes[9]
    route = sewing_routes([ring], 3.0, finish=(hole.x, hole.y), back=2)[0]
    assert route.closed
    assert route.start == (hole.x, hole.y)
    assert [m.kind for m in route.moves].count("back") == 2
    assert len(route.moves) == ring.stitches + 2
    check_whole(route, [ring])


def test_back_stitches_at_both_ends() -> None:
    row = stitch_line(polyline([(0, 0), (40, 0)]), 4.0, "row")
    route = sewing_routes([row], 3.0)[0]
    assert [(m.begin, m.finish) for m in route.moves[:5]] == [(2, 1), (1, 0), (0, 1), (1, 2), (2, 3)]
    assert [m.kind for m in route.moves[:5]] == ["stitch", "stitch", "back", "back", "stitch"]
    assert [(m.begin, m.finish, m.kind) for m in route.moves[-2:]] == [(10, 9, "back"), (9, 8, "back")]
    assert [leg.stitches for leg in route.legs] == [2, 2, 8, 2]
    assert route.legs[0].words == "Row: sew holes 3 to 1, 2 stitches."


def test_a_stitch_is_doubled_where_a_ply_ends() -> None:
    row = stitch_line(polyline([(0, 0), (40, 0)]), 4.0, "row")
    route = sewing_routes([row], 3.0, back=0, twice=[(22, 0)])[0]
    assert [(m.begin, m.finish) for m in route.moves].count((5, 6)) == 2
    assert len(route.moves) == 12
    check_whole(route, [row])


def test_each_seam_has_its_own_thickness() -> None:
    base = stitch_line(polyline([(0, 0), (40, 0)]), 4.0, "base")
    branch = stitch_line(polyline([(40, 0), (40, -20)]), 4.0, "branch")
    route = sewing_routes([base, branch], {"base": 2.0, "branch": 6.0}, back=0, tail=0.0, start=(0, 0))[0]
    assert route.thread == pytest.approx(2.0 + 2 * 10 * (4 + 2) + 2 * 5 * (4 + 6))
    with pytest.raises(Refusal, match="branch"):
        sewing_routes([base, branch], {"base": 2.0})


def test_a_tool_roll_of_many_dividers() -> None:
    base = stitch_line(polyline([(0, 0), (400, 0)]), 4.0, "base")
    lines = [base] + [stitch_line(polyline([(x, 0), (x, -40)]), 4.0, f"divider-{x}") for x in range(40, 400, 40)]
    route = sewing_routes(lines, 3.0)[0]
    check_whole(route, lines)
    assert route.again == 9 * 10


def test_thread_in_pieces_no_longer_than_an_arm_span() -> None:
    row = stitch_line(polyline([(0, 0), (600, 0)]), 4.0, "row")
    route = sewing_routes([row], 4.0)[0]
    pieces = route.pieces(1000.0)
    assert all(piece.length <= 1000.0 for piece in pieces)
    assert [p.first for p in pieces[1:]] == [p.last + 1 for p in pieces[:-1]]
    assert (pieces[0].first, pieces[-1].last) == (0, len(route.moves) - 1)
    assert np.ptp([piece.length for piece in pieces]) < 4 * route.moves[0].thread
    one = route.pieces(1e6)
    assert [one[0].length] == [pytest.approx(route.thread)]
    assert any("joined at hole" in words for words in route.words(1000.0))


@settings(deadline=None, max_examples=60)
@given(st.lists(st.floats(5, 40), min_size=1, max_size=40), st.floats(300, 900), st.integers(0, 3))
def test_pieces_are_as_few_as_can_be(stitches: list[float], longest: float, over: int) -> None:
    pieces = in_pieces(stitches, 4.0, longest, tail=75.0, over=over)
    assert all(piece.length <= longest + 1e-6 for piece in pieces)
    for piece in pieces:
        begin = max(0, piece.first - over)
        assert piece.length == pytest.approx(154.0 + sum(stitches[begin : piece.last + 1]))
    least = [0] + [10**6] * len(stitches)
    for end in range(1, len(stitches) + 1):
        for first in range(end):
            if 154.0 + sum(stitches[max(0, first - over) : end]) <= longest:
                least[end] = min(least[end], least[first] + 1)
    assert len(pieces) == least[-1]


def test_route_refusals() -> None:
    with pytest.raises(Refusal):
        sewing_routes([], 3.0)
    row = stitch_line(polyline([(0, 0), (40, 0)]), 4.0, "row")
    with pytest.raises(Refusal, match="arm-span"):
        sewing_routes([row], 3.0)[0].pieces(150.0)
