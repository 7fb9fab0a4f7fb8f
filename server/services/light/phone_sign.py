"""The sign in the light by which a phone finds the way: a QR code, and the address in letters for a phone without a camera.

The symbol is a QR code model 2 (ISO/IEC 18004), made by the library segno; it is lit as it would be printed: light modules
are light, dark ones stay dark, with four modules of light around it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import numpy as np
import segno

from calibration.bench import Bench
from server.geometry.region import merged
from server.output.projected import Area, Caption, Picture

SIDE_MM = 130.0
"""Side of the code on the table with its margin: a phone held at half a metre reads it (common practice, no source)."""

SHARE = 0.5
"""The code takes at most this share of the picture's lesser side."""

QUIET = 4
"""Modules of light around the code (ISO/IEC 18004)."""

LETTER_PX = 26.0
LIGHT = "#ffffff"


def modules(text: str) -> list[list[bool]]:
    """Return the rows of the code with its margin, True where it is light."""
    code = segno.make_qr(text, error="m")
    return [[not dark for dark in row] for row in code.matrix_iter(border=QUIET)]


def svg_path(text: str) -> tuple[int, str]:
    """Return the number of modules along a side, margin included, and the dark modules as an SVG path, one unit a module."""
    rows = modules(text)
    parts = (f"M{start} {y}h{end - start}v1h{start - end}z" for y, start, end in _runs(rows, light=False))
    return len(rows), "".join(parts)


def picture(text: str, bench: Bench) -> Picture:
    """Return the code about the middle of the picture, square on the table, and the address under it."""
    rows, (width, height) = modules(text), bench.picture
    middle = bench.to_table(np.array([[width / 2, height / 2]]))[0]
    side = min(SIDE_MM, SHARE * _lesser_side(bench))
    module = side / len(rows)
    corner = middle - side / 2
    lit = merged([[(start, y), (end, y), (end, y + 1), (start, y + 1)] for y, start, end in _runs(rows, light=True)])
    rings = tuple(bench.to_picture(corner + module * ring) for ring in lit)
    below = bench.to_picture(np.array([[middle[0], corner[1] + side]]))[0]
    words = Caption(text, width / 2, _under(rings, float(below[1]), height), LETTER_PX, "chosen")
    return Picture(captions=(words,), areas=(Area(LIGHT, rings),))


def _runs(rows: list[list[bool]], *, light: bool) -> Iterator[tuple[int, int, int]]:
    """Yield (row, first column, column after the last) of each run of light or of dark modules."""
    for y, row in enumerate(rows):
        for value, run in groupby(enumerate(row), key=lambda one: one[1]):
            columns = [x for x, _ in run]
            if value is light:
                yield y, columns[0], columns[-1] + 1


def _lesser_side(bench: Bench) -> float:
    outline = bench.footprint()
    return float((outline.max(axis=0) - outline.min(axis=0)).min())


def _under(rings: tuple[np.ndarray, ...], below: float, height: int) -> float:
    """Return where the words stand, px: on the side of the code where there is room, clear of it."""
    lit = np.concatenate(rings)[:, 1]
    low = float(lit.max()) + 1.6 * LETTER_PX
    return low if low < height - LETTER_PX else max(float(lit.min()) - 1.6 * LETTER_PX, min(below, height - LETTER_PX))
