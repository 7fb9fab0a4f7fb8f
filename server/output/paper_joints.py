"""What helps to put the pages of one sheet together: letters that meet, edges to cut and to lay on, rules across."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from server.output.paper_ink import Ink, Mark, Words, diamond, ink, lines
from server.output.paper_plan import BAND, Cell, Plan, Sheet

REACH = 4.0
"""mm from the middle of a joining mark to its corners."""
SHARES = (0.25, 0.75)
"""Where along the joint of two pages the joining marks stand."""
SMALL = 2.0
"""mm: the size of small print."""


def joints(plan: Plan, sheet: Sheet, first: int) -> list[Mark]:
    """Return the joining marks of a sheet, in its mm: two diamonds on each edge where two pages meet, and their letters.

    A diamond has its middle on the edge that is cut, so that half of it is on either page; ``first`` is the number of
    the first letter, counted from 0.
    """
    found: list[Mark] = []
    for number, (x, y, beside) in enumerate(_places(plan, sheet), start=first):
        away = (1.7, 0.0) if beside else (0.0, 1.7)
        found.append(ink("joint", diamond(x, y, REACH)))
        found += [
            Words(letters(number), x + sign * away[0], y + sign * away[1] + 0.6, 1.7, "middle", grey=0.2)
            for sign in (-1.0, 1.0)
        ]
    return found


def count(plan: Plan, sheet: Sheet) -> int:
    """Return how many joining marks a sheet has."""
    return len(list(_places(plan, sheet)))


def _places(plan: Plan, sheet: Sheet) -> Iterator[tuple[float, float, bool]]:
    """Where the marks stand, mm, and whether the two pages lie beside each other (else one above the other)."""
    (step_x, step_y), cells = plan.step, set(sheet.cells)
    for column, row in sheet.cells:
        if (column - 1, row) in cells:
            top, room = row * step_y + plan.overlap, step_y - plan.overlap
            yield from ((column * step_x, top + share * room, True) for share in SHARES)
        if (column, row - 1) in cells:
            left, room = column * step_x + plan.overlap, step_x - plan.overlap
            yield from ((left + share * room, row * step_y, False) for share in SHARES)


def letters(number: int) -> str:
    """Return A, B, ... Z, AA, AB, ... for 0, 1, ..."""
    found = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        found = chr(ord("A") + rest) + found
    return found


def long_rules(sheet: Sheet) -> list[Mark]:
    """Return the rules that run across the joints of a sheet: along its top, along its left, marked each 10 mm."""
    found: list[Mark] = []
    if sheet.columns > 1:
        found += _long_rule(sheet.width, False)
    if sheet.rows > 1:
        found += _long_rule(sheet.height, True)
    return found


def _long_rule(length: float, upright: bool) -> Iterator[Mark]:
    """A rule from the band's end on, in parts of 100 mm, so that a page is given only those that show on it."""
    at, tens = BAND - 3.0, int((length - BAND) // 10.0)

    def place(along: float, off: float) -> tuple[float, float]:
        return (at - off, BAND + along) if upright else (BAND + along, at - off)

    for first in range(0, tens + 1, 10):
        last = min(first + 10, tens)
        ticks = [(place(10.0 * i, 0.0), place(10.0 * i, 3.0 if i % 5 == 0 else 1.6)) for i in range(first, last + 1)]
        yield lines("rule", (place(10.0 * first, 0.0), place(10.0 * last, 0.0)), *ticks)
    for i in range(0, tens + 1, 5):
        x, y = place(10.0 * i, 3.4)
        yield Words(f"{10 * i}", x, y, SMALL, "middle", -90.0 if upright else 0.0, 0.2)


def edges(plan: Plan, column: int, row: int, numbers: Mapping[Cell, int]) -> list[Mark]:
    """Return the edges of one page of a sheet, in the window's mm: those to cut, and those another page is laid up to.

    ``numbers`` are the pages' numbers by (column, row).
    """
    window = plan.format.window
    (step_x, step_y), found = plan.step, list[Mark]()
    if (column - 1, row) in numbers:
        found.append(_edge("trim", 0.0, 0.0, 0.0, window.height))
        found.append(_small(f"Cut here, lay on page {numbers[column - 1, row]}", -1.2, window.height - 1.0, -90.0))
    if (column, row - 1) in numbers:
        found.append(_edge("trim", 0.0, 0.0, window.width, 0.0))
        found.append(_small(f"Cut here, lay on page {numbers[column, row - 1]}", 0.0, -0.6, 0.0))
    if (column + 1, row) in numbers and plan.overlap > 0.0:
        found.append(_edge("lap", step_x, 0.0, step_x, window.height))
        found.append(_lap(numbers[column + 1, row], step_x + 2.6, window.height - 1.0, -90.0, plan.overlap))
    if (column, row + 1) in numbers and plan.overlap > 0.0:
        found.append(_edge("lap", 0.0, step_y, window.width, step_y))
        found.append(_lap(numbers[column, row + 1], 1.0, step_y + 2.6, 0.0, plan.overlap))
    return [mark for mark in found if isinstance(mark, Ink) or mark.text]


def _edge(look: str, x0: float, y0: float, x1: float, y1: float) -> Ink:
    return lines("trim" if look == "trim" else "lap", ((x0, y0), (x1, y1)))


def _small(text: str, x: float, y: float, turn: float) -> Words:
    return Words(text, x, y, SMALL, "start", turn, 0.3)


def _lap(page: int, x: float, y: float, turn: float, overlap: float) -> Words:
    """What stands under the page that is laid over; nothing where the overlap is too narrow for it."""
    return _small(f"Page {page} comes up to this line" if overlap >= 4.0 else "", x, y, turn)
