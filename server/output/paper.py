"""Paper: sheet sizes, what a maker chooses for a print, and the printer's correction. Millimetres, x right, y down.

Lengths on a page are true lengths on the printed paper, from the top left corner of what may be printed. Only ``pdf``
knows the file's own numbers: there the correction is applied and the y axis turns up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, get_args

from calibration.refusal import Refusal

Turn = Literal["auto", "portrait", "landscape"]
TURNS: tuple[Turn, ...] = get_args(Turn)

STRIP_LEFT = 8.0
"""mm left of the drawing on each page, for the upright check rule."""
STRIP_TOP = 14.0
"""mm above the drawing on each page, for the title, the page's number and the lying check rule."""
LEAST_WINDOW = 105.0
"""mm: the drawing's part of a page is at least this wide and high, because the check rules stand along it."""
LONGEST_PAGE = 5000.0
"""mm: a PDF page is at most 14,400 points, 5,080 mm, long (ISO 32000-1, annex C.2)."""
ROLL_WIDTHS = (150.0, LONGEST_PAGE)
MARGINS = (0.0, 50.0)
OVERLAPS = (0.0, 50.0)
RULE = 100.0
"""mm: the length of a check rule."""
MOST_OFF = 0.05
"""A printer that is farther off than this share is not off but told to fit the page."""
MOST_COPIES = 50


@dataclass(frozen=True)
class PaperSize:
    """A kind of paper, upright: width and height in mm; a roll has no height (None)."""

    name: str
    title: str
    width: float
    height: float | None


_INCH = 25.4
SIZES: Mapping[str, PaperSize] = MappingProxyType(
    {
        size.name: size
        for size in (
            PaperSize("A5", "A5, 148 x 210 mm", 148.0, 210.0),
            PaperSize("A4", "A4, 210 x 297 mm", 210.0, 297.0),
            PaperSize("A3", "A3, 297 x 420 mm", 297.0, 420.0),
            PaperSize("A2", "A2, 420 x 594 mm", 420.0, 594.0),
            PaperSize("A1", "A1, 594 x 841 mm", 594.0, 841.0),
            PaperSize("A0", "A0, 841 x 1189 mm", 841.0, 1189.0),
            PaperSize("letter", "US letter, 8 1/2 x 11 in", 8.5 * _INCH, 11.0 * _INCH),
            PaperSize("legal", "US legal, 8 1/2 x 14 in", 8.5 * _INCH, 14.0 * _INCH),
            PaperSize("tabloid", "US tabloid, 11 x 17 in", 11.0 * _INCH, 17.0 * _INCH),
        )
    }
)
"""Sheets: the A series of ISO 216; the US sizes of ANSI/ASME Y14.1 (letter, tabloid) and common practice (legal)."""


def roll(width: float) -> PaperSize:
    """Return a roll of a width in mm, as long as needed; refused outside ``ROLL_WIDTHS``."""
    low, high = ROLL_WIDTHS
    if not (math.isfinite(width) and low <= width <= high):
        raise Refusal(f"The roll is {width:g} mm wide: choose {low:g} to {high:g} mm.", field="roll")
    return PaperSize("roll", f"roll, {width:g} mm wide", width, None)


@dataclass(frozen=True)
class Correction:
    """What the drawing is multiplied by so that this printer makes it true: across the page, and down it."""

    across: float = 1.0
    down: float = 1.0
    printer: str = ""

    @property
    def words(self) -> str:
        """Return what is corrected, as it stands on the page."""
        if self.across == 1.0 and self.down == 1.0:
            return "no correction"
        return f"{100.0 * (self.across - 1.0):+.2f} % across, {100.0 * (self.down - 1.0):+.2f} % down"


def correction(across: float, down: float, printer: str = "", before: Correction | None = None) -> Correction:
    """Return the correction for a printer whose 100 mm rules measure ``across`` and ``down`` mm.

    Args:
        across: what the lying rule measured, mm.
        down: what the upright rule measured, mm.
        printer: its name.
        before: the correction under which the measured page was printed.

    Raises:
        Refusal: a rule, or the correction in all, that is more than 5 % off; the field is the rule's.

    """
    first = before or Correction()
    factors = []
    for name, read, so_far in (("across", across, first.across), ("down", down, first.down)):
        factor = so_far * RULE / read if math.isfinite(read) and read > 0.0 else math.inf
        if not (abs(read - RULE) <= MOST_OFF * RULE + 1e-9 and abs(factor - 1.0) <= MOST_OFF / (1.0 - MOST_OFF)):
            raise Refusal(
                f"The 100 mm rule {name} the page measures {read:g} mm, more than 5 % off: "
                'print at 100 % ("actual size"), not fit to page, and measure again.',
                field=name,
            )
        factors.append(factor)
    return Correction(factors[0], factors[1], printer)


@dataclass(frozen=True)
class Choices:
    """What a maker chooses for a print.

    Attributes:
        size: the paper.
        turn: portrait, landscape, or whichever needs fewer pages ("auto").
        margin: mm along each edge of the paper where the printer cannot print.
        overlap: mm by which neighbouring pages show the same.
        copies: (name, how many) of each piece that is wanted; empty means one of each.
        correction: of the printer.

    """

    size: PaperSize = SIZES["A4"]
    turn: Turn = "auto"
    margin: float = 7.0
    overlap: float = 10.0
    copies: tuple[tuple[str, int], ...] = ()
    correction: Correction = Correction()

    def __post_init__(self) -> None:
        for name, value, (low, high) in (("margin", self.margin, MARGINS), ("overlap", self.overlap, OVERLAPS)):
            if not (math.isfinite(value) and low <= value <= high):
                raise Refusal(f"The {name} is {value:g} mm: choose {low:g} to {high:g} mm.", field=name)


@dataclass(frozen=True)
class Window:
    """The part of a page that the drawing may fill: width and height in true mm, right of and below the strips."""

    width: float
    height: float


@dataclass(frozen=True)
class Format:
    """A kind of paper lying one way: page size and margin in mm of the file, and the correction.

    ``height`` is None for a roll.
    """

    title: str
    width: float
    height: float | None
    margin: float
    correction: Correction

    @property
    def window(self) -> Window:
        """Return what the drawing may fill; a roll is filled as far as a page may be long."""
        height = LONGEST_PAGE if self.height is None else self.height
        return Window(
            (self.width - 2.0 * self.margin) / self.correction.across - STRIP_LEFT,
            (height - 2.0 * self.margin) / self.correction.down - STRIP_TOP,
        )

    def page_height(self, used: float) -> float:
        """Return how high a page is (mm of the file) whose drawing takes ``used`` true mm."""
        if self.height is not None:
            return self.height
        drawn = max(used, LEAST_WINDOW) + STRIP_TOP
        return min(drawn * self.correction.down + 2.0 * self.margin, LONGEST_PAGE)


def formats(choices: Choices) -> tuple[Format, ...]:
    """Return the ways in which the chosen paper may lie, portrait first.

    Raises:
        Refusal: the margin leaves too little for the check rules.

    """
    size = choices.size
    ways = [(size.width, size.height)] if choices.turn != "landscape" or size.height is None else []
    if size.height is not None and choices.turn != "portrait":
        ways.append((size.height, size.width))
    found = tuple(Format(size.title, w, h, choices.margin, choices.correction) for w, h in ways)
    fit = tuple(one for one in found if min(one.window.width, one.window.height) >= LEAST_WINDOW)
    if not fit:
        raise Refusal(
            f"A margin of {choices.margin:g} mm leaves no room for the check rules on {size.title}: choose a smaller one.",
            field="margin",
        )
    return fit
