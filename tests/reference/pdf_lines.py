"""A PDF read by PDFium (pypdfium2), not by what wrote it: the lines it strokes, in mm of the page, y down."""

from __future__ import annotations

import ctypes
import functools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
from numpy.typing import NDArray

Array = NDArray[np.float64]
MM = 72.0 / 25.4


@dataclass(frozen=True, eq=False)
class Stroke:
    """One subpath: its points (n, 2) mm, curves sampled finely; closed; the width of its line, mm; which object it is of."""

    points: Array
    closed: bool
    width: float
    item: int

    @functools.cached_property
    def size(self) -> Array:
        """Width and height, mm."""
        return np.asarray(np.ptp(self.points, axis=0), dtype=np.float64)

    @functools.cached_property
    def middle(self) -> Array:
        """The middle of its box, mm."""
        return np.asarray((self.points.min(axis=0) + self.points.max(axis=0)) / 2.0, dtype=np.float64)


@dataclass(frozen=True, eq=False)
class ReadPage:
    """A page: width and height in mm, and its strokes."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    text: str

    def items(self) -> dict[int, list[Stroke]]:
        """The strokes of each path object."""
        found: dict[int, list[Stroke]] = {}
        for stroke in self.strokes:
            found.setdefault(stroke.item, []).append(stroke)
        return found


def read_pdf(data: bytes) -> list[ReadPage]:
    """Return every page of a PDF."""
    document = pdfium.PdfDocument(data)
    try:
        return [_page(document[i]) for i in range(len(document))]
    finally:
        document.close()


def _page(page: pdfium.PdfPage) -> ReadPage:
    width, height = page.get_size()
    text = page.get_textpage()
    words = text.get_text_range()
    text.close()
    strokes = tuple(stroke for number, item in enumerate(_items(page)) for stroke in _strokes(item, number, height))
    found = ReadPage(width / MM, height / MM, strokes, words)
    page.close()
    return found


def _items(page: pdfium.PdfPage) -> Iterator[ctypes.c_void_p]:
    for i in range(raw.FPDFPage_CountObjects(page.raw)):
        item = raw.FPDFPage_GetObject(page.raw, i)
        if raw.FPDFPageObj_GetType(item) == raw.FPDF_PAGEOBJ_PATH:
            yield item


def _strokes(item: ctypes.c_void_p, number: int, height: float) -> Iterator[Stroke]:
    width = ctypes.c_float()
    raw.FPDFPageObj_GetStrokeWidth(item, width)
    matrix = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(item, matrix)

    def to_mm(points: list[tuple[float, float]]) -> Array:
        x, y = np.array(points, dtype=np.float64).T
        across = matrix.a * x + matrix.c * y + matrix.e
        up = matrix.b * x + matrix.d * y + matrix.f
        return np.column_stack((across / MM, (height - up) / MM))

    for points, closed in _subpaths(item):
        if len(points) > 1:
            yield Stroke(to_mm(points), closed, width.value / MM, number)


def _subpaths(item: ctypes.c_void_p) -> Iterator[tuple[list[tuple[float, float]], bool]]:
    points: list[tuple[float, float]] = []
    closed, curve = False, list[tuple[float, float]]()
    for i in range(raw.FPDFPath_CountSegments(item)):
        segment = raw.FPDFPath_GetPathSegment(item, i)
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        kind, here = raw.FPDFPathSegment_GetType(segment), (x.value, y.value)
        if kind == raw.FPDF_SEGMENT_MOVETO:
            yield points, closed
            points, closed = [here], False
        elif kind == raw.FPDF_SEGMENT_LINETO:
            points.append(here)
        else:
            curve.append(here)
            if len(curve) == 3:
                points += _bezier(points[-1], *curve)
                curve = []
        closed = closed or bool(raw.FPDFPathSegment_GetClose(segment))
    yield points, closed


def _bezier(*handles: tuple[float, float]) -> list[tuple[float, float]]:
    p0, p1, p2, p3 = (np.array(handle) for handle in handles)
    t = np.linspace(0.0, 1.0, 10 + int(6.0 * math.sqrt(np.hypot(*(p3 - p0)))))[1:, None]
    found = (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3
    return [(float(x), float(y)) for x, y in found]


def distances(line: Array, closed: bool, points: Array) -> Array:
    """Return how far each of the points (m, 2) is from a polyline (n, 2), mm."""
    starts = line
    ends = np.roll(line, -1, axis=0)
    if not closed:
        starts, ends = starts[:-1], ends[:-1]
    along = ends - starts
    square = np.maximum((along**2).sum(axis=1), 1e-18)
    t = np.clip(((points[:, None] - starts) * along).sum(axis=2) / square, 0.0, 1.0)
    nearest = starts + t[..., None] * along
    return np.asarray(np.hypot(*np.moveaxis(points[:, None] - nearest, 2, 0)).min(axis=1), dtype=np.float64)
