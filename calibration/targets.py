"""What is thrown on the table to be measured: crosses, and which distance to tape next."""

from __future__ import annotations

from itertools import combinations
from string import ascii_uppercase

import numpy as np

from calibration.refusal import Refusal
from calibration.sightings import Pair, Sightings

_MARGIN = 0.06
"""Share of the picture's height kept free round the grid, so that letters and arms stay inside."""


def crosses(picture: tuple[int, int], columns: int = 5, rows: int = 4) -> dict[str, Pair]:
    """Return lettered crosses, name to (x, y) px on pixel centres, row by row from the top left.

    Raises:
        Refusal: when the grid has fewer than 2 x 2 or more than 26 crosses.

    """
    if not (columns >= 2 and rows >= 2 and columns * rows <= len(ascii_uppercase)):
        raise Refusal(
            f"A grid of {columns} x {rows} crosses cannot be lettered; use 2 x 2 up to 26 crosses.", field="grid"
        )
    width, height = picture
    margin = _MARGIN * height
    x = np.floor(np.linspace(margin, width - margin, columns)) + 0.5
    y = np.floor(np.linspace(margin, height - margin, rows)) + 0.5
    places = [(float(u), float(v)) for v in y for u in x]
    return dict(zip(ascii_uppercase, places, strict=False))


def propose_distance(sightings: Sightings) -> tuple[str, str] | None:
    """Return the pair of crosses to tape next, None when every pair is taken.

    The pair is the one whose crosses have the fewest distances so far; among those the longest, since a long tape holds
    scale and angle best. (A choice from the covariance follows the same call.)
    """
    taken = {frozenset((d.start, d.end)) for d in sightings.distances}
    count = {name: sum(name in pair for pair in taken) for name in sightings.crosses}
    free = [pair for pair in combinations(sightings.crosses, 2) if frozenset(pair) not in taken]
    if not free:
        return None

    def rank(pair: tuple[str, str]) -> tuple[int, int, float]:
        a, b = (np.array(sightings.crosses[name]) for name in pair)
        return max(count[pair[0]], count[pair[1]]), count[pair[0]] + count[pair[1]], -float(np.linalg.norm(a - b))

    return min(free, key=rank)
