"""PDF files: the vector lines of every page at true size. pypdf parses, unpacks (within limits) and names the operators."""

from __future__ import annotations

import io
import logging
from typing import Any

import numpy as np
from pypdf import PdfReader, apply_configuration
from pypdf.errors import DependencyError, LimitReachedError, PyPdfError
from pypdf.generic import ContentStream, DictionaryObject

from calibration.refusal import Refusal
from server.geometry.cubics import Array
from server.reading.gathering import Gathering
from server.reading.pdf_paint import Painter
from server.reading.sheet import Page, Sheet

POINT = 25.4 / 72.0
"""mm: the default user unit (ISO 32000-1, 8.3.2.3)."""
MOST_PAGES = 100
_MOST_UNPACKED = 40_000_000
_DEEPEST = 20
BROKEN = (
    PyPdfError,
    DependencyError,
    ValueError,
    TypeError,
    ArithmeticError,
    LookupError,
    AttributeError,
    AssertionError,
    RecursionError,
    NotImplementedError,
    EOFError,
    OSError,
)
"""What pypdf raises on files that are not as they should be."""
_LIMITS = (
    "maximum_declared_stream_length",
    "array_based_stream_maximum_output_length",
    "lzw_maximum_output_length",
    "run_length_maximum_output_length",
    "zlib_maximum_output_length",
    "brotli_maximum_output_length",
)


def read_pdf(data: bytes, name: str) -> Sheet:
    """Read a PDF file.

    Raises:
        Refusal: not PDF, locked, hostile, or nothing drawn.

    """
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    limits: dict[str, Any] = dict.fromkeys(_LIMITS, _MOST_UNPACKED)
    try:
        with apply_configuration(**limits, stream_decoding_work_maximum_length=3 * _MOST_UNPACKED):
            return _read(PdfReader(io.BytesIO(data), strict=False), name)
    except Refusal:
        raise
    except LimitReachedError as error:
        raise Refusal("The PDF file unpacks to more than a pattern has: save it again, simplified.") from error
    except BROKEN as error:
        said = " ".join(str(error).split())[:80] or type(error).__name__
        raise Refusal(f"The PDF file is broken ({said}): save it again.") from error


def _read(reader: PdfReader, name: str) -> Sheet:
    if reader.is_encrypted and not reader.decrypt(""):
        raise Refusal("The PDF file is locked with a password: save it without one.")
    gathering, pages = Gathering(), []
    off = _hidden_groups(reader)
    for number, page in enumerate(reader.pages, start=1):
        if number > MOST_PAGES:
            gathering.drop("pages", f"page {number}", count=len(reader.pages) - MOST_PAGES)
            break
        try:
            pages.append(_page(page, number, gathering, off))
        except (Refusal, LimitReachedError):
            raise
        except BROKEN as error:
            gathering.drop("pages that cannot be read", f"page {number}: {str(error)[:60]}")
            pages.append(Page(number, 0.0, 0.0))
    return Sheet(name, "pdf", gathering.finished(), tuple(pages), True, "pt", gathering.dropped)


def _hidden_groups(reader: PdfReader) -> set[int]:
    """The object numbers of layers that are off when the file is opened."""
    try:
        root: Any = reader.trailer["/Root"]
        properties = root.get("/OCProperties", {}).get_object() if "/OCProperties" in root else {}
        default = properties.get("/D", {}).get_object() if "/D" in properties else {}
        off = {ref.idnum for ref in default.get("/OFF", [])}
        if default.get("/BaseState") == "/OFF":
            on = {ref.idnum for ref in default.get("/ON", [])}
            off |= {ref.idnum for ref in properties.get("/OCGs", [])} - on
    except BROKEN:
        return set()
    return off


