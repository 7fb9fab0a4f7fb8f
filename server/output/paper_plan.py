"""Where the pieces of a pattern lie on paper: on single pages where they fit, else on sheets of several pages.

Pieces that fit a page are laid in shelves, the highest first (next-fit decreasing height, Coffman, Garey, Johnson and
Tarjan, SIAM J. Comput. 9, 1980; here each is tried in every shelf, so first-fit). Others get a sheet of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from calibration.refusal import Refusal
from server.geometry.placement import Placement
from server.leather.piece import Piece
from server.output.paper import LEAST_WINDOW, MOST_COPIES, Choices, Format, Window, formats

MOST_PAGES = 400
"""A stack that nobody puts together; the first page counts too."""
BETWEEN = 6.0
"""mm between pieces on a page."""
AROUND = 1.0
"""mm between a piece and the edge of the drawing, for the width of its lines."""
BAND = 10.0
"""mm along the edge of a sheet of several pages, for the rule that runs across the joints."""
MOST_COLUMNS = 8
"""Pages across that are tried when several large pieces go on one sheet."""
FARTHEST = 1e6
"""mm: more than any sheet is long."""
MOST_PIECES = 400
"""Pieces printed at once, copies counted."""

Size = tuple[float, float]
Cell = tuple[int, int]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom, mm."""


