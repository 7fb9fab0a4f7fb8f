"""The work sheet as a PDF: cut list, thread list, blows, and each step with a picture of what the light shows."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

from server.leather.piece import Piece
from server.output.paper import SIZES, PaperSize
from server.output.paper_ink import lines_of
from server.output.paper_plan import Laid, laid
from server.output.paper_text import MM, font, legible
from server.output.pdf import Frame, put, trace

PICTURE = (56.0, 48.0)
"""mm: the room of a step's picture."""
MARGIN = 14.0
"""mm: the empty edge of the page."""
PADDING = 6.0 / MM
"""mm that the library leaves empty inside the edge."""
ABREAST = 56
"""Letters: shorter lines of a list stand in two columns."""
FAINT = 0.72
"""Grey of a piece's outline where the light does not show it."""
RULE_COLOUR = HexColor(0x999999)

Rows = Sequence[Sequence[str]]


@dataclass(frozen=True)
class SheetTable:
    """A titled list: the heads of its columns, its rows in words, and the share of the width of each column, if not usual."""

    title: str
    heads: Sequence[str]
    rows: Rows
    shares: Sequence[float] = ()


@dataclass(frozen=True)
class SheetStep:
    """One step: its words, and the piece whole and with only what the light shows.

    ``lists`` are (title, lines) such as the blows of a seam, with "" for a list that goes on; ``waits`` what must rest, and how long.
    """

    title: str
    words: str
    light: str
    tools: str
    caution: str
    piece: Piece
    lit: Piece
    lists: Sequence[tuple[str, Sequence[str]]]
    waits: Sequence[str] = ()


@dataclass(frozen=True)
class WorkSheet:
    """Everything on a work sheet, in words."""

    title: str
    about: str
    mind: Sequence[str]
    tables: Sequence[SheetTable]
    steps: Sequence[SheetStep]


def work_sheet_pdf(sheet: WorkSheet, size: PaperSize = SIZES["A4"]) -> bytes:
    """Return a work sheet as a PDF, the same bytes each time."""
    out, edge = io.BytesIO(), MARGIN * MM
    height = size.height or size.width * 1.4
    document = SimpleDocTemplate(
        out,
        pagesize=(size.width * MM, height * MM),
        leftMargin=edge,
        rightMargin=edge,
        topMargin=edge,
        bottomMargin=edge + 4.0 * MM,
        title=legible(sheet.title),
        creator="Hidelight",
        invariant=1,
        initialFontName=font(),
    )
    room = size.width - 2.0 * MARGIN - 2.0 * PADDING
    story: list[Flowable] = [_text(sheet.title, "title"), _text(sheet.about), *_mind(sheet.mind)]
    story += [part for table in sheet.tables if table.rows for part in _table(table, room)]
    story += [part for number, step in enumerate(sheet.steps, 1) for part in _step(step, number, room)]

    def foot(canvas: Canvas, _: SimpleDocTemplate) -> None:
        canvas.setFont(font(), 2.6 * MM)
        canvas.drawString(edge, 9.0 * MM, legible(sheet.title))
        canvas.drawRightString(size.width * MM - edge, 9.0 * MM, f"work sheet, page {canvas.getPageNumber()}")

    document.build(story, onFirstPage=foot, onLaterPages=foot)
    return out.getvalue()


def _style(kind: str) -> ParagraphStyle:
    size, bold, after = {
        "title": (6.0, True, 1.5),
        "head": (4.2, True, 1.2),
        "step": (4.2, True, 1.0),
        "small": (2.9, False, 0.3),
        "list": (3.0, True, 0.4),
    }.get(kind, (3.4, False, 0.8))
    return ParagraphStyle(
        kind,
        fontName=font(bold),
        fontSize=size * MM,
        leading=1.32 * size * MM,
        spaceAfter=after * MM,
        spaceBefore={"head": 3.5, "step": 3.5, "list": 1.2}.get(kind, 0.0) * MM,
    )


