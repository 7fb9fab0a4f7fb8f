"""The pages of a print: a first page with the map, then each page of each sheet with its rules, marks and words."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.output import paper_joints, paper_map
from server.output.paper import RULE, STRIP_LEFT, STRIP_TOP, Format
from server.output.paper_ink import Mark, Words, lines, of_laid, overlap, rule
from server.output.paper_plan import Box, Cell, Plan, Sheet
from server.output.paper_text import fitted, width

CORNER = 4.0
"""mm: the length of the ticks at the corners of the drawing's part of a page."""


@dataclass(frozen=True)
class Title:
    """What a print says of its pattern: its name, what it is, and its measures as (title, value) in words."""

    name: str
    what: str = ""
    measures: Sequence[tuple[str, str]] = ()


@dataclass(frozen=True)
class Page:
    """One page.

    Attributes:
        number: counted from 1.
        width: mm of the file.
        height: mm of the file.
        format: margin, correction, window.
        own: what stands on it, true mm from the corner of what may be printed.
        drawing: what of its sheet shows through the window, in the sheet's mm.
        origin: the sheet's mm at the window's top left corner.
        window: left, top, right, bottom of the window, true mm as ``own``.
        pieces: titles of the pieces that show on it.

    """

    number: int
    width: float
    height: float
    format: Format
    own: tuple[Mark, ...]
    drawing: tuple[Mark, ...]
    origin: tuple[float, float]
    window: Box
    pieces: tuple[str, ...]


@dataclass(frozen=True)
class _Head:
    """What stands at the top of a page."""

    title: str
    about: str
    number: int
    pages: int


def pages(plan: Plan, title: Title) -> tuple[Page, ...]:
    """Return every page of a print, the first with title, measures, map and what to do."""
    numbers = list(_numbered(plan))
    own, used = paper_map.first_page(plan, numbers, title.name, title.what, title.measures)
    first = _page(plan.format, used, _Head(title.name, "first page", 1, plan.pages), own)
    rest = itertools.chain.from_iterable(
        _sheet_pages(plan, sheet, of, letter, title.name)
        for sheet, of, letter in zip(plan.sheets, numbers, _letters(plan), strict=True)
    )
    return (first, *rest)


def _numbered(plan: Plan) -> Iterator[dict[Cell, int]]:
    """The pages' numbers of each sheet by (column, row), row by row; the first page of the print is 1."""
    number = itertools.count(2)
    for sheet in plan.sheets:
        yield {cell: next(number) for cell in sheet.cells}


def _letters(plan: Plan) -> list[int]:
    counts = [paper_joints.count(plan, sheet) for sheet in plan.sheets]
    return [sum(counts[:i]) for i in range(len(counts))]


def _sheet_pages(plan: Plan, sheet: Sheet, numbers: Mapping[Cell, int], letter: int, title: str) -> Iterator[Page]:
    marks: list[Mark] = [mark for laid in sheet.laid for mark in of_laid(laid)]
    marks += paper_joints.joints(plan, sheet, letter) + paper_joints.long_rules(sheet)
    for (column, row), number in numbers.items():
        head = _Head(title, _about(plan, sheet, column, row), number, plan.pages)
        own = [_moved(mark, STRIP_LEFT, STRIP_TOP) for mark in paper_joints.edges(plan, column, row, numbers)]
        yield _tile(plan, sheet, (column, row), head, own, marks)


def _about(plan: Plan, sheet: Sheet, column: int, row: int) -> str:
    """Titles of the pieces that show on a page of a sheet."""
    box = _shown(plan, column, row)
    found = dict.fromkeys(laid.piece.title for laid in sheet.laid if overlap(laid.box, box))
    return ", ".join(found)


def _shown(plan: Plan, column: int, row: int) -> Box:
    """What of its sheet a page shows: left, top, right, bottom, mm."""
    x, y, window = column * plan.step[0], row * plan.step[1], plan.format.window
    return x, y, x + window.width, y + window.height


def _tile(plan: Plan, sheet: Sheet, place: Cell, head: _Head, own: Sequence[Mark], marks: Sequence[Mark]) -> Page:
    """One page of a sheet: of the sheet's marks, those that show."""
    window = plan.format.window
    box = _shown(plan, *place)
    used = min(sheet.height - box[1], window.height)
    shown = tuple(mark for mark in marks if overlap(mark.box, box))
    return _page(plan.format, used, head, own, shown, box[:2])


def _page(
    form: Format,
    used: float,
    head: _Head,
    own: Sequence[Mark],
    drawing: tuple[Mark, ...] = (),
    origin: tuple[float, float] = (0.0, 0.0),
) -> Page:
    height = form.page_height(used)
    bottom = (height - 2.0 * form.margin) / form.correction.down
    right = STRIP_LEFT + form.window.width
    window = (STRIP_LEFT, STRIP_TOP, right, bottom)
    everything = (*_head(head, form, right), *_corners(window), *own)
    return Page(head.number, form.width, height, form, everything, drawing, origin, window, (head.about,))


def _head(head: _Head, form: Format, right: float) -> list[Mark]:
    """The strip above the drawing and the one left of it: title, number, both check rules, correction."""
    number = f"page {head.number} of {head.pages}"
    room = right - width(number, 2.8, bold=True) - 4.0
    beside = STRIP_LEFT + 4.0 * 25.4 + 4.0
    return [
        Words(fitted(f"{head.title} · {head.about}", 2.8, room), 0.0, 3.0, 2.8),
        Words(number, right, 3.0, 2.8, "end", bold=True),
        *rule(STRIP_LEFT, 9.0, RULE, upright=False),
        *rule(5.0, STRIP_TOP, RULE, upright=True),
        Words("0", STRIP_LEFT + 0.4, 6.2, 2.0),
        Words("100 mm", STRIP_LEFT + RULE, 6.2, 2.0, "end"),
        Words("4 in", STRIP_LEFT + 4.0 * 25.4 - 0.6, 13.2, 2.0, "end"),
        Words("100 mm and 4 in", 1.7, STRIP_TOP + RULE, 2.0, turn=-90.0),
        Words(fitted("print at 100 %", 2.0, right - beside), beside, 8.4, 2.0),
        Words(fitted(form.correction.words, 2.0, right - beside), beside, 11.4, 2.0),
    ]


def _corners(window: Box) -> list[Mark]:
    """Ticks at the corners of the drawing's part, outside it where there is room."""
    left, top, right, bottom = window
    short = CORNER / 4.0
    return [
        lines(
            "trim",
            ((left - CORNER, top), (left, top)),
            ((left, top - short), (left, top)),
            ((right, top - CORNER), (right, top)),
            ((left - CORNER, bottom), (left, bottom)),
            ((right - short, bottom), (right, bottom)),
            ((right, bottom - short), (right, bottom)),
        )
    ]


def _moved(mark: Mark, x: float, y: float) -> Mark:
    return paper_map.moved(mark, x, y)
