"""How a pattern is pricked and sewn with the irons, the thread and the needles of one rack: the one set of numbers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from typing import Any

from server.geometry.cut import project
from server.leather import order
from server.leather.choose import irons_for, needle_for, slot_tools, thread_in_use
from server.leather.pattern import Pattern, Seam, Sentence, Step
from server.leather.piece import Piece
from server.leather.rack import Needle, Rack, Thread
from server.leather.route import Route, sewing_routes
from server.leather.stitch import StitchLine
from server.leather.strike import Strike, irons_used, plan

PLANS_KEPT = 256
"""Plans of blows that are kept at hand: the draft, the sheet and the light ask for the same ones."""

_PUNCH = re.compile(r"(round|oblong) punch\b")


@dataclass(frozen=True)
class Sewn:
    """One thread's way on one piece; ``step`` is the step that sews it, "" where no step does."""

    piece: str
    step: str
    route: Route


@dataclass(frozen=True)
class Work:
    """A pattern as it is made with one rack.

    Attributes:
        pattern: with the blows, the thread, the tools and the sentences of that rack.
        sewn: the way of each thread.
        thread: which; None where the rack has none that suits, or nothing is sewn.
        needle: which; None where none carries the thread.
        stack_mm: the thickest that is sewn through.
        thread_mm: thread to cut in all, in pieces no longer than the arm-span, with tails and joins.

    """

    pattern: Pattern
    sewn: tuple[Sewn, ...]
    thread: Thread | None
    needle: Needle | None
    stack_mm: float
    thread_mm: float


def work(pattern: Pattern, rack: Rack) -> Work:
    """Return a pattern as it is made with a rack: every count of blows and of thread comes from here."""
    sewn = routes(pattern)
    seams = tuple(_counted(pattern, seam, rack, sewn) for seam in pattern.seams)
    thread = thread_in_use(rack, pattern.seams)
    ply = pattern.measures.get("leather", 0.0)
    stack = max((seam.stack(ply) for seam in pattern.seams if not seam.mate), default=0.0)
    needle = None if thread is None else needle_for(rack, thread, stack)[0]
    whole = sum(_lengths(sewn, rack))
    found = Work(replace(pattern, seams=seams), sewn, thread, needle, stack, whole)
    steps = tuple(_equipped(found, step, rack) for step in pattern.steps)
    said = (*pattern.sentences, *_counts(found, rack))
    return replace(found, pattern=replace(found.pattern, steps=steps, sentences=said))


def stitch_line(piece: Piece, seam: str) -> StitchLine:
    """Return a seam of a drafted piece as a stitch line, from its line and its holes."""
    path, holes = piece.line(seam).path, piece.holes_of(seam)
    return StitchLine(path, holes, tuple(project(path, (hole.x, hole.y))[0] for hole in holes), ())


def routes(pattern: Pattern) -> tuple[Sewn, ...]:
    """Return the way of each thread, step by step: seams that hang together in one, unless that takes more than one by one."""
    left = {seam.name: seam for seam in pattern.seams if not seam.mate}
    groups: list[tuple[str, list[Seam]]] = []
    for step in pattern.steps:
        groups.append((step.name, [left.pop(seam.name) for seam in order.sewn(pattern, step) if seam.name in left]))
    groups.append(("", list(left.values())))
    return tuple(
        Sewn(piece.name, step, route)
        for step, seams in groups
        for piece in pattern.pieces
        if (here := [seam for seam in seams if seam.piece == piece.name])
        for route in _shortest(pattern, piece, here)
    )


def strikes(pattern: Pattern, seam: Seam, rack: Rack) -> tuple[Strike, ...]:
    """Return the blows for a seam with the irons on the rack that suit its pitch, hole by hole where none do.

    The irons' own pitch counts: a wide row whose tines would miss their holes on an eased seam is not used there.
    """
    row, warning = irons_for(rack, seam)
    line = stitch_line(pattern.piece(seam.piece), seam.name)
    return _planned(line, (), None) if row is None or warning is not None else _planned(line, row.tines, row.pitch)


def route_json(sewn: Sewn, arm_span: float, titles: Mapping[str, str]) -> dict[str, Any]:
    """Return a thread's way as the pages show it; places in the piece's own mm, seams by their titles."""
    route = sewn.route
    first = route.moves[0]
    return {
        "piece": sewn.piece,
        "step": sewn.step,
        "seams": list(dict.fromkeys(leg.seam for leg in route.legs)),
        "start": list(route.start),
        "toward": list(first.end),
        "knot": list(route.knot),
        "twice": [[*move.start, *move.end] for move in route.moves if move.kind in ("again", "back")],
        "joins": [list(route.moves[piece.first].start) for piece in route.pieces(arm_span)[1:]],
        "words": list(route.words(arm_span, titles)),
        "again": route.again,
        "thread_mm": route.thread,
        "pieces": [asdict(piece) for piece in route.pieces(arm_span)],
    }


@lru_cache(maxsize=PLANS_KEPT)
def _planned(line: StitchLine, tines: tuple[int, ...], pitch: float | None) -> tuple[Strike, ...]:
    return plan(line, tines, row_pitch=pitch)


