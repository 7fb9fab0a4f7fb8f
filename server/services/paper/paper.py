"""Paper, when it is wanted: a saved pattern as pages to print, as a work sheet, and as drawings for other programs."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from server.errors import Refusal
from server.leather.pattern import Pattern
from server.output.dxf import pieces_dxf
from server.output.paper import ROLL_WIDTHS, SIZES, TURNS, Choices, Correction, correction
from server.output.paper_pages import Page, Title, pages
from server.output.paper_plan import Plan, plan
from server.output.paper_sheet import work_sheet_pdf
from server.output.paper_svg import page_svg
from server.output.pdf import pdf
from server.services.making.making import Making
from server.services.making.sheet import written
from server.services.paper.paper_choices import read_choices, read_size
from server.services.paper.paper_printers import Printers
from server.services.paper.paper_sheet import work_sheet
from server.services.pattern import drafted
from server.store import patterns, things
from server.store.database import Database
from server.store.records import PatternRecord

PRINTS_KEPT = 8
"""Prints that are kept at hand while their preview is looked at."""

Typed = Mapping[str, str]


def printed(pattern: Pattern, name: str, choices: Choices) -> tuple[Plan, tuple[Page, ...]]:
    """Return the plan and the pages of a pattern; ``name`` is what the maker calls it.

    Raises:
        Refusal: what was chosen does not go together, or takes too many pages.

    """
    known = {measure.name: measure for measure in drafted.measures(pattern.family)}
    measures = [
        (known[key].title, written(known[key], value)) for key, value in pattern.measures.items() if key in known
    ]
    made = plan(pattern.pieces, choices)
    return made, pages(made, Title(name, pattern.title if pattern.title != name else "", measures))


class Paper:
    """The maker's verbs about paper."""

    def __init__(self, database: Database, making: Making) -> None:
        self._database, self._making = database, making
        self.printers = Printers(database)
        self._printed = lru_cache(maxsize=PRINTS_KEPT)(self._print)

    def preview(self, number: int, typed: Typed) -> dict[str, Any]:
        """Return what a print would be: its choices as understood, pages, sheets, and the printers known."""
        choices = self._choices(typed)
        made, drawn = self._printed(number, self._name(number), choices)
        return {
            "name": self._name(number),
            "page_count": len(drawn),
            "pages": [_page(page) for page in drawn],
            "joined": sum(sheet.pages > 1 for sheet in made.sheets),
            "turn": "landscape" if made.format.height and made.format.width > made.format.height else "portrait",
            "paper": made.format.title,
            "correction": made.format.correction.words,
            "window_mm": [made.format.window.width, made.format.window.height],
        }

    def offered(self, number: int) -> dict[str, Any]:
        """Return what can be chosen: papers, ways to lie, pieces, printers, and the usual margin and overlap."""
        record, usual = self._record(number), Choices()
        pattern = drafted.of_pattern(record)
        return {
            "name": self._name(number),
            "title": pattern.title,
            "thing": record.thing_id,
            "sizes": [{"name": size.name, "title": size.title} for size in SIZES.values()],
            "roll_mm": list(ROLL_WIDTHS),
            "turns": list(TURNS),
            "margin_mm": usual.margin,
            "overlap_mm": usual.overlap,
            "pieces": [
                {"name": piece.name, "title": piece.title, "size_mm": _size(piece.box())} for piece in pattern.pieces
            ],
            "printers": self.printers.every(),
        }

    def pdf(self, number: int, typed: Typed) -> tuple[str, bytes]:
        """Return a file name and the print as a PDF."""
        record, name = self._record(number), self._name(number)
        _, drawn = self._printed(number, name, self._choices(typed))
        return f"{record.family}-{record.id}.pdf", pdf(drawn, name)

    def page(self, number: int, typed: Typed, which: int) -> str:
        """Return one page of the print as an SVG picture; refused (404) when it has no such page."""
        _, drawn = self._printed(number, self._name(number), self._choices(typed))
        if not 1 <= which <= len(drawn):
            raise Refusal(f"The print has {len(drawn)} pages, so no page {which}.", status=404)
        return page_svg(drawn[which - 1])

    def work_sheet(self, number: int, size: str) -> tuple[str, bytes]:
        """Return a file name and the work sheet as a PDF on paper of a size."""
        record = self._record(number)
        sheet = work_sheet(self._making.sheet(number), drafted.of_pattern(record))
        return f"{record.family}-{record.id}-work-sheet.pdf", work_sheet_pdf(sheet, read_size(size))

    def dxf(self, number: int) -> tuple[str, str]:
        """Return a file name and the pattern as DXF."""
        record = self._record(number)
        return f"{record.family}-{record.id}.dxf", pieces_dxf(drafted.of_pattern(record).pieces, record.title)

    def _choices(self, typed: Typed) -> Choices:
        return read_choices(typed, self.printers.correction(typed.get("printer", "").strip()))

    def _print(self, number: int, name: str, choices: Choices) -> tuple[Plan, tuple[Page, ...]]:
        return printed(drafted.of_pattern(self._record(number)), name, choices)

    def _record(self, number: int) -> PatternRecord:
        with self._database.reading() as session:
            return patterns.get(session, number)

    def _name(self, number: int) -> str:
        with self._database.reading() as session:
            return things.get(session, patterns.get(session, number).thing_id).name


def _page(page: Page) -> dict[str, Any]:
    form = page.format
    return {
        "number": page.number,
        "about": ", ".join(page.pieces),
        "width_mm": page.width / form.correction.across,
        "height_mm": page.height / form.correction.down,
    }


def _size(box: tuple[float, float, float, float]) -> list[float]:
    left, top, right, bottom = box
    return [right - left, bottom - top]


def corrected(words: str) -> Correction:
    """Return the correction for what both rules measured, as a command line gives it: "99.2,99.6" (mm).

    Raises:
        Refusal: not two numbers, or more than 5 % off.

    """
    try:
        across, down = (float(part) for part in words.split(","))
    except ValueError:
        across = down = math.nan
    if not (math.isfinite(across) and math.isfinite(down)):
        raise Refusal(
            f"--measured is {words[:40]!r}; write what both rules measured, such as 99.2,99.6.", field="measured"
        )
    return correction(across, down)
