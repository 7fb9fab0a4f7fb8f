"""What lines look like they are for, by their shape alone: round rows of holes, rings inside rings, lines beside an edge."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from server.geometry import nesting
from server.reading.assignment import Choice
from server.reading.sheet import Page, Sheet, SheetLine

LARGEST_HOLE = 4.0
"""mm: a row of round things no larger than this is a row of stitch holes; common practice, no source."""
FEWEST_HOLES = 4
STITCH_REACH = (1.0, 15.0)
"""mm from the edge within which a line that runs along it is a stitch line; common practice, no source."""
_MOST_ROUND = 20
"""Outlines that an open line is tried in."""
_EVEN = 0.15
_SAME = 0.08
_LEAST_AREA = 0.005
"""Share of the largest outline's area below which a ring outside everything is a sign and no piece."""


@dataclass(frozen=True)
class Guess:
    """What a line is taken for, and why, as the end of a sentence."""

    choice: Choice
    why: str


def guesses(sheet: Sheet) -> list[Guess]:
    """Return a guess for each line of a sheet, in order."""
    found: dict[int, Guess] = {}
    for page in sorted({line.page for line in sheet.lines}):
        members = [i for i, line in enumerate(sheet.lines) if line.page == page]
        size = next((p for p in sheet.pages if p.number == page), None)
        _page(sheet, members, size, found)
    return [found[i] for i in range(len(sheet.lines))]


def _page(sheet: Sheet, members: list[int], size: Page | None, found: dict[int, Guess]) -> None:
    lines = sheet.lines
    for i in members:
        if lines[i].filled and lines[i].look.colour == "#ffffff":
            found[i] = Guess("ignore", "it is a white area")
        elif size is not None and _is_frame(lines[i], size, sheet.kind):
            found[i] = Guess("ignore", "it is the frame of the page")
    for i in _round_rows(sheet, [i for i in members if i not in found]):
        found[i] = Guess("hole", "they are small, round and alike")
    rings = [i for i in members if i not in found and lines[i].closed]
    around = nesting.parents([lines[i].points for i in rings])
    areas = [nesting.ring_area(lines[i].points) for i in rings]
    largest = max(areas, default=0.0)
    outer = [lines[i] for i, parent in zip(rings, around, strict=True) if parent < 0]
    boxes = np.array([line.box for line in outer]).reshape(-1, 4)
    for i, parent, area in zip(rings, around, areas, strict=True):
        if parent < 0:
            small = area < _LEAST_AREA * largest
            found[i] = Guess("mark", "they are small signs outside every piece") if small else _OUTER
        else:
            beside = _runs_beside(lines[i], lines[rings[parent]])
            found[i] = _BESIDE if beside else Guess("slot", "they are closed and lie inside another line")
    for i in members:
        if i not in found:
            left, top, right, bottom = lines[i].box
            near = (
                (boxes[:, 0] <= left + 1)
                & (boxes[:, 1] <= top + 1)
                & (boxes[:, 2] >= right - 1)
                & (boxes[:, 3] >= bottom - 1)
            )
            found[i] = _open(lines[i], [outer[j] for j in np.flatnonzero(near)[:_MOST_ROUND].tolist()])


_OUTER = Guess("cut", "they are closed and lie inside no other")
_BESIDE = Guess("stitch", "they run along the edge at an even distance")


def _open(line: SheetLine, outer: list[SheetLine]) -> Guess:
    for ring in outer:
        if nesting.share_inside(ring.points, line.points, 0.5) < 0.95:
            continue
        if _runs_beside(line, ring):
            return _BESIDE
        ends = nesting.distances(ring.points, line.points[[0, -1]])
        if len(line.points) == 2 and float(ends.max()) <= 1.0:
            return Guess("fold", "they run straight from edge to edge")
        return Guess("mark", "they are open and lie inside a piece")
    return Guess("mark", "they are open and lie outside every piece")


def _runs_beside(line: SheetLine, ring: SheetLine) -> bool:
    """Whether a line keeps an even distance from an edge for a good part of it."""
    if line.length < 0.2 * ring.length:
        return False
    apart = nesting.distances(ring.points, nesting.sampled(line.points))
    middle = float(np.median(apart))
    even = float(np.mean(np.abs(apart - middle) <= max(0.3, _EVEN * middle)))
    return STITCH_REACH[0] <= middle <= STITCH_REACH[1] and even >= 0.85


def _is_frame(line: SheetLine, page: Page, kind: str) -> bool:
    """Whether a line is an upright box as large as its page; a DXF has no page."""
    if kind == "dxf" or not line.closed or len(line.points) > 5:
        return False
    left, top, right, bottom = line.box
    slack = 0.005 * max(page.width, page.height)
    edges = (abs(left), abs(top), abs(right - page.width), abs(bottom - page.height))
    return max(edges) <= slack


def _round_rows(sheet: Sheet, members: list[int]) -> list[int]:
    """Small round rings of which there are several of one size and look."""
    sizes: dict[int, tuple[str, int]] = {}
    for i in members:
        line = sheet.lines[i]
        left, top, right, bottom = line.box
        width, height = right - left, bottom - top
        if not line.closed or len(line.points) < 8 or not 0.0 < max(width, height) <= LARGEST_HOLE:
            continue
        out = np.hypot(*(line.points - [(left + right) / 2.0, (top + bottom) / 2.0]).T)
        if abs(width - height) <= _SAME * width and float(np.ptp(out)) <= _SAME * width:
            sizes[i] = (line.look.key, round(float(np.log(width)) / _SAME))
    counts = Counter(sizes.values())
    return [i for i, size in sizes.items() if counts[size] >= FEWEST_HOLES]
