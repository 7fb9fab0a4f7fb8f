"""A pattern file read back as pieces, so that it can be printed like a draft."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from server.errors import Refusal
from server.geometry.build import polyline
from server.geometry.svg_reading import Drawing, Shape
from server.leather.piece import Drawn, Hole, Label, Piece, Role


def pieces_of(drawing: Drawing) -> tuple[Piece, ...]:
    """Return the pieces of a pattern file, in the page's mm, the outline of each first.

    Raises:
        Refusal: a piece without a line.

    """
    names = dict.fromkeys(shape.piece for shape in drawing.shapes)
    return tuple(_piece(drawing, name) for name in names)


def _piece(drawing: Drawing, name: str) -> Piece:
    shapes = [shape for shape in drawing.shapes if shape.piece == name]
    drawn = [_drawn(shape) for shape in shapes if shape.role != "hole"]
    if not drawn:
        raise Refusal(f"The piece {name[:40]!r} has holes but no line: give it an outline.")
    drawn.sort(key=lambda one: one.role != "cut")
    labels = tuple(Label(one.text, one.x, one.y, one.size, one.name) for one in drawing.labels if one.piece == name)
    return Piece(name, drawing.titles.get(name, name), tuple(drawn), _holes(shapes), labels)


def _drawn(shape: Shape) -> Drawn:
    points = [(x, y) for x, y in shape.points.tolist()]
    return Drawn(cast(Role, shape.role), polyline(points, closed=shape.closed), shape.name, shape.angle)


def _holes(shapes: Sequence[Shape]) -> tuple[Hole, ...]:
    return tuple(
        Hole(
            float(shape.points[0, 0]),
            float(shape.points[0, 1]),
            shape.angle or 0.0,
            shape.name,
            -1 if shape.attributes.get("slant") == "-1" else 1,
        )
        for shape in shapes
        if shape.role == "hole"
    )
