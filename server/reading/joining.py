"""Open lines of one look whose ends meet become one line: many programs write an outline as loose lines and arcs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.spatial import cKDTree

from server.reading.sheet import Array, Look, Sheet, SheetLine, extent

TOLERANCE = 0.05
"""mm: ends nearer than this are one point; a knife cannot tell."""
_SHARE = 1e-4
"""The same as a share of the drawing's diagonal, where its scale is not known."""


def joined(sheet: Sheet) -> Sheet:
    """Return the sheet with open lines joined wherever exactly two ends of one look meet; where three meet none are."""
    tolerance = TOLERANCE
    if not sheet.unit_known:
        tolerance = min(TOLERANCE, _SHARE * float(np.hypot(*extent(sheet.lines))))
    groups: dict[tuple[Look, int], list[int]] = {}
    for index, line in enumerate(sheet.lines):
        if not line.closed:
            groups.setdefault((line.look, line.page), []).append(index)
    kept: dict[int, SheetLine | None] = dict(enumerate(sheet.lines))
    for members in groups.values():
        for chain, closed in _chains([sheet.lines[i].points for i in members], tolerance):
            first = members[min(abs(link) - 1 for link in chain)]
            for link in chain:
                kept[members[abs(link) - 1]] = None
            strip = [sheet.lines[members[abs(link) - 1]].points[:: 1 if link > 0 else -1] for link in chain]
            points = _strung(strip, closed)
            # out and back on the same two points is a line, not a ring
            kept[first] = replace(sheet.lines[first], points=points, closed=closed and len(points) > 2)
    return replace(sheet, lines=tuple(line for line in kept.values() if line is not None))


def _chains(lines: Sequence[Array], tolerance: float) -> list[tuple[list[int], bool]]:
    """Chains of two lines and more (or one that closes), each link the line's number from 1, negative when walked back."""
    partner = _partners(lines, tolerance)
    found: list[tuple[list[int], bool]] = []
    used: set[int] = set()
    starts = [end for end in range(2 * len(lines)) if partner[end] < 0]
    for start in [*starts, *range(2 * len(lines))]:
        if start // 2 in used:
            continue
        chain, closed = _follow(start, partner, used)
        if closed or len(chain) > 1:
            found.append((chain, closed))
    return found


def _follow(start: int, partner: list[int], used: set[int]) -> tuple[list[int], bool]:
    """Walk from one end of a line through its partners; ends are 2 i (start of line i) and 2 i + 1 (its end)."""
    chain: list[int] = []
    end = start
    while end // 2 not in used:
        line = end // 2
        used.add(line)
        chain.append(line + 1 if end % 2 == 0 else -(line + 1))
        across = partner[end ^ 1]
        if across < 0:
            return chain, False
        end = across
    return chain, end == start


def _partners(lines: Sequence[Array], tolerance: float) -> list[int]:
    """The one other end that meets each end, or -1 when there is none or more than one."""
    ends = np.array([point for line in lines for point in (line[0], line[-1])])
    if len(ends) < 3:
        apart = float(np.hypot(*(ends[0] - ends[1]))) if len(lines[0]) > 2 else np.inf
        return [1, 0] if apart <= tolerance else [-1, -1]
    far, near = cKDTree(ends).query(ends, k=3, distance_upper_bound=tolerance)
    alone = np.isfinite(far[:, 1]) & ~np.isfinite(far[:, 2])
    partner = [-1] * len(ends)
    for end in np.flatnonzero(alone).tolist():
        other = next(int(n) for n in near[end, :2] if n != end)
        if alone[other]:
            partner[end] = other
    return partner


def _strung(strip: Sequence[Array], closed: bool) -> Array:
    parts = [strip[0], *(points[1:] for points in strip[1:])]
    points = np.concatenate(parts)
    return points[:-1] if closed and len(points) > 2 else points
