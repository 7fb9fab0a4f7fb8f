"""A whole piece lit: on dark leather a lit edge shows better than a thin line.

The outline is the edge of the lit area, exactly where the cut line would have its middle; slots and holes are dark in it,
and so are the lines on it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from server.leather.piece import Piece
from server.output.line_styles import Style
from server.output.projected import Area, Picture, Stroke
from server.output.scene import HOLE_TICK, Item, Scene, of_piece

DARK = "#000000"
DOT_MM = 1.2
"""A hole is a dark dot this wide, mm: about a pricking iron's tooth (common practice, no source)."""
LEAST_DOT_PX = 3.0


def area_scene(piece: Piece) -> Scene:
    """Return what bounds the lit area of a piece, in its own mm: the cut outline, then each closed slot."""
    lines = of_piece(piece, ("cut", "slot")).items
    return Scene(tuple(item for item in lines if _bounds(piece, item)))


def inner_scene(piece: Piece, scene: Scene) -> Scene:
    """Return a scene of the piece without the lines that bound its lit area."""
    return replace(scene, items=tuple(item for item in scene.items if not _bounds(piece, item)))


def _bounds(piece: Piece, item: Item) -> bool:
    outline = item.kind == "cut" and item.name == piece.drawn[0].name
    return item.closed and (outline or item.kind == "slot")


def lit(bounds: Picture, inner: Picture, colour: str) -> Picture:
    """Return the area within ``bounds`` in that colour (#rrggbb), with what is ``inner`` dark upon it."""
    area = Area(colour, tuple(stroke.points for stroke in bounds.strokes))
    captions = tuple(replace(caption, chosen=DARK) for caption in inner.captions)
    return Picture(tuple(_dark(stroke) for stroke in inner.strokes), captions, (area,))


def _dark(stroke: Stroke) -> Stroke:
    """Return a stroke in black; a hole becomes a dot in the middle of its tick."""
    style = stroke.style
    if stroke.kind != "hole":
        return replace(stroke, chosen=Style(DARK, style.width, style.dash))
    middle = stroke.points.mean(axis=0)
    long = float(np.hypot(*(stroke.points[-1] - stroke.points[0])))
    wide = max(LEAST_DOT_PX, long * DOT_MM / HOLE_TICK)
    return replace(stroke, points=np.stack([middle, middle]), chosen=Style(DARK, round(wide, 2)))
