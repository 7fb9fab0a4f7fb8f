"""Shapes against known values, and the pattern file against two other SVG readers. The source stands beside each."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import svgelements
import svgpathtools
from scipy.special import ellipe

from server.geometry.build import chain, rounded_rectangle
from server.geometry.path import Arc, Path, path_data
from server.geometry.region import area
from server.geometry.svg_reading import read
from server.leather.drafts import get
from server.leather.piece import Piece
from server.leather.strike import sagitta
from server.output.svg import pattern_svg

SVG = "{http://www.w3.org/2000/svg}"


def test_stadium() -> None:
    """R 2, straight side a 3: P = 2 pi r + 2 a = 18.56637, A = pi r^2 + 2 r a = 24.56637 (textbook)."""
    path = Path(
        chain((0, -2), (Arc.of((3, 0), 2, -90, 180), Arc.of((0, 0), 2, 90, 180)), (0, -2)).segments, closed=True
    )
    assert path.length == pytest.approx(18.56637, abs=5e-6)
    assert area(path.flatten(1e-6)) == pytest.approx(24.56637, abs=5e-5)


def test_rounded_square() -> None:
    """Side 12, r 2.5: P 43.708, A 138.635 (textbook)."""
    path = rounded_rectangle(0, 0, 12, 12, 2.5)
    assert path.length == pytest.approx(43.708, abs=5e-4)
    assert area(path.flatten(1e-5)) == pytest.approx(138.635, abs=5e-4)


def test_identification_card() -> None:
    """ISO/IEC 7810 ID-1: 85.60 x 53.98 mm, corner r 3.18: perimeter 273.701, area 4612.007 (derived)."""
    path = rounded_rectangle(0, 0, 85.60, 53.98, 3.18)
    assert path.length == pytest.approx(273.701, abs=5e-4)
    assert area(path.flatten(1e-6)) == pytest.approx(4612.007, abs=1e-3)


@pytest.mark.parametrize(("radius", "chord", "height"), [(10, 12, 2.0), (15, 20, 3.820)])
def test_sagitta(radius: float, chord: float, height: float) -> None:
    """Textbook: s = r - sqrt(r^2 - c^2 / 4)."""
    assert sagitta(radius, chord) == pytest.approx(height, abs=5e-4)
    half = math.degrees(math.asin(chord / (2 * radius)))
    arc = Arc.of((0, 0), radius, 90 - half, 2 * half)
    assert math.dist(arc.start, arc.end) == pytest.approx(chord)
    assert arc.at(arc.length / 2)[1] - arc.start[1] == pytest.approx(height, abs=5e-4)


def test_arc_from_chord_and_height() -> None:
    """Textbook: c 12, s 2 -> R 10, arc 12.870022."""
    radius = 12**2 / (8 * 2) + 2 / 2
    assert radius == 10
    arc = Arc.of((0, 0), radius, 0.0, 2 * math.degrees(math.asin(0.6)))
    assert arc.length == pytest.approx(12.870022, abs=5e-7)


@pytest.mark.parametrize(("a", "b", "perimeter"), [(10, 5, 48.4422411027), (5, 3, 25.5269988634)])
def test_ellipse_perimeter(a: float, b: float, perimeter: float) -> None:
    """4 a E(1 - b^2 / a^2), complete elliptic integral (scipy), and as our reader flattens a hundredfold ellipse."""
    assert 4 * a * ellipe(1 - (b / a) ** 2) == pytest.approx(perimeter, abs=1e-9)
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">'
        f'<g data-piece="a" transform="scale(100)"><ellipse data-role="cut" cx="10" cy="10" rx="{a}" ry="{b}"/></g></svg>'
    )
    (shape,) = read(text).shapes
    ring = np.concatenate((shape.points, shape.points[:1]))
    assert float(np.hypot(*np.diff(ring, axis=0).T).sum()) / 100 == pytest.approx(perimeter, rel=1e-4)


def test_shoelace() -> None:
    """Rosetta Code, 'Shoelace formula for polygonal area': (3,4) (5,11) (12,8) (9,5) (5,6) -> 30."""
    assert area([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)]) == 30


# ---- the pattern file, read by svgelements and by svgpathtools

PATTERN = get("belt-pouch").draft({})
TEXT = pattern_svg(PATTERN)


def origin(piece: str) -> complex:
    found = re.search(rf'data-piece="{piece}"[^>]*data-origin="([0-9.]+) ([0-9.]+)"', TEXT)
    assert found is not None
    return complex(float(found[1]), float(found[2]))


def elements(piece: str) -> list[ET.Element]:
    return [e for g in ET.fromstring(TEXT) if g.get("data-piece") == piece for e in g]  # noqa: S314 - our own text


def test_the_page_is_in_millimetres_one_unit_each() -> None:
    root = ET.fromstring(TEXT)  # noqa: S314 - our own text
    width, height = (float((root.get(name) or "").removesuffix("mm")) for name in ("width", "height"))
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"
    document = svgelements.SVG.parse(io.StringIO(TEXT), ppi=25.4)
    assert (document.width, document.height) == pytest.approx((width, height))
    drawn = [shape.bbox() for shape in document.elements() if isinstance(shape, svgelements.Shape)]
    assert min(box[0] for box in drawn) >= 9
    assert max(box[2] for box in drawn) <= width - 9
    assert min(box[1] for box in drawn) >= 9
    assert max(box[3] for box in drawn) <= height - 9


@pytest.mark.parametrize("piece", PATTERN.pieces, ids=lambda piece: piece.name)
def test_svgpathtools_reads_the_same_lines_and_holes(piece: Piece) -> None:
    at, found = origin(piece.name), elements(piece.name)
    paths = [element for element in found if element.tag == f"{SVG}path"]
    assert [(e.get("data-role"), e.get("data-name")) for e in paths] == [(d.role, d.name) for d in piece.drawn]
    for element, drawn in zip(paths, piece.drawn, strict=True):
        theirs = svgpathtools.parse_path(element.get("d"))
        assert theirs.length() == pytest.approx(drawn.path.length, abs=1e-4)
        assert theirs.iscontinuous()
        assert theirs.isclosed() == drawn.path.closed
        xmin, xmax, ymin, ymax = theirs.bbox()
        left, top = drawn.path.flatten(1e-5).min(axis=0)
        right, bottom = drawn.path.flatten(1e-5).max(axis=0)
        ours = (left + at.real, right + at.real, top + at.imag, bottom + at.imag)
        assert (xmin, xmax, ymin, ymax) == pytest.approx(ours, abs=1e-4)
    holes = [element for element in found if element.get("data-role") == "hole"]
    assert [(e.get("data-seam")) for e in holes] == [hole.seam for hole in piece.holes]
    for element, hole in zip(holes, piece.holes, strict=True):
        place = complex(float(element.get("cx", "")), float(element.get("cy", ""))) - at
        assert abs(place - complex(hole.x, hole.y)) < 1e-6
        assert float(element.get("data-angle", "")) == pytest.approx(hole.angle, abs=1e-6)


def test_svgelements_reads_the_same_lines() -> None:
    document = svgelements.SVG.parse(io.StringIO(TEXT), ppi=25.4)
    shapes = [shape for shape in document.elements() if isinstance(shape, svgelements.Shape)]
    count = sum(len(piece.drawn) + len(piece.holes) for piece in PATTERN.pieces)
    assert len(shapes) == count
    theirs = {
        (s.values.get("data-name"), round(s.length(error=1e-6), 3)) for s in shapes if isinstance(s, svgelements.Path)
    }
    ours = {(d.name, round(d.path.length, 3)) for piece in PATTERN.pieces for d in piece.drawn}
    assert {name for name, _ in theirs} == {name for name, _ in ours}
    for name, length in ours:
        assert min(abs(length - other) for label, other in theirs if label == name) < 2e-3


def test_the_written_halves_agree_to_their_last_decimal() -> None:
    """Read as text: every number of the right half has its mirror about the piece's centre line, digit for digit."""
    for piece in PATTERN.pieces:
        centre = round(origin(piece.name).real * 1_000_000)
        for element in elements(piece.name):
            if element.get("data-name") not in ("outline", "pocket", "trim", "glue-edge"):
                continue
            ends = re.findall(r"(-?[0-9.]+) (-?[0-9.]+)(?= [LAZ]|$)", element.get("d", ""))
            points = {(round(float(x) * 1_000_000), y) for x, y in ends}
            assert len(points) > 4
            assert {(2 * centre - x, y) for x, y in points} == points


def test_path_data_of_an_arc_means_the_same_arc_to_others() -> None:
    for sweep in (-350, -180, -90, -10, 10, 90, 180, 269, 350):
        arc = Arc.of((3, 4), 7.0, 33.0, sweep)
        theirs = svgpathtools.parse_path(path_data(Path((arc,)), decimals=9))
        assert theirs.length() == pytest.approx(arc.length, abs=1e-5)
        middle = theirs.point(theirs.ilength(theirs.length() / 2))
        assert (middle.real, middle.imag) == pytest.approx(arc.at(arc.length / 2), abs=1e-4)
