"""Assigned lines gathered into pieces: outlines by containment, and everything else into the piece it lies in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from calibration.refusal import Refusal
from server.geometry import nesting
from server.leather.piece import ROLES, Role
from server.reading.sheet import Array, Sheet, SheetLine

MOST_PIECES = 200
MOST_PLACINGS = 1_000_000
NEARLY_CLOSED = 1.0
"""mm: an outline with a smaller gap is closed, and that is said."""
_REACH = 0.5


@dataclass
class Part:
    """A piece under way: its outline, and by role the lines that lie in it, all in sheet mm."""

    outline: SheetLine
    lines: dict[Role, list[SheetLine]] = field(default_factory=dict)

    def add(self, role: Role, line: SheetLine) -> None:
        """Add a line."""
        self.lines.setdefault(role, []).append(line)

    def of(self, role: Role) -> list[SheetLine]:
        """Return the lines of a role."""
        return self.lines.get(role, [])


def gather(sheet: Sheet, roles: dict[Role, list[int]]) -> tuple[list[Part], list[str]]:
    """Return the pieces in the order of the file, and what is to be said: gaps closed, lines in no piece.

    A closed cut line in no other is a piece; one inside a piece is a slot; one inside a slot is a piece again.

    Raises:
        Refusal: no closed cut line, or more pieces than a pattern has.

    """
    said: list[str] = []
    cuts = [_closed(sheet.lines[i], said) for i in roles.get("cut", [])]
    rings = [line for line in cuts if line.closed]
    if not rings:
        open_ones = f"; {len(cuts)} cut lines are open" if cuts else ""
        raise Refusal(f"No closed line is assigned to be cut{open_ones}: a piece needs a closed outline.", field="cut")
    parts = _outlines(rings)
    if len(parts) > MOST_PIECES:
        raise Refusal(f"The sheet has {len(parts)} pieces, more than {MOST_PIECES}: assign fewer lines to be cut.")
    outlines = list(parts.values())
    inner = sum(len(roles.get(role, [])) for role in ROLES if role != "cut")
    if inner * len(outlines) > MOST_PLACINGS:
        raise Refusal(f"{inner} lines in {len(outlines)} pieces are too many to be sorted: leave some out.")
    lost: dict[str, int] = {}
    for line in (line for line in cuts if not line.closed):
        _place(outlines, "slot", line, "open cut lines", lost)
    for role in ("slot", "stitch", "hole", "fold", "mark"):
        for i in roles.get(role, []):
            _place(outlines, role, sheet.lines[i], f"{role} lines", lost)
    said += [f"{count} {what} lie in no piece and were left out." for what, count in lost.items()]
    return outlines, said


def _closed(line: SheetLine, said: list[str]) -> SheetLine:
    """Close a cut line whose ends nearly meet."""
    gap = float(np.hypot(*(line.points[0] - line.points[-1])))
    if line.closed or len(line.points) < 3 or gap > min(NEARLY_CLOSED, 0.05 * line.length):
        return line
    x, y = line.points[0].tolist()
    said.append(f"A cut line with a gap of {gap:.2f} mm at {x:.1f}, {y:.1f} mm was closed.")
    return SheetLine(line.points, True, line.look, line.page, line.filled)


def _outlines(rings: Sequence[SheetLine]) -> dict[int, Part]:
    around = [-1] * len(rings)
    for page in {ring.page for ring in rings}:
        members = [i for i, ring in enumerate(rings) if ring.page == page]
        for i, parent in zip(members, nesting.parents([rings[i].points for i in members]), strict=True):
            around[i] = members[parent] if parent >= 0 else -1
    depths = [_depth(i, around) for i in range(len(rings))]
    parts = {i: Part(ring) for i, ring in enumerate(rings) if depths[i] % 2 == 0}
    for i, ring in enumerate(rings):
        if depths[i] % 2:
            parts[around[i]].add("slot", ring)
    return parts


def _depth(index: int, around: list[int]) -> int:
    depth = 0
    while around[index] >= 0:
        index, depth = around[index], depth + 1
    return depth


def _place(parts: list[Part], role: Role, line: SheetLine, what: str, lost: dict[str, int]) -> None:
    """Put a line into the smallest piece that holds most of it."""
    best: tuple[float, float, Part] | None = None
    for part in parts:
        if part.outline.page != line.page or _apart(part.outline, line):
            continue
        share = nesting.share_inside(part.outline.points, line.points, _REACH)
        rank = (round(share, 1), -nesting.ring_area(part.outline.points))
        if share >= 0.5 and (best is None or rank > best[:2]):
            best = (*rank, part)
    if best is None:
        lost[what] = lost.get(what, 0) + 1
    else:
        best[2].add(role, line)


def _apart(one: SheetLine, other: SheetLine) -> bool:
    left, top, right, bottom = one.box
    l2, t2, r2, b2 = other.box
    return l2 > right + _REACH or r2 < left - _REACH or t2 > bottom + _REACH or b2 < top - _REACH


def centres(lines: Sequence[SheetLine]) -> Array:
    """Return the middles of small rings (n, 2), mm: the holes they stand for, those within 0.01 mm of each other once."""
    middles = np.array([(line.points.min(axis=0) + line.points.max(axis=0)) / 2.0 for line in lines]).reshape(-1, 2)
    _, first = np.unique(np.round(middles, 2), axis=0, return_index=True)
    return middles[np.sort(first)]
