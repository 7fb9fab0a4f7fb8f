"""Files this project did not write, read by its reader and by a second one that shares no code with it.

SVG: svgpathtools (paths, transforms) and resvg (everything, as ink). PDF: PDFium. DXF: GDAL/OGR.
The files, who wrote them and their licences: tests/reference/files/README.md.
"""

from __future__ import annotations

import ctypes
import io
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import resvg
import shapely
import svgpathtools
from numpy.typing import NDArray
from PIL import Image

from server.reading.formats import parse
from server.reading.sheet import Sheet

FILES = Path(__file__).parent / "files"
Array = NDArray[np.float64]
PIXEL = 25.4 / 96.0
NEAR = 0.012
"""mm: both sides may flatten a curve within 0.01 mm of it."""


def read(name: str) -> Sheet:
    return parse((FILES / name).read_bytes(), name)


def drawn(sheet: Sheet, page: int = 1) -> Any:
    """Everything on a page as one geometry."""
    rings = [
        np.concatenate((line.points, line.points[:1])) if line.closed else line.points
        for line in sheet.lines
        if line.page == page
    ]
    return shapely.union_all([shapely.LineString(ring) for ring in rings])


def farthest(points: Array, lines: Any) -> float:
    return float(shapely.distance(shapely.points(points), lines).max())


def spread(lines: Any) -> Array:
    """Points along a geometry, at most 1 % of its size apart."""
    step = float(np.ptp(np.array(lines.bounds).reshape(2, 2), axis=0).max()) / 100.0
    return np.asarray(shapely.get_coordinates(shapely.segmentize(lines, step)), dtype=np.float64)


# ---- SVG


@pytest.mark.parametrize(
    ("name", "scale"),
    [
        ("adwaita-parental-controls.svg", PIXEL),
        ("adwaita-subtitles.svg", PIXEL),
        ("rust-book-trpl04-03.svg", PIXEL),
        ("matplotlib-hand.svg", 128 * 25.4 / 72 / 507.946),
    ],
)
def test_svg_as_svgpathtools_reads_it(name: str, scale: float) -> None:
    """Svgpathtools 1.8: Document.paths() flattens groups and transforms; `scale` is mm of a user unit, from the file's head."""
    ours = drawn(read(name))
    theirs = [p for p in svgpathtools.Document(str(FILES / name)).paths() if p.length(error=1e-4) > 1e-9]
    assert theirs
    samples = [_sampled(part) * scale for path in theirs for part in path.continuous_subpaths()]
    assert farthest(np.concatenate(samples), ours) < NEAR
    fine = shapely.union_all([shapely.LineString(points) for points in samples])
    assert farthest(spread(ours), fine) < NEAR


def _sampled(path: Any) -> Array:
    found = (
        [segment.poly()(np.linspace(0, 1, 2 if isinstance(segment, svgpathtools.Line) else 80)) for segment in path]
        if not any(isinstance(segment, svgpathtools.Arc) for segment in path)
        else [np.array([segment.point(t) for t in np.linspace(0, 1, 80)]) for segment in path]
    )
    points = np.concatenate(found)
    return np.column_stack((points.real, points.imag))


COMPOSED = b"""<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="80mm" height="60mm"
 viewBox="-10 -5 160 100" preserveAspectRatio="xMinYMax meet"><style>/* rules */ .thin, #a { stroke:#000; fill:none }
 path.thin{stroke-width:.4} .gone{display:none} svg{stroke-width:.4}</style>
<defs><symbol id="s" viewBox="0 0 10 20" preserveAspectRatio="xMaxYMid slice" overflow="visible"><circle cx="5" cy="10" r="4"/></symbol>
<g id="a"><path d="M0 0h10v10h-4a3 3 0 1 1-3-3z"/><use href="#l" x="12"/></g><path id="l" class="thin" d="m0 0q5 9 10 0t10 0"/></defs>
<g class="thin" transform="translate(5 5) rotate(10)"><use xlink:href="#a" transform="skewX(20)"/>
<svg x="30" y="5" width="30" height="15" viewBox="0 0 10 10" preserveAspectRatio="none"><rect x="1" y="1" width="8" height="8" rx="2"
 vector-effect="none" stroke-width=".1"/></svg>
<use href="#s" x="70" y="0" width="20" height="30"/><rect class="gone" width="5" height="5"/>
<ellipse cx="2cm" cy="50" rx="10mm" ry="10%" transform="matrix(.5 .2 -.2 .9 3 4)"/></g>
<polyline class="thin" points="100,60 120,60,130,80"/><g style="stroke:black;fill:none" transform="translate(10,20)">
<polygon points="100 20 120 20 110 40"/></g></svg>"""


