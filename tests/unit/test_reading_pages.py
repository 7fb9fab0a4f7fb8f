"""Foreign PDF and DXF: true size, turned pages, layers, spot colours, forms; units, bulges, blocks, layers that are off."""

from __future__ import annotations

import io
import math
from typing import Any

import numpy as np
import pytest
from ezdxf.filemanagement import new

from calibration.refusal import Refusal
from server.reading.formats import parse
from server.reading.sheet import Sheet
from tests.unit.test_reading_hostile import pdf

POINT = 25.4 / 72.0


def said(sheet: Sheet) -> str:
    return " ".join(drop.words for drop in sheet.dropped)


def read(content: bytes, page: bytes = b"", more: bytes = b"") -> Sheet:
    return parse(pdf(b"<</Length %d>>" % len(content), content, page, more), "test.pdf")


# ---- PDF


@pytest.mark.parametrize(
    ("page", "size", "start", "end"),
    [
        (b"", (200, 100), (10, 80), (60, 80)),
        (b"/Rotate 90", (100, 200), (20, 10), (20, 60)),
        (b"/Rotate 180", (200, 100), (190, 20), (140, 20)),
        (b"/Rotate 270", (100, 200), (80, 190), (80, 140)),
        (b"/Rotate -90", (100, 200), (80, 190), (80, 140)),
        (b"/UserUnit 2.5", (500, 250), (25, 200), (150, 200)),
        (b"/CropBox[5 10 105 90]", (100, 80), (5, 70), (55, 70)),
    ],
)
def test_a_page_is_true_size_as_it_is_shown(
    page: bytes, size: tuple[float, float], start: tuple[float, float], end: tuple[float, float]
) -> None:
    sheet = read(b"10 20 m 60 20 l S", page)
    (line,) = sheet.lines
    assert (sheet.unit_known, sheet.question) == (True, None)
    assert (sheet.pages[0].width, sheet.pages[0].height) == pytest.approx((size[0] * POINT, size[1] * POINT))
    assert line.points == pytest.approx(np.array([start, end]) * POINT)


def test_pdf_matrices_states_curves_and_closing() -> None:
    sheet = read(
        b"q 2 0 0 1 5 0 cm 1 0 0 RG [3 1] 0 d 10 10 20 30 re S Q 0 0 m 10 0 l 10 10 l s "
        b"20 50 m 20 60 30 60 v 40 60 40 50 y S 0 0 1 rg 50 50 m 60 50 l 60 60 l f 5 5 m 9 9 l n"
    )
    box, corner, curve, area = sheet.lines
    assert box.box == pytest.approx((25 * POINT, 60 * POINT, 65 * POINT, 90 * POINT))
    assert box.look.colour == "#ff0000"
    assert box.look.dash == pytest.approx((3 * POINT * 2**0.5, POINT * 2**0.5), abs=1e-3)
    assert (corner.closed, len(corner.points), corner.look.colour, corner.look.dash) == (True, 3, "#000000", ())
    # the middles of both curves, (a + 3 b + 3 c + d) / 8
    for x, y in ((21.25, 55.0), (38.75, 55.0)):
        assert np.hypot(*(curve.points - [x * POINT, (100 - y) * POINT]).T).min() < 0.1
    assert (area.filled, area.closed, area.look.colour) == (True, True, "#0000ff")


def test_pdf_forms_layers_and_spot_colours() -> None:
    more = (
        b"5 0 obj<</Type/XObject/Subtype/Form/BBox[0 0 50 50]/Matrix[1 0 0 1 100 0]/Length 16>>stream\n0 0 m 10 10 l S \nendstream endobj\n"
        b"6 0 obj<</Type/OCG/Name(Stitches)>>endobj\n7 0 obj<</Type/OCG/Name(Old)>>endobj\n"
        b"8 0 obj[/Separation/CutContour/DeviceCMYK<</FunctionType 2/N 1/Domain[0 1]/C0[0 0 0 0]/C1[0 1 0 0]>>]endobj\n"
    )
    resources = b"/Resources<</XObject<</F 5 0 R/I 9 0 R>>/Properties<</A 6 0 R/B 7 0 R>>/ColorSpace<</S 8 0 R>>>>"
    content = (
        b"/F Do /OC /A BDC 0 0 m 5 0 l S EMC /OC /B BDC 0 1 m 5 1 l S EMC /S CS 1 SCN 0 2 m 5 2 l S "
        b"BT (words) Tj ET /I Do 300 300 m 400 400 l S q 0 0 20 20 re W n 10 10 m 90 10 l S Q"
    )
    sheet = read(content, resources, more)
    assert [line.look.layer for line in sheet.lines] == ["", "Stitches", "Old", "CutContour", "CutContour"]
    assert sheet.lines[0].points == pytest.approx(np.array([[100, 100], [110, 90]]) * POINT)
    for words in ("1 text ", "1 line wholly outside", "1 clipped line ", "cannot be read"):
        assert words in said(sheet), said(sheet)