def _text(words: str, kind: str = "plain") -> Paragraph:
    """A paragraph; what came from outside is words, never markup."""
    return Paragraph(escape(legible(words)), _style(kind))


def _mind(sentences: Sequence[str]) -> list[Flowable]:
    return [_text(f"! {sentence}") for sentence in sentences]


def _table(table: SheetTable, room: float) -> list[Flowable]:
    cells = [[_text(cell, "list") for cell in table.heads]]
    cells += [[_text(cell, "small") for cell in row] for row in table.rows]
    first = room * (0.4 if len(table.heads) > 2 else 0.5)
    widths = table.shares or [first / room, *[(1.0 - first / room) / (len(table.heads) - 1)] * (len(table.heads) - 1)]
    drawn = Table(cells, [share * room * MM for share in widths], repeatRows=1)
    drawn.setStyle(_LINES)
    return [_text(table.title, "head"), drawn, Spacer(1.0, 1.5 * MM)]


_LINES = TableStyle(
    [
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE_COLOUR),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0.0),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
    ]
)
_CLOSE = TableStyle(
    [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0.0),
        ("TOPPADDING", (0, 0), (-1, -1), 0.0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.0),
    ]
)
_BESIDE = TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0.0)])


def _step(step: SheetStep, number: int, room: float) -> list[Flowable]:
    wide = min(PICTURE[0], 0.42 * room)
    said: list[Flowable] = [_text(step.words), _text(step.light, "small"), _text(step.tools, "small")]
    said += [_text(wait) for wait in step.waits]
    if step.caution:
        said.append(_text(f"! {step.caution}"))
    beside = Table(
        [[Picture(step.piece, step.lit, wide, PICTURE[1]), said]], [wide * MM + 8.0, (room - wide) * MM - 8.0]
    )
    beside.setStyle(_BESIDE)
    found: list[Flowable] = [KeepTogether([_text(f"{number}. {step.title}", "step"), beside])]
    for title, lines in step.lists:
        found += [_text(title, "list")] if title else []
        found += _listed(lines, room)
    return found


def _listed(lines: Sequence[str], room: float) -> list[Flowable]:
    """Short lines in two columns, read down; long ones below each other."""
    if len(lines) < 6 or max(map(len, lines)) > ABREAST:
        return [_text(line, "small") for line in lines]
    down = -(-len(lines) // 2)
    cells = [_text(line, "small") for line in lines] + [_text("", "small")]
    drawn = Table([cells[row : row + down + 1 : down] for row in range(down)], [room * MM / 2.0] * 2)
    drawn.setStyle(_CLOSE)
    return [drawn]


class Picture(Flowable):  # type: ignore[misc]  # the library has no types
    """A piece drawn small, as large as fits in (width, height) mm: its outline faint, and dark what the light shows."""

    def __init__(self, piece: Piece, lit: Piece, width: float, height: float) -> None:
        super().__init__()
        whole = laid(piece, 0.0, 0.0, False)
        self._faint = Laid(Piece(piece.name, piece.title, piece.drawn[:1]), whole.placement, 0.0, 0.0)
        self._lit = Laid(lit, whole.placement, 0.0, 0.0)
        self._scale = min(width / (whole.width + 2.0), height / (whole.height + 2.0), 1.0)
        self._size = (self._scale * (whole.width + 2.0) * MM, self._scale * (whole.height + 2.0) * MM)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Return the room it takes, points."""
        return self._size

    def draw(self) -> None:
        """Draw it on the page under way."""
        canvas: Canvas = self.canv
        scale = self._scale * MM
        frame = Frame(0.0, self._size[1], scale, scale)
        canvas.setStrokeGray(FAINT)
        canvas.setLineWidth(0.6)
        path = canvas.beginPath()
        for drawn in self._faint.piece.drawn:
            trace(path, drawn.path.transformed(self._faint.placement), frame)
        canvas.drawPath(path)
        for mark in lines_of(self._lit):
            put(canvas, mark, frame)
