"""Foreign SVG: units, viewports, styles, use, and everything left out named."""

from __future__ import annotations

import math

import numpy as np
import pytest

from calibration.refusal import Refusal
from server.geometry import cubics
from server.geometry.svg_outlines import colour, outlines
from server.reading.formats import parse
from server.reading.sheet import Sheet, SheetLine

SPACE = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
HEAD = f'{SPACE} width="100mm" height="50mm" viewBox="0 0 100 50" stroke="#000" fill="none">'


def read(body: str, head: str = HEAD) -> Sheet:
    return parse(f"{head}{body}</svg>".encode(), "test.svg")


def only(body: str, head: str = HEAD) -> SheetLine:
    (line,) = read(body, head).lines
    return line


def said(sheet: Sheet) -> str:
    return " ".join(drop.words for drop in sheet.dropped)


@pytest.mark.parametrize(
    ("size", "unit", "mm"),
    [
        ('width="10cm" viewBox="0 0 100 100" height="10cm"', "cm", 10.0),
        ('width="2in" height="2in" viewBox="0 0 20 20"', "in", 25.4),
        ('width="72pt" height="72pt"', "pt", 10 * 25.4 / 96),
        ('width="100mm" height="100mm"', "mm", 10 * 25.4 / 96),
        ('width="40Q" height="40q" viewBox="0 0 10 10"', "q", 10.0),
    ],
)
def test_a_stated_unit_is_true(size: str, unit: str, mm: float) -> None:
    sheet = read('<path d="M0 0H10"/>', f'<svg xmlns="http://www.w3.org/2000/svg" {size} stroke="red">')
    assert (sheet.unit_known, sheet.unit, sheet.question) == (True, unit, None)
    assert sheet.lines[0].length == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    "size", ['width="100" height="100"', 'width="100px" height="100px"', 'width="100%"', 'viewBox="0 0 9 9"']
)
def test_pixels_are_a_question(size: str) -> None:
    sheet = read('<path d="M0 0H96"/>', f'<svg xmlns="http://www.w3.org/2000/svg" {size} stroke="red">')
    assert not sheet.unit_known
    assert sheet.question is not None
    assert "unit" in sheet.question


def test_aspect_and_nested_viewports() -> None:
    head = f'{SPACE} width="100mm" height="50mm" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMid meet" stroke="red">'
    assert only('<path d="M0 0H10"/>', head).points.tolist() == pytest.approx(np.array([[50, 0], [100, 0]]))
    inner = '<svg x="10" y="5" width="20" height="10" viewBox="0 0 2 2" preserveAspectRatio="none"><path d="M0 0L2 2"/></svg>'
    assert only(inner).points == pytest.approx(np.array([[10, 5], [30, 15]]))


def test_use_symbol_and_transforms() -> None:
    body = (
        '<defs><symbol id="s" viewBox="0 0 10 10"><path d="M0 0L10 10"/></symbol></defs>'
        '<g transform="translate(10 0)"><use href="#s" x="5" y="5" width="20" height="20" transform="scale(1 2)"/></g>'
    )
    assert only(body).points == pytest.approx(np.array([[15, 10], [35, 50]]))


def test_a_circle_keeps_its_radius_and_is_fine() -> None:
    line = only('<circle cx="50" cy="25" r="20"/>')
    radii = np.hypot(*(line.points - [50, 25]).T)
    assert line.closed
    assert np.ptp(radii) < 2e-6
    assert len(line.points) >= 60
    assert 20 - math.sqrt(400 - (line.length / len(line.points) / 2) ** 2) < cubics.FINE


def test_styles_win_in_their_order() -> None:
    style = "<style>.a{stroke:blue} #b{stroke:lime} path{stroke:red} g > path{stroke:pink} @import url(http://x/y.css);</style>"
    sheet = read(
        f'{style}<path class="a" stroke="black" d="M0 0H1"/><path id="b" class="a" d="M0 1H1"/><path d="M0 2H1"/>'
        '<path class="a" style="stroke:#123456 !important" d="M0 3H1"/><g stroke="yellow"><rect width="3" height="3"/></g>'
    )
    assert [line.look.colour for line in sheet.lines] == ["#0000ff", "#00ff00", "#ff0000", "#123456", "#ffff00"]
    assert "style rules not simple enough" in said(sheet)


def test_dash_layer_and_hidden() -> None:
    inkscape = HEAD.replace("<svg", '<svg xmlns:i="http://www.inkscape.org/namespaces/inkscape"').replace(
        "inkscape:", "i:"
    )
    sheet = read(
        '<g i:groupmode="layer" i:label="Cut" id="g1"><g id="deep"><path stroke-dasharray="2,1" transform="scale(2)" d="M0 0H5"/></g></g>'
        '<g id="stitches"><path d="M0 1H5"/></g><g id="g77"><path d="M0 2H5"/></g><g display="none"><path d="M0 3H5"/></g>'
        '<path visibility="hidden" d="M0 4H5"/><path stroke="none" d="M0 5H5"/><path stroke="transparent" d="M0 6H5"/>',
        inkscape,
    )
    assert [(line.look.layer, line.look.dash) for line in sheet.lines] == [
        ("Cut", (4.0, 2.0)),
        ("stitches", ()),
        ("", ()),
    ]
    assert "2 hidden things" in said(sheet)
    assert "2 things without line or fill" in said(sheet)


