"""SVG and DXF that go out, opened by second libraries and measured: svgpathtools, GDAL (pyogrio), ezdxf's own audit."""

from __future__ import annotations

import functools
import io
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio.raw
import pytest
import shapely
import svgpathtools
from ezdxf.filemanagement import read as read_dxf

from server.leather.drafts import families, get
from server.leather.pattern import Pattern
from server.output.dxf import LAYERS, pieces_dxf
from server.output.svg import origins, pattern_svg
from tests.reference.pdf_lines import distances

TRUE = 0.02
FAMILIES = list(families())


@functools.cache
def pattern(family: str) -> Pattern:
    return get(family).draft({})


@functools.cache
def dxf(family: str) -> str:
    return pieces_dxf(pattern(family).pieces, pattern(family).title)


@pytest.mark.parametrize("family", FAMILIES)
def test_svgpathtools_finds_every_line_at_its_length(family: str) -> None:
    root = ET.fromstring(pattern_svg(pattern(family)))  # noqa: S314 - our own text
    width, box = root.get("width", ""), root.get("viewBox", "").split()
    assert width == f"{box[2]}mm"
    drawn = [element.get("d", "") for element in root.iter("{http://www.w3.org/2000/svg}path")]
    lengths = [svgpathtools.parse_path(data).length() for data in drawn]
    exact = [line.path.length for piece in pattern(family).pieces for line in piece.drawn]
    assert lengths == pytest.approx(exact, abs=TRUE)


@pytest.mark.parametrize("family", FAMILIES)
def test_gdal_reads_every_line_and_hole_of_the_dxf_where_it_is(family: str, tmp_path: Path) -> None:
    path = tmp_path / "pattern.dxf"
    path.write_text(dxf(family))
    meta, _, geometry, fields = pyogrio.raw.read(path)
    layers = fields[list(meta["fields"]).index("Layer")]
    shapes = [
        (layer, shapely.get_coordinates(shapely.from_wkb(wkb)) * (1, -1))
        for layer, wkb in zip(layers, geometry, strict=True)
    ]
    pieces = pattern(family).pieces
    for piece, origin in zip(pieces, origins(pieces), strict=True):
        for line in piece.drawn:
            exact = line.path.flatten(0.002) + origin
            same = [
                p
                for layer, p in shapes
                if layer == LAYERS[line.role][0] and np.abs(np.ptp(p, axis=0) - np.ptp(exact, axis=0)).max() < 0.2
            ]
            off = min(float(distances(exact, line.path.closed, p).max()) for p in same)
            assert off < TRUE, (piece.name, line.name)
    rings = np.array([(p.min(axis=0) + p.max(axis=0)) / 2 for layer, p in shapes if layer == "HOLE"]).reshape(-1, 2)
    holes = [(h.x + x, h.y + y) for piece, (x, y) in zip(pieces, origins(pieces), strict=True) for h in piece.holes]
    assert len(rings) == len(holes)
    for hole in holes:
        assert np.hypot(*(rings - hole).T).min() < TRUE


@pytest.mark.parametrize("family", FAMILIES)
def test_the_dxf_is_sound_in_mm_and_keeps_arcs_as_arcs(family: str) -> None:
    document = read_dxf(io.StringIO(dxf(family)))
    assert document.units == ezdxf.units.MM == 4
    assert document.header["$INSUNITS"] == 4
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    lines = [line for piece in pattern(family).pieces for line in piece.drawn]
    found = list(document.modelspace().query("LWPOLYLINE"))
    assert [entity.dxf.layer for entity in found] == [LAYERS[line.role][0] for line in lines]
    assert [bool(entity.closed) for entity in found] == [line.path.closed for line in lines]
    lengths = [
        sum(
            part.dxf.radius * np.radians((part.dxf.end_angle - part.dxf.start_angle) % 360.0)
            if part.dxftype() == "ARC"
            else part.dxf.start.distance(part.dxf.end)
            for part in entity.virtual_entities()
        )
        for entity in found
    ]
    assert lengths == pytest.approx([line.path.length for line in lines], abs=TRUE)
    assert len(list(document.modelspace().query("TEXT"))) == sum(len(piece.labels) for piece in pattern(family).pieces)
    assert len(document.groups) == len(pattern(family).pieces)


def test_the_dxf_is_the_same_each_time() -> None:
    assert pieces_dxf(pattern("tray").pieces, "Tray") == pieces_dxf(pattern("tray").pieces, "Tray")