def test_pdf_layers_that_are_off_are_named() -> None:
    more = b"7 0 obj<</Type/OCG/Name(Old)>>endobj\n"
    content = b"0 0 m 9 9 l S /OC /B BDC 0 1 m 5 1 l S EMC"
    data = pdf(b"<</Length %d>>" % len(content), content, b"/Resources<</Properties<</B 7 0 R>>>>", more)
    data = data.replace(b"/Catalog", b"/Catalog/OCProperties<</OCGs[7 0 R]/D<</OFF[7 0 R]>>>>")
    sheet = parse(data, "a.pdf")
    assert len(sheet.lines) == 1
    assert "1 thing on layers that are off left out, such as 'Old'." in said(sheet)


# ---- DXF


def dxf(draw: Any, units: int = 4, version: str = "R2010") -> Sheet:
    document = new(version, setup=True)
    document.header["$INSUNITS"] = units
    draw(document, document.modelspace())
    text = io.StringIO()
    document.write(text)
    return parse(text.getvalue().encode(), "test.dxf")


@pytest.mark.parametrize(
    ("units", "mm", "name"),
    [(1, 25.4, "in"), (4, 1.0, "mm"), (5, 10.0, "cm"), (6, 1000.0, "meters"), (2, 304.8, "feet")],
)
def test_dxf_units_are_true(units: int, mm: float, name: str) -> None:
    sheet = dxf(lambda _, space: space.add_line((0, 0), (3, 4)), units)
    assert (sheet.unit_known, sheet.unit) == (True, name)
    assert sheet.lines[0].length == pytest.approx(5 * mm, rel=1e-12)


def test_a_dxf_without_unit_asks() -> None:
    sheet = dxf(lambda _, space: space.add_line((0, 0), (3, 4)), 0)
    assert not sheet.unit_known
    assert "3.0 x 4.0 mm" in (sheet.question or "")


def test_dxf_curves_are_exact() -> None:
    def draw(_: Any, space: Any) -> None:
        space.add_lwpolyline([(0, 0, 0), (100, 0, 1), (100, 50, 0), (0, 50, -1)], format="xyb", close=True)
        space.add_circle((300, 0), 40)
        space.add_ellipse((500, 0), (50, 0), 0.5, 0, math.pi)
        space.add_circle((-700, 0), 5, dxfattribs={"extrusion": (0, 0, -1)})

    outline, circle, half, turned = dxf(draw).lines
    # area of the outline: 100 x 50, a half circle of 25 on the right and one taken away on the left
    x, y = outline.points.T
    assert abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2 == pytest.approx(5000, rel=1e-4)
    assert circle.length == pytest.approx(80 * math.pi, rel=3e-4)
    # perimeter of the ellipse 50 x 25: 242.2110560 (checks page: 48.4422411027 for 10, 5)
    assert half.length == pytest.approx(48.4422411027 * 5 / 2, rel=3e-4)
    assert half.points[:, 1].max() == pytest.approx(circle.points[:, 1].mean(), abs=0.02)
    assert turned.points[:, 0].mean() - circle.points[:, 0].mean() == pytest.approx(400, abs=1e-3)


def test_dxf_blocks_layers_and_what_is_left_out() -> None:
    def draw(document: Any, space: Any) -> None:
        document.layers.add("CUT", color=1)
        document.layers.add("OFF").off()
        block = document.blocks.new("B", base_point=(1, 0))
        block.add_line((1, 0), (2, 0))
        block.add_line((1, 1), (2, 1), dxfattribs={"layer": "STITCH", "color": 0, "linetype": "DASHED"})
        place = {"layer": "CUT", "xscale": 2, "yscale": 2, "rotation": 90, "color": 3}
        space.add_blockref("B", (10, 0), dxfattribs=place)
        space.add_blockref("B", (50, 0), dxfattribs={"column_count": 3, "column_spacing": 5})
        space.add_line((0, 0), (9, 9), dxfattribs={"layer": "OFF"})
        space.add_text("Cut two")
        space.add_hatch()
        space.add_point((1, 1))

    sheet = dxf(draw)
    assert len(sheet.lines) == 8
    first, second = sheet.lines[:2]
    assert first.length == pytest.approx(2.0)
    assert np.ptp(first.points[:, 0]) == pytest.approx(0.0, abs=1e-9)
    assert [(line.look.layer, line.look.colour) for line in (first, second)] == [
        ("CUT", "#ff0000"),
        ("STITCH", "#00ff00"),
    ]
    assert second.look.dash
    for words in ("hidden or on layers that are off", "'Cut two'", "1 HATCH", "1 POINT"):
        assert words in said(sheet), said(sheet)


def test_a_binary_dxf_is_refused_with_the_way_out() -> None:
    with pytest.raises(Refusal, match="ASCII DXF"):
        parse(b"AutoCAD Binary DXF\r\n\x1a\x00", "a.dxf")
