"""Finds drawn lines in a screenshot to a fraction of a pixel.

A line covers pixels in proportion, so the mean of their distances from where the line should be, weighted by their
brightness, is how far the line really is from there (the centroid across the line).
"""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Array = NDArray[np.float64]

REACH = 5.0
"""Pixels to each side within which the light of a line is looked for."""


def brightness(screenshot: bytes) -> Array:
    """Return a screenshot's pixels as (rows, columns), 0 dark to 1 full; the strongest colour of each pixel counts."""
    with Image.open(io.BytesIO(screenshot)) as image:
        colours = np.asarray(image.convert("RGB"), dtype=np.float64)
    return np.asarray(colours.max(axis=2) / 255.0)


def along(points: Array, closed: bool, step: float) -> tuple[Array, Array]:
    """Return places every ``step`` px along a polyline (n, 2) and the unit normals there, both (m, 2)."""
    corners = np.vstack([points, points[:1]]) if closed else points
    legs = np.hypot(*np.diff(corners, axis=0).T)
    reached = np.concatenate([[0.0], np.cumsum(legs)])
    count = max(2, int(reached[-1] // step))
    wanted = (np.arange(count) + 0.5) / count * reached[-1]
    leg = np.clip(np.searchsorted(reached, wanted, side="right") - 1, 0, len(legs) - 1)
    ways = np.diff(corners, axis=0)[leg] / legs[leg, None]
    places = corners[leg] + (wanted - reached[leg])[:, None] * ways
    return places, np.column_stack([-ways[:, 1], ways[:, 0]])


def offsets(picture: Array, points: Array, closed: bool, step: float = 6.0) -> tuple[Array, Array, Array]:
    """Measure how far a drawn line lies from where it should be.

    Args:
        picture: brightness (rows, columns); no other light within ``REACH`` of the line.
        points: where the line should be, (n, 2) px, pixel edges on whole numbers.
        closed: whether the line runs round.
        step: px between the places where it is measured.

    Returns:
        The places (m, 2) px, the normals (m, 2), and how far the light is from there along the normal (m,) px; NaN where
        there is no light.

    """
    places, normals = along(points, closed, step)
    fine, fine_normals = along(points, closed, 0.25)
    found = np.full(len(places), np.nan)
    for number, place in enumerate(places):
        pixels, light = _near(picture, place, REACH + step)
        close = fine[np.hypot(*(fine - place).T) < REACH + step]
        close_normals = fine_normals[np.hypot(*(fine - place).T) < REACH + step]
        nearest = np.hypot(*(pixels[:, None] - close[None]).transpose(2, 0, 1)).argmin(axis=1)
        across = np.einsum("ij,ij->i", pixels - close[nearest], close_normals[nearest])
        lengthwise = np.hypot(*(close[nearest] - place).T)
        # The window opens and closes softly along the line, or its edge would pull at the mean.
        weight = light * np.cos(np.clip(lengthwise / step, 0, 1) * np.pi / 2) ** 2 * (np.abs(across) <= REACH)
        if weight.sum() > 1.0:
            found[number] = (weight * across).sum() / weight.sum()
    return places, normals, found


def spot(picture: Array, place: Array, reach: float = 3.0) -> Array:
    """Return the middle (2,) px of the light within ``reach`` px of a place; NaN where there is none."""
    middle = np.array(place, dtype=np.float64)
    for _ in range(4):
        pixels, light = _near(picture, middle, reach)
        weight = light * (np.hypot(*(pixels - middle).T) <= reach)
        if weight.sum() < 0.5:
            return np.full(2, np.nan)
        middle = (weight[:, None] * pixels).sum(axis=0) / weight.sum()
    return middle


def _near(picture: Array, place: Array, reach: float) -> tuple[Array, Array]:
    """Return the centres (n, 2) of the pixels round a place and their brightness (n,)."""
    low = np.maximum(np.floor(place - reach - 1).astype(int), 0)
    high = np.minimum(np.ceil(place + reach + 1).astype(int), picture.shape[::-1])
    x, y = np.meshgrid(np.arange(low[0], high[0]), np.arange(low[1], high[1]))
    pixels = np.column_stack([x.ravel(), y.ravel()]) + 0.5
    return pixels, picture[low[1] : high[1], low[0] : high[0]].ravel()