@pytest.mark.parametrize("content", [COMPOSED, (FILES / "cairo-plot.svg").read_bytes()], ids=["composed", "cairo"])
def test_svg_as_resvg_draws_it(content: bytes) -> None:
    """Resvg renders use, symbols, nested viewports, styles and units: where its ink begins or ends our lines must run."""
    sheet = parse(content, "composed.svg")
    dots = 20.0
    ink = _ink(content, dots)
    edge = np.zeros_like(ink)
    for axis in (0, 1):
        step = np.abs(np.diff(ink.astype(int), axis=axis)) > 60
        edge[1:, :] |= step if axis == 0 else False
        edge[:, 1:] |= step if axis == 1 else False
    rows, columns = np.nonzero(edge)
    places = np.column_stack((columns, rows)) / dots
    assert len(places) > 2000
    # half the widest pen of either file is 0.53 mm; a pixel is 0.05 mm
    assert farthest(places, drawn(sheet)) < 0.6
    if content is COMPOSED:
        dark = ink < 200
        points = spread(drawn(sheet))
        around = np.clip((points * dots).astype(int), 0, np.array(ink.shape)[::-1] - 1)
        assert dark[around[:, 1], around[:, 0]].mean() > 0.97


def _ink(content: bytes, dots: float) -> NDArray[np.uint8]:
    """Grey picture, `dots` pixels to the mm."""
    options = resvg.usvg.Options.default()
    tree = resvg.usvg.Tree.from_str(content.decode(), options)
    width, height = tree.int_size()
    scale = dots * PIXEL
    picture = resvg.render(
        tree,
        (scale, 0, 0, 0, scale, 0),
        bg_color=(255, 255, 255, 255),
        bg_size=(int(width * scale), int(height * scale)),
    )
    with Image.open(io.BytesIO(bytes(picture))) as image:
        return np.array(image.convert("L"))


# ---- PDF


@pytest.mark.parametrize(
    "name", ["matplotlib-pages.pdf", "matplotlib-pages-turned.pdf", "cairo-pages.pdf", "matplotlib-hand.pdf"]
)
def test_pdf_as_pdfium_reads_it(name: str) -> None:
    sheet = read(name)
    document = pypdfium2.PdfDocument(FILES / name)
    assert len(document) == len(sheet.pages)
    for number, page in enumerate(document, start=1):
        size = sheet.pages[number - 1]
        unit = _user_unit(name, number) * 25.4 / 72.0
        assert (page.get_width() * unit, page.get_height() * unit) == pytest.approx((size.width, size.height), abs=1e-3)
        theirs = [_to_page(page, points) * unit for points in _pdfium_lines(page.raw, np.eye(3))]
        assert theirs
        ours = drawn(sheet, number)
        for points in theirs:
            assert farthest(points, ours) < 0.02
        union = shapely.union_all([shapely.LineString(points) for points in theirs if len(points) > 1])
        assert farthest(spread(ours), union) < 0.02


def _user_unit(name: str, number: int) -> float:
    """PDFium leaves UserUnit to its caller; it was set on the second page when the file was made (cairo wrote the result)."""
    return 2.0 if name == "matplotlib-pages-turned.pdf" and number == 2 else 1.0


def _to_page(page: Any, points: Array) -> Array:
    """Points of user space as the page is shown, y down, through PDFium's own rotation and crop box, in user units."""
    fine = 1 << 12
    width, height = page.get_width(), page.get_height()
    found = []
    for x, y in points.tolist():
        across, down = ctypes.c_int(), ctypes.c_int()
        size = (int(width * fine), int(height * fine))
        pdfium.FPDF_PageToDevice(page.raw, 0, 0, *size, 0, x, y, ctypes.byref(across), ctypes.byref(down))
        found.append((across.value / size[0] * width, down.value / size[1] * height))
    return np.array(found)