def test_what_is_left_out_is_named() -> None:
    sheet = read(
        '<path d="M0 0H5"/><path id="broken" d="M0 0L5"/><text>Cut two</text><image href="http://x/y.png"/><script>alert(1)</script>'
        '<use href="other.svg#a"/><use href="#nowhere"/><path clip-path="url(#c)" d="M0 1H5"/><foreignObject/><rect width="-1" height="2"/>'
        '<path transform="spin(3)" d="M0 0H9"/><path marker-end="url(#m)" d="M0 2H5"/><path d="M3 3"/><circle r="1e"/>'
    )
    assert len(sheet.lines) == 3
    for words in ("'broken'", "'Cut two'", "1 image ", "1 script ", "other.svg#a", "nowhere", "1 clipped", "foreign object",
                  "size below 0", "spin(3)", "markers", "without length", "'1e'"):  # fmt: skip
        assert words in said(sheet), words


def test_nothing_is_lost_between_elements_and_lines() -> None:
    """The trap of svgelements: a shape with a bad attribute vanishes. Here every element is a line or a named drop."""
    bodies = [
        '<rect width="{}" height="4"/>',
        '<circle r="{}"/>',
        '<path d="M0 {0}H5"/>',
        '<polyline points="0 0 {} 5"/>',
        '<line x2="{}"/>',
    ]
    for value in ("3", "3mm", "x", "1e999", "", "nan", "-2", "3em", "10%"):
        for number, body in enumerate(bodies):
            sheet = read('<path d="M9 9H10"/>' + body.format(value))
            assert len(sheet.lines) - 1 + sum(drop.count for drop in sheet.dropped) == 1, (value, number)


def test_a_line_drawn_twice_is_taken_once() -> None:
    sheet = read('<path d="M0 0H5V5z"/><path d="M0 0H5V5z"/><path d="M0 0L9 9"/><path d="M9 9L0 0"/>')
    assert len(sheet.lines) == 2
    assert "2 lines drawn twice" in said(sheet)


def test_loose_lines_are_joined_but_not_where_three_meet() -> None:
    sheet = read(
        '<path d="M0 0H10"/><path d="M10 10V0"/><path d="M10 10L0 0.01"/><path d="M30 0H40"/><path d="M40 0V9"/><path d="M40 0L50 9"/>'
    )
    assert [(line.closed, len(line.points)) for line in sheet.lines] == [(True, 3), (False, 2), (False, 2), (False, 2)]


def test_a_line_out_and_back_is_no_ring() -> None:
    """Found by the fuzz: two lines nearly over each other, joined at both ends."""
    line = only('<path d="M0 0H10"/><path d="M10 0.01H0"/>')
    assert (line.closed, len(line.points)) == (False, 2)


def test_path_data_goes_on_after_a_close() -> None:
    (first, closed), (second, open_) = outlines("M0 0H4V4zl-1 0", "it")
    assert (closed, open_) == (True, False)
    assert second[0, 0].tolist() == first[-1, 3].tolist() == [0, 0]


@pytest.mark.parametrize(
    "data",
    [
        "L0 0",
        "M0 0L5",
        "M0 0 5",
        "M0 0Lx",
        "M0 0L1e999 0",
        "M0 0A1 1 0 2 0 5 5",
        "M0 0 #",
        "5",
        "M0 0a1.0001,1.000194921,-0.87305z",
    ],
)
def test_broken_path_data_is_refused(data: str) -> None:
    with pytest.raises(Refusal, match="path data of it"):
        outlines(data, "it")


def test_bulge_is_the_tangent_of_a_quarter_sweep() -> None:
    """DXF reference: bulge 1 is a half circle, counter-clockwise with y up; tan(22.5 degrees) a quarter."""
    run = cubics.flatten(cubics.bulge((0, 0), (10, 0), 1.0))
    assert run[:, 1].min() == pytest.approx(-5.0, abs=1e-6)
    quarter = cubics.flatten(cubics.bulge((1, 0), (0, 1), math.tan(math.pi / 8)))
    assert np.hypot(*quarter.T) == pytest.approx(1.0, abs=1e-6)


def test_colours() -> None:
    given = {
        "red": "#ff0000",
        "#abc": "#aabbcc",
        "rgb(1, 2, 3)": "#010203",
        "none": None,
        "url(#g)": None,
        "no colour": None,
    }
    assert {text: colour(text) for text in given} == given
