"""Patterns as SVG: the true-size pattern file, and the markup of one piece for the pages.

In the file one user unit is one millimetre. Lines and arcs are written as exact lines and arcs, six decimals.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from server.geometry.path import number, path_data
from server.leather.drafts.stepping import NAMES
from server.leather.pattern import Pattern
from server.leather.piece import Drawn, Hole, Label, Piece, Role

MARGIN = 10.0
"""mm of empty page round the pieces."""
BETWEEN = 15.0
"""mm between pieces laid side by side."""
HOLE_RADIUS = 0.5
"""mm: how large a stitch hole is drawn; its place is its centre."""
DECIMALS = 6

_LOOKS: dict[Role, str] = {
    "cut": 'stroke="#000000" stroke-width="0.35"',
    "slot": 'stroke="#000000" stroke-width="0.35"',
    "stitch": 'stroke="#0072b2" stroke-width="0.2" stroke-dasharray="1.5 1"',
    "hole": 'stroke="#d55e00" stroke-width="0.2"',
    "fold": 'stroke="#009e73" stroke-width="0.25" stroke-dasharray="6 2 1 2"',
    "mark": 'stroke="#7f7f7f" stroke-width="0.2" stroke-dasharray="4 1.5"',
}
_GREY = 'stroke="#7f7f7f" stroke-width="0.2"'
_MARK_LOOKS = {"trim": _GREY, "grain": _GREY, "glue-edge": _GREY + ' stroke-dasharray="0.6 1.2"'}


def pattern_svg(pattern: Pattern) -> str:
    """Return the pattern file: every piece side by side at true size, width, height and viewBox in mm.

    Each ``<g data-piece>`` also says where the piece's own origin lies (``data-origin``, mm). Origins are whole
    millimetres, so both halves of a half draft keep the same decimals.
    """
    places = origins(pattern.pieces)
    boxes = [piece.box() for piece in pattern.pieces]
    right = max(x + box[2] for (x, _), box in zip(places, boxes, strict=True))
    bottom = max(y + box[3] for (_, y), box in zip(places, boxes, strict=True))
    groups = [_group(piece, x, y) for piece, (x, y) in zip(pattern.pieces, places, strict=True)]
    return _document(pattern, math.ceil(right + MARGIN), math.ceil(bottom + MARGIN), groups)


def origins(pieces: Sequence[Piece]) -> list[tuple[float, float]]:
    """Return where the origin of each piece lies when they lie side by side, whole mm."""
    places, right = list[tuple[float, float]](), MARGIN
    boxes = [piece.box() for piece in pieces]
    y = float(math.ceil(MARGIN - min(box[1] for box in boxes)))
    for box in boxes:
        x = float(math.ceil(right - box[0]))
        places.append((x, y))
        right = x + box[2] + BETWEEN
    return places


def _document(pattern: Pattern, width: int, height: int, groups: list[str]) -> str:
    sizes = {name: value for name, value in pattern.measures.items() if name not in NAMES}
    measures = ", ".join(f"{name} {number(value, 3)}" for name, value in sizes.items())
    return "\n".join(
        (
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
            f" data-family={quoteattr(pattern.family)}>",
            f"<title>{escape(pattern.title)}</title>",
            f"<desc>True size: one unit is one millimetre. Measures in mm: {escape(measures)}.</desc>",
            *groups,
            "</svg>\n",
        )
    )


def _group(piece: Piece, x: float, y: float) -> str:
    head = f"<g data-piece={quoteattr(piece.name)} data-title={quoteattr(piece.title)}"
    lines = [f'{head} data-origin="{number(x)} {number(y)}" fill="none">']
    lines.extend(_line(drawn, x, y, _MARK_LOOKS.get(drawn.name, _LOOKS[drawn.role])) for drawn in piece.drawn)
    lines.extend(_hole(hole, x, y, _LOOKS["hole"]) for hole in piece.holes)
    lines.extend(_label(label, x, y, 'font-family="sans-serif" fill="#7f7f7f"') for label in piece.labels)
    return "\n".join((*lines, "</g>"))


def piece_svg(piece: Piece) -> str:
    """Return the inner markup of one piece in its own mm, for a page to place and to style by class.

    Every drawn thing has a class ``role-cut``, ``role-slot``, ``role-stitch``, ``role-hole``, ``role-fold`` or
    ``role-mark``, and ``data-role`` and ``data-name``. Holes are circles with ``data-seam`` and ``data-angle``.
    """
    lines = [_line(drawn, 0.0, 0.0, f'class="role-{drawn.role}"') for drawn in piece.drawn]
    lines.extend(_hole(hole, 0.0, 0.0, 'class="role-hole"') for hole in piece.holes)
    lines.extend(_label(label, 0.0, 0.0, 'class="role-mark label"') for label in piece.labels)
    return "\n".join(lines)


def _line(drawn: Drawn, x: float, y: float, looks: str) -> str:
    angle = "" if drawn.angle is None else f' data-angle="{number(drawn.angle)}"'
    data = path_data(drawn.path, x, y, DECIMALS)
    return f'<path data-role="{drawn.role}" data-name={quoteattr(drawn.name)}{angle} {looks} d="{data}"/>'


def _hole(hole: Hole, x: float, y: float, looks: str) -> str:
    place = f'cx="{number(x + round(hole.x, DECIMALS))}" cy="{number(y + round(hole.y, DECIMALS))}" r="{HOLE_RADIUS}"'
    turned = f'data-angle="{number(hole.angle)}"' + ("" if hole.slant == 1 else f' data-slant="{hole.slant}"')
    return f'<circle data-role="hole" data-seam={quoteattr(hole.seam)} {turned} {looks} {place}/>'


def _label(label: Label, x: float, y: float, looks: str) -> str:
    place = f'x="{number(x + label.x)}" y="{number(y + label.y)}" font-size="{number(label.size)}" text-anchor="middle"'
    return f'<text data-role="mark" data-name={quoteattr(label.name)} {looks} {place}>{escape(label.text)}</text>'