def _pdfium_lines(holder: Any, matrix: Array, form: bool = False) -> Iterator[Array]:
    count = pdfium.FPDFFormObj_CountObjects(holder) if form else pdfium.FPDFPage_CountObjects(holder)
    for index in range(count):
        thing = pdfium.FPDFFormObj_GetObject(holder, index) if form else pdfium.FPDFPage_GetObject(holder, index)
        kind = pdfium.FPDFPageObj_GetType(thing)
        here = matrix @ _matrix(thing)
        if kind == pdfium.FPDF_PAGEOBJ_FORM:
            yield from _pdfium_lines(thing, here, form=True)
        elif kind == pdfium.FPDF_PAGEOBJ_PATH and _is_painted(thing):
            yield from _path(thing, here)


def _is_painted(thing: Any) -> bool:
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(thing, ctypes.byref(fill), ctypes.byref(stroke))
    return bool(fill.value or stroke.value)


def _matrix(thing: Any) -> Array:
    m = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(thing, ctypes.byref(m))
    return np.array([[m.a, m.c, m.e], [m.b, m.d, m.f], [0.0, 0.0, 1.0]])


def _path(thing: Any, matrix: Array) -> Iterator[Array]:
    strip: list[tuple[float, float]] = []
    controls: list[tuple[float, float]] = []
    t = np.linspace(0.0, 1.0, 40)[1:, None]
    for index in range(pdfium.FPDFPath_CountSegments(thing)):
        segment = pdfium.FPDFPath_GetPathSegment(thing, index)
        x, y = ctypes.c_float(), ctypes.c_float()
        pdfium.FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
        kind, point = pdfium.FPDFPathSegment_GetType(segment), (x.value, y.value)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            if len(strip) > 1:
                yield np.array(strip) @ matrix[:2, :2].T + matrix[:2, 2]
            strip = [point]
        elif kind == pdfium.FPDF_SEGMENT_LINETO:
            strip.append(point)
        else:
            controls.append(point)
            if len(controls) == 3:
                a, (b, c, d) = np.array(strip[-1]), (np.array(p) for p in controls)
                curve = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * d
                strip += [(px, py) for px, py in curve.tolist()]
                controls = []
        if pdfium.FPDFPathSegment_GetClose(segment):
            strip.append(strip[0])
    if len(strip) > 1:
        yield np.array(strip) @ matrix[:2, :2].T + matrix[:2, 2]


# ---- DXF


@pytest.mark.parametrize(("name", "scale"), [("ezdxf-r12.dxf", 1.0), ("ezdxf-r2010.dxf", 25.4)])
def test_dxf_as_gdal_reads_it(name: str, scale: float) -> None:
    """GDAL's own DXF reader (OGR), arcs stepped by 0.1 degrees; it reads the layer that is off too, so that is left out."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.1"})
    os.environ["OGR_ARC_STEPSIZE"] = "0.1"
    _, _, shapes, (layers, *_) = pyogrio.raw.read(FILES / name, columns=["Layer"])
    kept = [
        shapely.force_2d(shape) for shape, layer in zip(shapely.from_wkb(shapes), layers, strict=True) if layer != "OFF"
    ]
    lines = [
        shapely.boundary(shape) if shape.geom_type == "Polygon" else shape
        for shape in kept
        if "Point" not in shape.geom_type
    ]
    theirs = shapely.transform(
        shapely.union_all([shapely.line_merge(x) if x.geom_type == "MultiLineString" else x for x in lines]),
        lambda p: p * [scale, -scale],
    )
    ours = drawn(read(name))
    corner = np.array(theirs.bounds[:2]) - np.array(ours.bounds[:2])
    theirs = shapely.transform(theirs, lambda p: p - corner)
    size = max(ours.bounds)
    assert farthest(shapely.get_coordinates(theirs), ours) < 2e-5 * size + 0.02
    # back again all but the splines, of which OGR takes eight points a span, so its chords stand off by millimetres here
    apart = shapely.distance(shapely.points(spread(ours)), theirs)
    assert np.mean(apart < 2e-5 * size + 0.02) > (0.85 if scale != 1.0 else 0.999999)
    assert float(apart.max()) < 3e-4 * size
