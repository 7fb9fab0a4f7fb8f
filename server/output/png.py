"""A picture of strokes as a PNG: each pixel lit by how much of it the line covers, so that line centres are true."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from server.output.projected import Picture, Stroke

Array = NDArray[np.float64]
_LONGEST_PART = 48.0


def png(picture: Picture, size: tuple[int, int]) -> bytes:
    """Return the strokes on black as a PNG of ``size`` (width, height) px. Captions are left to the projector window."""
    width, height = size
    canvas = np.zeros((height, width, 3), dtype=np.float32)
    for stroke in picture.strokes:
        style = stroke.style
        colour = np.array([int(style.colour[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.float32)
        for start, end in _parts(stroke, style.dash):
            _draw(canvas, start, end, style.width, colour)
    out = io.BytesIO()
    Image.fromarray(np.round(canvas).astype(np.uint8)).save(out, "PNG")
    return out.getvalue()


def _parts(stroke: Stroke, dash: tuple[float, ...]) -> list[tuple[Array, Array]]:
    """Return the lit straight parts of a stroke, none long, dashes cut by the length along it."""
    points = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    every = np.arange(0.0, along[-1], _LONGEST_PART)
    cuts = np.unique(np.concatenate([along, every, _dash_ends(float(along[-1]), dash)]))
    x, y = np.interp(cuts, along, points[:, 0]), np.interp(cuts, along, points[:, 1])
    at = np.column_stack([x, y])
    middle = (cuts[1:] + cuts[:-1]) / 2
    lit = _is_lit(middle, dash)
    return [(at[i], at[i + 1]) for i in np.flatnonzero(lit)]


def _dash_ends(length: float, dash: tuple[float, ...]) -> Array:
    if not dash:
        return np.array([length])
    ends = np.cumsum(np.tile(dash, int(length / sum(dash)) + 1))
    return np.append(ends[ends < length], length)


def _is_lit(middle: Array, dash: tuple[float, ...]) -> NDArray[np.bool_]:
    if not dash:
        return np.ones(len(middle), dtype=bool)
    phase = np.mod(middle, sum(dash))
    return np.asarray(np.searchsorted(np.cumsum(dash), phase, side="right") % 2 == 0)


def _draw(canvas: NDArray[np.float32], start: Array, end: Array, width: float, colour: NDArray[np.float32]) -> None:
    """Light the pixels that a straight part covers; coverage falls from one to nothing over the pixel at its edge."""
    reach = width / 2 + 1
    low = np.floor(np.minimum(start, end) - reach).astype(int)
    high = np.ceil(np.maximum(start, end) + reach).astype(int)
    left, top = np.maximum(low, 0)
    right, bottom = np.minimum(high, [canvas.shape[1], canvas.shape[0]])
    if left >= right or top >= bottom:
        return
    x, y = np.meshgrid(np.arange(left, right) + 0.5, np.arange(top, bottom) + 0.5)
    cover = np.clip(width / 2 + 0.5 - _distance(x, y, start, end), 0.0, min(1.0, width))
    part = canvas[top:bottom, left:right]
    np.maximum(part, cover[:, :, None].astype(np.float32) * colour, out=part)


def _distance(x: Array, y: Array, start: Array, end: Array) -> Array:
    along = end - start
    length2 = float(along @ along)
    share = np.clip(((x - start[0]) * along[0] + (y - start[1]) * along[1]) / length2, 0.0, 1.0) if length2 else 0.0 * x
    return np.asarray(np.hypot(x - start[0] - share * along[0], y - start[1] - share * along[1]))
