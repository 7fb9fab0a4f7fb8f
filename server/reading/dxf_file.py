"""DXF files: lines, polylines, arcs, circles, ellipses, splines and blocks, seen from above. ezdxf parses and repairs."""

from __future__ import annotations

import io
import logging
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from ezdxf import colors, recover, units
from ezdxf.enums import InsertUnits
from ezdxf.lldxf.const import DXFError

from calibration.refusal import Refusal
from server.geometry.cubics import FINE, Array
from server.reading.dxf_entities import DRAWN, run_of
from server.reading.gathering import MOST_ELEMENTS, Gathering
from server.reading.sheet import Look, Page, Sheet, SheetLine, extent

BROKEN = (
    DXFError,
    ValueError,
    TypeError,
    ArithmeticError,
    LookupError,
    AttributeError,
    AssertionError,
    RecursionError,
    EOFError,
)
"""What ezdxf raises on files that are not as they should be."""
_PLURAL = {"TEXT": "texts", "ATTRIB": "texts", "ATTDEF": "texts", "MTEXT": "texts of several lines", "IMAGE": "images"}
_SHORT = {"Millimeters": "mm", "Centimeters": "cm", "Inches": "in"}
_EXACT = {"Inches": 25.4, "Feet": 304.8, "Yards": 914.4, "Mils": 0.0254}
"""mm, by definition (international yard and pound agreement, 1959); ezdxf has them to ten digits."""
_UNKNOWN_SCALE = 30.0
_DEEPEST = 20
_BY_BLOCK, _BY_LAYER = 0, 256


@dataclass(frozen=True)
class _Here:
    """What the entities of a block inherit from its insert: place, layer, colour, line type, the blocks it stands in."""

    matrix: Array
    layer: str = "0"
    colour: str = "#000000"
    dash: tuple[float, ...] = ()
    blocks: tuple[str, ...] = ()


def read_dxf(data: bytes, name: str) -> Sheet:
    """Read a DXF file (text form).

    Raises:
        Refusal: binary DXF, not DXF, hostile, or nothing drawn.

    """
    logging.getLogger("ezdxf").setLevel(logging.CRITICAL)
    if data.startswith(b"AutoCAD Binary DXF"):
        raise Refusal("The file is a binary DXF: save it as an ASCII DXF.")
    try:
        document, auditor = recover.read(io.BytesIO(data))
        space = list(document.modelspace())
    except BROKEN as error:
        raise Refusal(f"The DXF file is broken ({_said(error)}): save it again.") from error
    factor, unit, known = _unit(document)
    walk = _Walk(document, factor, Gathering(FINE if known else FINE / _UNKNOWN_SCALE))
    start = np.diag([factor, -factor, 1.0, 1.0])
    walk.entities(space, _Here(start))
    walk.elsewhere()
    lines = _to_corner(walk.gathering.finished())
    width, height = extent(lines)
    mended = len(auditor.errors) + len(auditor.fixes)
    notes = (f"The DXF file had {mended} mistakes that were mended or passed over.",) if mended else ()
    return Sheet(name, "dxf", lines, (Page(1, width, height),), known, unit, walk.gathering.dropped, notes)


def _unit(document: Any) -> tuple[float, str, bool]:
    """Millimetres of one drawing unit, its name, and whether the file says it ($INSUNITS)."""
    try:
        stated = InsertUnits(int(document.header.get("$INSUNITS", 0)))
        if stated != InsertUnits.Unitless:
            factor = _EXACT.get(stated.name) or float(units.conversion_factor(stated, InsertUnits.Millimeters))
            if math.isfinite(factor) and factor > 0.0:
                return factor, _SHORT.get(stated.name, stated.name.lower()), True
    except BROKEN:
        pass
    return 1.0, "mm", False


def _to_corner(lines: tuple[SheetLine, ...]) -> tuple[SheetLine, ...]:
    """Drawings may lie anywhere: their left upper corner becomes the origin."""
    corner = np.min([line.points.min(axis=0) for line in lines], axis=0)
    return tuple(SheetLine(line.points - corner, line.closed, line.look, line.page, line.filled) for line in lines)