@dataclass(frozen=True)
class Laid:
    """A piece on a sheet; the placement takes the piece's mm to the sheet's."""

    piece: Piece
    placement: Placement
    width: float
    height: float

    @property
    def box(self) -> Box:
        """Return the box round it on its sheet, mm."""
        left, top, right, bottom = self.piece.box()
        corners = self.placement.apply([(left, top), (right, bottom)])
        (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        return x0, y0, x1, y1


@dataclass(frozen=True)
class Sheet:
    """Pages that belong together, put side by side.

    Attributes:
        laid: what lies on it, in mm from its top left corner.
        cells: where its pages lie, (column, row) counted from 0, row by row; a page without any piece is left out.
        width: mm that are drawn on.
        height: mm that are drawn on.

    """

    laid: tuple[Laid, ...]
    cells: tuple[Cell, ...]
    width: float
    height: float

    @property
    def pages(self) -> int:
        """Return how many pages it takes."""
        return len(self.cells)

    @property
    def columns(self) -> int:
        """Return how many pages it is wide."""
        return 1 + max(column for column, _ in self.cells)

    @property
    def rows(self) -> int:
        """Return how many pages it is high."""
        return 1 + max(row for _, row in self.cells)


@dataclass(frozen=True)
class Plan:
    """The sheets of a print in order, on which paper, with which overlap (mm). The first page of the print is not in it."""

    format: Format
    overlap: float
    sheets: tuple[Sheet, ...]

    @property
    def pages(self) -> int:
        """Return how many pages the print has, with the first."""
        return 1 + sum(sheet.pages for sheet in self.sheets)

    @property
    def step(self) -> Size:
        """Return how far apart neighbouring pages of a sheet begin, mm."""
        return self.format.window.width - self.overlap, self.format.window.height - self.overlap


def plan(pieces: Sequence[Piece], choices: Choices) -> Plan:
    """Return the plan that needs the fewest pages (on a roll the least length) of those that the choices allow.

    Raises:
        Refusal: no piece chosen, an unknown piece, too many copies, or more than ``MOST_PAGES`` pages.

    """
    wanted = _wanted(pieces, dict(choices.copies))
    found = [_planned(wanted, one, choices.overlap) for one in formats(choices)]
    best = min(found, key=lambda one: (one.pages, sum(sheet.height for sheet in one.sheets)))
    if best.pages > MOST_PAGES:
        raise Refusal(
            f"This takes {best.pages} pages of {choices.size.title}: at most {MOST_PAGES} are made; "
            "choose larger paper, fewer pieces or fewer copies.",
            field="size",
        )
    return best


def _wanted(pieces: Sequence[Piece], copies: Mapping[str, int]) -> list[Piece]:
    names = [piece.name for piece in pieces]
    unknown = next((name for name in copies if name not in names), None)
    if unknown is not None:
        raise Refusal(f"There is no piece {unknown[:40]!r}: it has {', '.join(names)}.", field="pieces")
    if any(not 0 <= count <= MOST_COPIES for count in copies.values()):
        raise Refusal(f"At most {MOST_COPIES} copies of a piece are printed at once.", field="pieces")
    wanted = [piece for piece in pieces for _ in range(copies.get(piece.name, 0) if copies else 1)]
    if len(wanted) > MOST_PIECES:
        raise Refusal(f"That is {len(wanted)} pieces: at most {MOST_PIECES} are printed at once.", field="pieces")
    if not wanted:
        raise Refusal("No piece is chosen: choose at least one.", field="pieces")
    return wanted


def _planned(wanted: Sequence[Piece], form: Format, overlap: float) -> Plan:
    window = form.window
    small = [piece for piece in wanted if _fits_somehow(piece, window)]
    large = [piece for piece in wanted if not _fits_somehow(piece, window)]
    packed = min((sheets for lean in range(3) if (sheets := _packed(small, window, lean)) is not None), key=_effort)
    return Plan(form, overlap, (*packed, *_joined(large, window, overlap)))


def _effort(sheets: Sequence[Sheet]) -> tuple[int, float]:
    return len(sheets), sum(sheet.height for sheet in sheets)


def _size(piece: Piece) -> Size:
    """Width and height of a piece with its surroundings, mm."""
    left, top, right, bottom = piece.box()
    return right - left + 2.0 * AROUND, bottom - top + 2.0 * AROUND


def _fits(size: Size, window: Window) -> bool:
    return size[0] <= window.width + 1e-9 and size[1] <= window.height + 1e-9


def _fits_somehow(piece: Piece, window: Window) -> bool:
    return _fits(_size(piece), window) or _fits(_size(piece)[::-1], window)


def _packed(pieces: Iterable[Piece], window: Window, lean: int) -> tuple[Sheet, ...] | None:
    """Lay pieces in shelves; ``lean`` 0 leaves them as drawn, 1 lays them flat, 2 stands them up. None where one is too large."""
    turned = [(piece, *_turned(piece, window, lean)) for piece in pieces]
    turned.sort(key=lambda one: (-one[2][1], -one[2][0]))
    pages: list[_PageOfShelves] = []
    for piece, turn, size in turned:
        if not any(page.take(piece, turn, size) for page in pages):
            pages.append(_PageOfShelves(window))
            if not pages[-1].take(piece, turn, size):
                return None
    return tuple(page.sheet() for page in pages)


def _turned(piece: Piece, window: Window, lean: int) -> tuple[bool, Size]:
    size = _size(piece)
    wished = (False, size[0] < size[1], size[0] > size[1])[lean]
    turn = wished if _fits(size[::-1] if wished else size, window) else not wished
    return turn, (size[::-1] if turn else size)


class _PageOfShelves:
    """A page being filled: shelves, each with its top, height and how far it is filled, mm."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._shelves: list[list[float]] = []
        self._laid: list[Laid] = []

    def take(self, piece: Piece, turn: bool, size: Size) -> bool:
        """Lay the piece if there is room for it; return whether there was."""
        shelf = next((one for one in self._shelves if self._has_room(one, size)), None) or self._new_shelf(size)
        if shelf is None:
            return False
        x = shelf[2]
        self._laid.append(laid(piece, x, shelf[0], turn))
        shelf[2] = x + size[0] + BETWEEN
        return True

    def _has_room(self, shelf: Sequence[float], size: Size) -> bool:
        return size[1] <= shelf[1] + 1e-9 and shelf[2] + size[0] <= self._window.width + 1e-9

    def _new_shelf(self, size: Size) -> list[float] | None:
        top = self._shelves[-1][0] + self._shelves[-1][1] + BETWEEN if self._shelves else 0.0
        if top + size[1] > self._window.height + 1e-9 or size[0] > self._window.width + 1e-9:
            return None
        self._shelves.append([top, size[1], 0.0])
        return self._shelves[-1]

    def sheet(self) -> Sheet:
        """Return the filled page."""
        width = max(shelf[2] for shelf in self._shelves) - BETWEEN
        return Sheet(tuple(self._laid), ((0, 0),), width, self._shelves[-1][0] + self._shelves[-1][1])


def laid(piece: Piece, x: float, y: float, turn: bool) -> Laid:
    """Return a piece laid with its surroundings' top left corner at (x, y) mm, turned a quarter clockwise or not."""
    left, top, right, bottom = piece.box()
    width, height = right - left, bottom - top
    if turn:
        at = Placement(x + AROUND + bottom, y + AROUND - left, 90.0)
        return Laid(piece, at, height, width)
    return Laid(piece, Placement(x + AROUND - left, y + AROUND - top), width, height)


def _joined(large: Sequence[Piece], window: Window, overlap: float) -> tuple[Sheet, ...]:
    """Lay pieces that fit no page: each on a sheet of its own, or all on one, whichever takes fewer pages."""
    alone = tuple(_tiled(piece, window, overlap) for piece in large)
    together = [
        sheet
        for columns in range(1, MOST_COLUMNS + 1)
        for lean in range(3)
        if len(large) > 1 and (sheet := _together(large, window, overlap, columns, lean)) is not None
    ]
    return min([alone, *((sheet,) for sheet in together)], key=lambda sheets: sum(sheet.pages for sheet in sheets))


def _together(large: Sequence[Piece], window: Window, overlap: float, columns: int, lean: int) -> Sheet | None:
    """Lay pieces in shelves on one sheet so many pages wide; None where one is too wide for it."""
    step = window.width - overlap
    pages = _packed(large, Window(columns * step + overlap - BAND, FARTHEST), lean)
    if pages is None or len(pages) != 1:
        return None
    sheet = pages[0]
    moved = tuple(replace(one, placement=_beside_the_rules(one.placement)) for one in sheet.laid)
    width, height = sheet.width + BAND, sheet.height + BAND
    return Sheet(moved, _cells(moved, (width, height), window, overlap), width, height)


def _beside_the_rules(placement: Placement) -> Placement:
    return replace(placement, x=placement.x + BAND, y=placement.y + BAND)


def _tiled(piece: Piece, window: Window, overlap: float) -> Sheet:
    """Give a piece that fits no page a sheet of its own, turned the way that needs fewer pages."""
    size = _size(piece)
    ways = [(_cut_up(size, window, overlap), False), (_cut_up(size[::-1], window, overlap), True)]
    (_, _, band_x, band_y), turn = min(ways, key=lambda way: way[0][0] * way[0][1])
    width, height = (size[::-1] if turn else size)[0] + band_x, (size[::-1] if turn else size)[1] + band_y
    there = (laid(piece, band_x, band_y, turn),)
    return Sheet(there, _cells(there, (width, height), window, overlap), width, max(height, LEAST_WINDOW))


def _cells(there: Sequence[Laid], size: Size, window: Window, overlap: float) -> tuple[Cell, ...]:
    """The pages of a sheet of a size (mm) on which something lies."""
    step_x, step_y = window.width - overlap, window.height - overlap
    boxes = [one.box for one in there]

    def used(column: int, row: int) -> bool:
        x, y = column * step_x, row * step_y
        return any(b[0] < x + window.width and b[2] > x and b[1] < y + window.height and b[3] > y for b in boxes)

    columns, rows = _count(size[0], window.width, overlap), _count(size[1], window.height, overlap)
    return tuple((column, row) for row in range(rows) for column in range(columns) if used(column, row))


def _cut_up(size: Size, window: Window, overlap: float) -> tuple[int, int, float, float]:
    """Columns, rows, and the bands (mm) at the left and the top that the rules across the joints take."""
    band_x = band_y = 0.0
    while True:
        columns = _count(size[0] + band_x, window.width, overlap)
        rows = _count(size[1] + band_y, window.height, overlap)
        needed = (BAND if rows > 1 else 0.0, BAND if columns > 1 else 0.0)
        if needed == (band_x, band_y):
            return columns, rows, band_x, band_y
        band_x, band_y = max(needed[0], band_x), max(needed[1], band_y)
        if needed[0] < band_x or needed[1] < band_y:
            return columns, rows, band_x, band_y


def _count(length: float, window: float, overlap: float) -> int:
    return 1 if length <= window + 1e-9 else math.ceil((length - overlap) / (window - overlap) - 1e-9)
