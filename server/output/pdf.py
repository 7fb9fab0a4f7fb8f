"""Pages of paper as a PDF: true vector lines, arcs as Bezier curves within 0.001 mm, embedded fonts, the same bytes each time.

Here alone the y axis turns up, and here the printer's correction is applied. The file asks the reader not to scale it
(ISO 32000-1, 12.2, PrintScaling None).
"""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from server.geometry.path import Arc, Path, Point
from server.output.paper_ink import PENS, Ink, Mark, Words
from server.output.paper_pages import Page
from server.output.paper_text import MM, font, legible

ARC_ERROR = 0.001
"""mm: how far a Bezier curve may leave its arc."""
_QUARTER_ERROR = 2.73e-4
"""Of the radius: the error of a quarter turn as one cubic with handles 4/3 tan(angle/4); it shrinks with the sixth power
of the angle (Goldapp, Approximation of circular arcs by cubic polynomials, CAGD 8, 1991)."""


@dataclass(frozen=True)
class Frame:
    """Where millimetres lie in a file's points: the points of the origin, points in a mm across and down, and a shift in mm."""

    left: float
    top: float
    across: float = MM
    down: float = MM
    shift: Point = (0.0, 0.0)

    def at(self, point: Point) -> Point:
        """Return the points of a place in mm."""
        return (
            self.left + (point[0] + self.shift[0]) * self.across,
            self.top - (point[1] + self.shift[1]) * self.down,
        )


def frame_of(page: Page) -> Frame:
    """Return where the true mm of a page lie, from the corner of what may be printed, with the printer's correction."""
    form = page.format
    left, top = form.margin * MM, (page.height - form.margin) * MM
    return Frame(left, top, form.correction.across * MM, form.correction.down * MM)


def pdf(pages: Sequence[Page], title: str) -> bytes:
    """Return the pages as a PDF file."""
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=font(), pdfVersion=(1, 6))
    canvas.setTitle(legible(title))
    canvas.setCreator("Hidelight")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        _draw(canvas, page)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Canvas, page: Page) -> None:
    canvas.setPageSize((page.width * MM, page.height * MM))
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    own = frame_of(page)
    for mark in page.own:
        put(canvas, mark, own)
    if page.drawing:
        canvas.saveState()
        _clip(canvas, page, own)
        shown = replace(own, shift=(page.window[0] - page.origin[0], page.window[1] - page.origin[1]))
        for mark in page.drawing:
            put(canvas, mark, shown)
        canvas.restoreState()


def _clip(canvas: Canvas, page: Page, frame: Frame) -> None:
    """Nothing of the drawing shows outside the window."""
    left, top, right, bottom = page.window
    (x0, y0), (x1, y1) = frame.at((left, top)), frame.at((right, bottom))
    path = canvas.beginPath()
    path.rect(x0, y1, x1 - x0, y0 - y1)
    canvas.clipPath(path, stroke=0, fill=0)


def put(canvas: Canvas, mark: Mark, frame: Frame) -> None:
    """Draw a mark."""
    if isinstance(mark, Words):
        _words(canvas, mark, frame)
    else:
        _ink(canvas, mark, frame)


def _ink(canvas: Canvas, mark: Ink, frame: Frame) -> None:
    pen = PENS[mark.look]
    canvas.setLineWidth(pen.width * MM)
    canvas.setStrokeGray(pen.grey)
    canvas.setDash([length * MM for length in pen.dash], 0)
    drawn = canvas.beginPath()
    for path in mark.paths:
        trace(drawn, path, frame)
    canvas.drawPath(drawn, stroke=1, fill=0)


def trace(drawn: PDFPathObject, path: Path, frame: Frame) -> None:
    """Add a path to a path of the file: lines as lines, arcs as curves."""
    drawn.moveTo(*frame.at(path.knots[0]))
    segments = path.segments
    for i, (segment, knot) in enumerate(zip(segments, path.knots[1:], strict=True)):
        if isinstance(segment, Arc):
            for first, second, end in curves(segment):
                drawn.curveTo(*frame.at(first), *frame.at(second), *frame.at(end))
        elif not (path.closed and i == len(segments) - 1):
            drawn.lineTo(*frame.at(knot))
    if path.closed:
        drawn.close()


def curves(arc: Arc) -> Iterator[tuple[Point, Point, Point]]:
    """Give the Bezier curves of an arc, each as (first handle, second handle, end), mm."""
    sweep = arc.sweep
    needed = (arc.radius * _QUARTER_ERROR / ARC_ERROR) ** (1.0 / 6.0)
    count = max(1, math.ceil(abs(sweep) / (math.pi / 2.0) * max(1.0, needed) - 1e-9))
    handle = 4.0 / 3.0 * math.tan(sweep / count / 4.0) * arc.radius
    angles = [sweep * i / count - arc.half for i in range(count + 1)]
    for before, after in itertools.pairwise(angles):
        (x0, y0), (ux, uy) = _on(arc, before)
        (x1, y1), (vx, vy) = _on(arc, after)
        yield (x0 - uy * handle, y0 + ux * handle), (x1 + vy * handle, y1 - vx * handle), (x1, y1)


def _on(arc: Arc, angle: float) -> tuple[Point, Point]:
    """The point of an arc at an angle from its middle, and the unit vector from the centre to it."""
    cos, sin = math.cos(angle), math.sin(angle)
    mx, my = arc.middle
    unit = (mx * cos - my * sin, mx * sin + my * cos)
    return (arc.centre[0] + arc.radius * unit[0], arc.centre[1] + arc.radius * unit[1]), unit


def _words(canvas: Canvas, words: Words, frame: Frame) -> None:
    x, y = frame.at((words.x, words.y))
    canvas.saveState()
    canvas.setFillGray(words.grey)
    canvas.setFont(font(words.bold), words.size * MM)
    canvas.translate(x, y)
    canvas.rotate(-words.turn)
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[words.align](0, 0, legible(words.text))
    canvas.restoreState()