class _Walk:
    """Goes through model space once, and through each block as often as it is inserted."""

    def __init__(self, document: Any, factor: float, gathering: Gathering) -> None:
        self._document = document
        self._factor = factor
        self.gathering = gathering

    def entities(self, space: Any, here: _Here) -> None:
        """Read entities; one that is broken is named and passed over."""
        for entity in space:
            self.gathering.element()
            try:
                self._entity(entity, here)
            except Refusal:
                raise
            except BROKEN as error:
                self.gathering.drop("entities that cannot be read", f"{entity.dxftype()}: {_said(error)}")

    def elsewhere(self) -> None:
        """Name what lies outside model space."""
        try:
            for layout in self._document.layouts:
                if layout.name != "Model" and (count := sum(e.dxftype() != "VIEWPORT" for e in layout)):
                    self.gathering.drop("entities on paper layouts", repr(layout.name), count=count)
        except BROKEN as error:
            self.gathering.drop("paper layouts that cannot be read", _said(error))

    def _entity(self, entity: Any, above: _Here) -> None:
        kind = entity.dxftype()
        layer = str(entity.dxf.get("layer", "0"))
        layer = above.layer if layer == "0" else layer
        if self._is_hidden(layer) or entity.dxf.get("invisible", 0):
            return self.gathering.drop("entities that are hidden or on layers that are off", repr(layer[:40]))
        if kind == "INSERT":
            return self._insert(entity, above, layer)
        if kind not in DRAWN:
            text = str(entity.dxf.get("text", ""))[:40] if kind in ("TEXT", "ATTRIB", "ATTDEF") else ""
            return self.gathering.drop(_PLURAL.get(kind, f"{kind[:30]} entities"), repr(text) if text else "")
        scale = float(np.abs(above.matrix[:2, :2]).max()) or 1.0
        run, closed = run_of(entity, 0.2 * FINE / scale)
        placed = (run @ above.matrix[:3, :3].T + above.matrix[:3, 3])[..., :2]
        look = Look(layer[:80], self._colour(entity, layer, above), self._dash(entity, layer, above))
        return self.gathering.add(placed, look, kind, closed=closed)

    def _insert(self, insert: Any, above: _Here, layer: str) -> None:
        name = str(insert.dxf.name)
        if name in above.blocks or len(above.blocks) >= _DEEPEST:
            raise Refusal(f"The file's block {name[:40]!r} is inserted inside itself: explode it.")
        block = insert.block()
        if block is None or block.block.is_xref:
            return self.gathering.drop("references to other files or missing blocks", repr(name[:40]))
        if insert.mcount > MOST_ELEMENTS:
            raise Refusal(f"The file inserts block {name[:40]!r} {insert.mcount} times: simplify it.")
        if insert.attribs:
            self.gathering.drop("texts", repr(str(insert.attribs[0].dxf.text)[:40]), count=len(insert.attribs))
        colour, dash = self._colour(insert, layer, above), self._dash(insert, layer, above)
        for one in insert.multi_insert() if insert.mcount > 1 else [insert]:
            matrix = above.matrix @ np.array(list(one.matrix44())).reshape(4, 4).T
            self.entities(block, _Here(matrix, layer, colour, dash, (*above.blocks, name)))
        return None

    def _is_hidden(self, layer: str) -> bool:
        if layer not in self._document.layers:
            return False
        found = self._document.layers.get(layer)
        return bool(found.is_off() or found.is_frozen())

    def _colour(self, entity: Any, layer: str, above: _Here) -> str:
        true = entity.dxf.get("true_color")
        index = int(entity.dxf.get("color", _BY_LAYER))
        if true is None and index == _BY_BLOCK:
            return above.colour
        if true is None and index == _BY_LAYER:
            if layer not in self._document.layers:
                return "#000000"
            found = self._document.layers.get(layer)
            true, index = found.dxf.get("true_color"), abs(int(found.dxf.get("color", 7)))
        if true is not None:
            return f"#{int(true) & 0xFFFFFF:06x}"
        if index == 7 or not 0 < index < 256:
            return "#000000"
        red, green, blue = colors.aci2rgb(index)
        return f"#{red:02x}{green:02x}{blue:02x}"

    def _dash(self, entity: Any, layer: str, above: _Here) -> tuple[float, ...]:
        name = str(entity.dxf.get("linetype", "BYLAYER"))
        if name.upper() == "BYBLOCK":
            return above.dash
        if name.upper() == "BYLAYER" and layer in self._document.layers:
            name = str(self._document.layers.get(layer).dxf.get("linetype", "CONTINUOUS"))
        if name not in self._document.linetypes:
            return ()
        pattern = self._document.linetypes.get(name).simplified_line_pattern()
        scale = float(entity.dxf.get("ltscale", 1.0)) * float(self._document.header.get("$LTSCALE", 1.0)) * self._factor
        dash = tuple(round(abs(float(length)) * scale, 3) for length in pattern)[:12]
        return dash if all(math.isfinite(length) for length in dash) and any(dash) else ()


def _said(error: BaseException) -> str:
    return " ".join(str(error).split())[:80] or type(error).__name__
