"""How a pattern is pricked and sewn with the maker's own irons, thread and needles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from server.geometry.cut import project
from server.leather.choose import chisel_for
from server.leather.norms import TINES
from server.leather.pattern import Pattern, Seam
from server.leather.piece import Piece
from server.leather.rack import Rack
from server.leather.route import Route, sewing_routes
from server.leather.stitch import StitchLine
from server.leather.strike import Strike, irons_used, plan


@dataclass(frozen=True)
class Sewn:
    """One thread's way on one piece."""

    piece: str
    route: Route


def stitch_line(piece: Piece, seam: str) -> StitchLine:
    """Return a seam of a drafted piece as a stitch line, from its line and its holes."""
    path, holes = piece.line(seam).path, piece.holes_of(seam)
    return StitchLine(path, holes, tuple(project(path, (hole.x, hole.y))[0] for hole in holes), ())


def routes(pattern: Pattern) -> tuple[Sewn, ...]:
    """Return the way of each thread: seams that hang together in one, unless that takes more thread than one by one."""
    return tuple(
        Sewn(piece.name, route)
        for piece in pattern.pieces
        if (seams := [seam for seam in pattern.seams if seam.piece == piece.name and not seam.mate])
        for route in _shortest(pattern, piece, seams)
    )


def strikes(pattern: Pattern, seam: Seam, rack: Rack) -> tuple[Strike, ...]:
    """Return the blows for a seam with the irons on the rack that suit its pitch; else with those of a usual set."""
    row, _ = chisel_for(rack, seam.pitch_mm)
    return plan(stitch_line(pattern.piece(seam.piece), seam.name), TINES if row is None else row.tines)


def with_own_irons(pattern: Pattern, rack: Rack) -> Pattern:
    """Return the pattern with the blows of its seams counted for the irons on the rack."""
    plans = [(seam, strikes(pattern, seam, rack)) for seam in pattern.seams]
    seams = tuple(replace(seam, strikes=len(blows), irons=irons_used(blows)) for seam, blows in plans)
    return replace(pattern, seams=seams)


def thread_mm(sewn: Sequence[Sewn], arm_span: float) -> float:
    """Return the thread to cut, mm: all pieces of it, no longer than an arm-span, with their tails."""
    return sum(piece.length for one in sewn for piece in one.route.pieces(arm_span))


def route_json(sewn: Sewn, arm_span: float) -> dict[str, Any]:
    """Return a thread's way as the pages show it; places in the piece's own mm."""
    route = sewn.route
    return {
        "piece": sewn.piece,
        "seams": list(dict.fromkeys(leg.seam for leg in route.legs)),
        "start": list(route.start),
        "knot": list(route.knot),
        "words": list(route.words(arm_span)),
        "again": route.again,
        "thread_mm": route.thread,
        "pieces": [asdict(piece) for piece in route.pieces(arm_span)],
    }


def _shortest(pattern: Pattern, piece: Piece, seams: Sequence[Seam]) -> tuple[Route, ...]:
    lines = [stitch_line(piece, seam.name) for seam in seams]
    thickness = {seam.name: seam.plies * pattern.measures["leather"] for seam in seams}
    ways = (sewing_routes(lines, thickness, link=link) for link in (None, 0.0))
    return min(ways, key=lambda way: sum(route.thread for route in way))