def _shortest(pattern: Pattern, piece: Piece, seams: Sequence[Seam]) -> tuple[Route, ...]:
    lines = [stitch_line(piece, seam.name) for seam in seams]
    ply = pattern.measures.get("leather", 0.0)
    thickness = {seam.name: seam.stack(ply) for seam in seams}
    ways = (sewing_routes(lines, thickness, link=link) for link in (None, 0.0))
    return min(ways, key=lambda way: sum(route.thread for route in way))


def _counted(pattern: Pattern, seam: Seam, rack: Rack, sewn: Sequence[Sewn]) -> Seam:
    """The seam with the blows and its share of the thread that this rack asks for."""
    blows = strikes(pattern, seam, rack)
    thread = sum(_share(one.route, seam.name, rack.arm_span) for one in sewn if one.piece == seam.piece)
    return replace(seam, strikes=len(blows), irons=irons_used(blows), thread_mm=thread)


def _share(route: Route, seam: str, arm_span: float) -> float:
    """The thread cut for a route, mm, as far as it is for one seam: in proportion to the stitches laid there."""
    whole = sum(move.thread for move in route.moves)
    own = sum(move.thread for move in route.moves if move.seam == seam)
    return sum(piece.length for piece in route.pieces(arm_span)) * own / whole


def _lengths(sewn: Sequence[Sewn], rack: Rack) -> list[float]:
    """The pieces of thread to cut, mm."""
    return [piece.length for one in sewn for piece in one.route.pieces(rack.arm_span)]


def _equipped(made: Work, step: Step, rack: Rack) -> Step:
    """A step with the rack's own irons, punches, thread and needle, and how much thread it takes."""
    lengths = _lengths([one for one in made.sewn if one.step == step.name], rack)
    words = f"{step.words} {_cut_words(lengths)}" if lengths else step.words
    tools = tuple(name for tool in step.tools for name in _tools(tool, made, step, rack))
    return replace(step, tools=tuple(dict.fromkeys(tools)), words=words)


def _tools(tool: str, made: Work, step: Step, rack: Rack) -> tuple[str, ...]:
    """What hangs on the rack for a tool that a draft names in general."""
    if tool == "pricking irons":
        return _irons(made, step, rack)
    if tool == "waxed thread" and made.thread is not None:
        return (f"{made.thread.name}, waxed",)
    if tool == "two needles" and made.needle is not None:
        return (f"two needles ({made.needle.name})",)
    return _punches(made, step, rack) or (tool,) if _PUNCH.match(tool) else (tool,)


def _irons(made: Work, step: Step, rack: Rack) -> tuple[str, ...]:
    used = {
        (tines, seam.name): iron_words(rack, seam, tines)
        for seam in order.pricked(made.pattern, step)
        for tines, _ in seam.irons
    }
    return tuple(dict.fromkeys(words for _, words in sorted(used.items(), reverse=True)))


def iron_words(rack: Rack, seam: Seam, tines: int) -> str:
    """Return what a row of so many tines is called: an iron of the rack, or an awl where the rack has no such single tine."""
    row, warning = irons_for(rack, seam)
    if row is None or warning is not None or tines not in row.tines:
        return "awl"
    return f"{tines}-tine iron of {row.pitch:.3g} mm" if tines > 1 else f"single-tine iron of {row.pitch:.3g} mm"


def _punches(made: Work, step: Step, rack: Rack) -> tuple[str, ...]:
    lit = [one for one in made.pattern.piece(step.piece).drawn if one.role == "slot" and step.shows(one)]
    found = [punch.words for one in lit if one.path.closed for punch in slot_tools(one.path, rack.punches)[0]]
    return tuple(dict.fromkeys(found))


def blows(pattern: Pattern) -> Mapping[int, int]:
    """Return how many blows each width of iron strikes in a pattern that was counted, the widest first."""
    irons: Counter[int] = Counter()
    for seam in pattern.seams:
        irons.update(dict(seam.irons))
    return dict(sorted(irons.items(), reverse=True))


def _counts(made: Work, rack: Rack) -> tuple[Sentence, ...]:
    """What the rack makes of the pattern: blows and thread."""
    if not made.pattern.seams:
        return ()
    irons = blows(made.pattern)
    told = ", ".join(f"{count} with {tines} tine{'' if tines == 1 else 's'}" for tines, count in irons.items())
    sums = f"{' + '.join(map(str, irons.values()))} = {sum(irons.values())} blows"
    pricking = f"{sum(irons.values())} blows with the irons of {rack.called}: {told}."
    lengths = _lengths(made.sewn, rack)
    name = "thread" if made.thread is None else made.thread.name
    sewing = f"{made.thread_mm / 1000:.2f} m of {name} with tails and joins, in {_pieces(len(lengths))} of at most "
    return (
        Sentence("count", pricking, sum(irons.values()), sums),
        Sentence("count", f"{sewing}{rack.arm_span / 1000:.2f} m.", made.thread_mm, _sum_words(lengths)),
    )


def _pieces(count: int) -> str:
    return "one piece" if count == 1 else f"{count} pieces"


def _sum_words(lengths: Sequence[float]) -> str:
    return f"{' + '.join(f'{mm / 1000:.2f}' for mm in lengths)} = {sum(lengths) / 1000:.2f} m"


def _cut_words(lengths: Sequence[float]) -> str:
    """The pieces of thread to cut for a step, those of one length together."""
    told = Counter(f"{mm / 1000:.2f} m" for mm in lengths)
    parts = [length if count == 1 else f"{count} times {length}" for length, count in told.items()]
    return f"Thread: {', '.join(parts)}."