def _page(page: Any, number: int, gathering: Gathering, off: set[int]) -> Page:
    unit = float(page.get("/UserUnit", 1.0)) * POINT
    turn = int(page.get("/Rotate", 0) or 0) % 360 // 90
    box, media = page.cropbox, page.mediabox
    left, low = max(float(box.left), float(media.left)), max(float(box.bottom), float(media.bottom))
    right, high = min(float(box.right), float(media.right)), min(float(box.top), float(media.top))
    width, height = (right - left) * unit, (high - low) * unit
    if not (0.0 < width <= 1e5 and 0.0 < height <= 1e5):
        raise Refusal(f"Page {number} is {width:.4g} x {height:.4g} mm: set a page size above 0 and under 100 m.")
    painter = Painter(gathering, number, _to_page(left, low, right, high, unit, turn), lambda g: _is_off(g, off))
    painter.state = _clipped(painter, (left, low, right, high))
    contents = page.get("/Contents")
    if contents is not None:
        resources: Any = page.get("/Resources") or DictionaryObject()
        _Forms(painter, page.pdf).run(ContentStream(contents, page.pdf), resources.get_object(), ())
    annotations = page.get("/Annots")
    if annotations is not None and (count := len(annotations.get_object())):
        gathering.drop("notes and form fields", f"on page {number}", count=count)
    return Page(number, *((height, width) if turn % 2 else (width, height)))


def _clipped(painter: Painter, box: tuple[float, float, float, float]) -> Any:
    painter.inside(np.eye(3), box, {})
    return painter.state


def _is_off(group: Any, off: set[int]) -> bool:
    return getattr(group, "idnum", None) in off


def _to_page(left: float, low: float, right: float, high: float, unit: float, turn: int) -> Array:
    """User space to page mm, y down, after the page's turn by quarters clockwise (ISO 32000-1, table 30)."""
    rows = (
        ((1, 0, -left), (0, -1, high)),
        ((0, 1, -low), (1, 0, -left)),
        ((-1, 0, right), (0, 1, -low)),
        ((0, -1, high), (-1, 0, right)),
    )[turn]
    return np.array([[unit * value for value in row] for row in rows] + [[0.0, 0.0, 1.0]])


class _Forms:
    """Runs content streams and the forms they show; a form that shows itself is refused."""

    def __init__(self, painter: Painter, pdf: Any) -> None:
        self._painter = painter
        self._pdf = pdf
        self._parsed: dict[int, Any] = {}

    def run(self, stream: Any, resources: Any, forms: tuple[int, ...]) -> None:
        """Carry out every operator of a stream."""
        painter = self._painter
        painter.resources = resources
        for operands, operator in stream.operations:
            try:
                if operator == b"Do":
                    painter.gathering.element()
                    self._show(str(operands[0]), resources, forms)
                else:
                    painter.operate(operator, operands)
            except (Refusal, LimitReachedError):
                raise
            except BROKEN:
                painter.gathering.drop("drawing commands that cannot be read", operator.decode("latin-1")[:20])

    def _show(self, name: str, resources: Any, forms: tuple[int, ...]) -> None:
        form = resources["/XObject"].get_object()[name].get_object()
        painter = self._painter
        if form.get("/Subtype") != "/Form":
            painter.gathering.drop("images", name)
            return
        key = id(form)
        if key in forms or len(forms) >= _DEEPEST:
            raise Refusal(f"The PDF file's form {name[:40]!r} shows itself: save it again.")
        if key not in self._parsed:
            self._parsed[key] = (ContentStream(form, self._pdf), form)
        a, b, c, d, e, f = (float(value) for value in form.get("/Matrix", (1, 0, 0, 1, 0, 0)))
        box = [float(value) for value in form["/BBox"]] if "/BBox" in form else None
        inner = form["/Resources"].get_object() if "/Resources" in form else resources
        kept = painter.inside(np.array([[a, c, e], [b, d, f], [0.0, 0.0, 1.0]]), box, inner)
        if "/OC" in form:
            painter.push_layer(form.raw_get("/OC"))
        try:
            self.run(self._parsed[key][0], inner, (*forms, key))
        finally:
            painter.outside(kept)
