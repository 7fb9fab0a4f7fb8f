"""Patterns as DXF at true size: millimetres (``$INSUNITS`` 4), one layer a role, the pieces side by side as in the SVG.

Lines are LWPOLYLINEs, closed where the line is; an arc is a bulge, the tangent of a quarter of its sweep (AutoCAD DXF
reference, group code 42), so it stays an exact arc. Holes are CIRCLEs, words are TEXTs, each piece is a GROUP. The y axis
of DXF turns up, so y is written with its sign changed.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator, Sequence
from types import MappingProxyType

from ezdxf import enums, units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from server.geometry.path import Arc, Path, Segment
from server.leather.piece import Drawn, Hole, Label, Piece, Role
from server.output.svg import HOLE_RADIUS, origins

LAYERS: MappingProxyType[Role | str, tuple[str, int, str]] = MappingProxyType(
    {
        "cut": ("CUT", 7, "CONTINUOUS"),
        "slot": ("SLOT", 1, "CONTINUOUS"),
        "stitch": ("STITCH", 5, "DASHED"),
        "hole": ("HOLE", 3, "CONTINUOUS"),
        "fold": ("FOLD", 6, "DASHDOT"),
        "mark": ("MARK", 8, "DASHED"),
        "label": ("LABEL", 8, "CONTINUOUS"),
    }
)
"""Layer, colour number and line type of each role; a cutting machine is told by the layer what to do."""


def pieces_dxf(pieces: Sequence[Piece], title: str) -> str:
    """Return the pieces of a pattern as the text of a DXF file (R2010), the same text each time."""
    document = _empty(title)
    space = document.modelspace()
    for piece, (x, y) in zip(pieces, origins(pieces), strict=True):
        entities = list(_piece(space, piece, x, y))
        document.groups.new(_group_name(piece.name), description=piece.title[:250]).extend(entities)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def _empty(title: str) -> Drawing:
    options.write_fixed_meta_data_for_testing = True  # no clock and no chance in the file
    document = new("R2010", setup=["linetypes"], units=units.MM)
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = 10.0
    document.header.custom_vars.append("Title", title)
    for layer, colour, kind in LAYERS.values():
        document.layers.add(layer, color=colour, linetype=kind)
    return document


def _piece(space: Modelspace, piece: Piece, x: float, y: float) -> Iterator[DXFEntity]:
    for drawn in piece.drawn:
        yield _line(space, drawn, x, y)
    for hole in piece.holes:
        yield _hole(space, hole, x, y)
    for label in piece.labels:
        yield _label(space, label, x, y)


def _line(space: Modelspace, drawn: Drawn, x: float, y: float) -> DXFEntity:
    points = [(px + x, -(py + y), bulge) for px, py, bulge in vertices(drawn.path)]
    return space.add_lwpolyline(
        points, format="xyb", close=drawn.path.closed, dxfattribs={"layer": LAYERS[drawn.role][0]}
    )


def vertices(path: Path) -> Iterator[tuple[float, float, float]]:
    """Give the corners of a path in mm, y down, each with the bulge of the segment that follows, for an axis turned up."""
    parts = [part for segment in path.segments for part in _parts(segment)]
    starts = [*(part.start for part in parts), *(() if path.closed else (path.end,))]
    bulges = [*(_bulge(part) for part in parts), *(() if path.closed else (0.0,))]
    for (x, y), bulge in zip(starts, bulges, strict=True):
        yield x, y, bulge


def _parts(segment: Segment) -> list[Segment]:
    """An arc of more than half a turn as two: the bulge of a whole turn has no end."""
    if not isinstance(segment, Arc) or abs(segment.half) <= math.pi / 2.0 + 1e-9:
        return [segment]
    quarter = segment.half / 2.0
    return [Arc(segment.centre, segment.radius, _turned(segment.middle, sign * quarter), quarter) for sign in (-1, 1)]


def _turned(unit: tuple[float, float], angle: float) -> tuple[float, float]:
    cos, sin = math.cos(angle), math.sin(angle)
    return unit[0] * cos - unit[1] * sin, unit[0] * sin + unit[1] * cos


def _bulge(segment: Segment) -> float:
    """Positive where the arc runs counter-clockwise; with y turned up a clockwise arc of ours runs clockwise there too."""
    return -math.tan(segment.sweep / 4.0) if isinstance(segment, Arc) else 0.0


def _hole(space: Modelspace, hole: Hole, x: float, y: float) -> DXFEntity:
    return space.add_circle((hole.x + x, -(hole.y + y)), HOLE_RADIUS, dxfattribs={"layer": LAYERS["hole"][0]})


def _label(space: Modelspace, label: Label, x: float, y: float) -> DXFEntity:
    text = space.add_text(label.text, height=label.size, dxfattribs={"layer": LAYERS["label"][0]})
    return text.set_placement((label.x + x, -(label.y + y)), align=enums.TextEntityAlignment.CENTER)


def _group_name(name: str) -> str:
    """Group names may hold letters, digits and a few signs only."""
    return "".join(letter if letter.isalnum() else "_" for letter in name).upper() or "PIECE"
