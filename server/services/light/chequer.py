"""Patches of a chequerboard of single pixels, by which a person sees whether the projector scales the picture.

Where a projector pixel is a picture pixel, each square is sharp; where the picture is scaled or squared up digitally, some
squares run together and the patch turns grey, or shows bands.
"""

from __future__ import annotations

from typing import TypeAlias

Patch: TypeAlias = tuple[int, int, int, int]
"""Left, top, width, height in whole device px. Pixel (i, j) in it is white when i + j is even, else black."""

SIDE_SHARE = 6
"""A patch is this part of the picture's shorter side: large enough to show a beat of a few per cent of scaling."""


def patches(picture: tuple[int, int]) -> list[Patch]:
    """Return five patches, in the corners and in the middle of a picture (width, height) px."""
    width, height = picture
    side = max(8, min(picture) // SIDE_SHARE)
    right, bottom = width - side, height - side
    corners = [(x, y, side, side) for y in (0, bottom) for x in (0, right)]
    return [*corners, (right // 2, bottom // 2, side, side)]
