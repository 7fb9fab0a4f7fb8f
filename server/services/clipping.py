"""What of a line in the picture leaves the projector: the part inside the picture, and nothing else."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array

Run: TypeAlias = tuple[Array, bool]


def within(points: Array, closed: bool, picture: tuple[int, int]) -> list[Run]:
    """Return the parts of a polyline (n, 2) px that lie in the picture, each with whether it is still closed.

    A line wholly inside comes back as it is. A chord with an end that is not finite is left out: it crosses the
    horizon of the bench, and no light goes there.

    Source: parametric clipping of each chord against the four edges (Liang & Barsky 1984, from memory).
    """
    size = np.array(picture, dtype=np.float64)
    if ((points >= 0) & (points <= size)).all():
        return [(points, closed)]
    starts = points if closed else points[:-1]
    ends = np.vstack([points[1:], points[:1]]) if closed else points[1:]
    enter, leave = _shares(starts, ends, size)
    kept = np.flatnonzero(enter < leave)
    first, last = _between(starts, ends, enter)[kept], _between(starts, ends, leave)[kept]
    whole = (np.diff(kept) == 1) & (leave[kept[:-1]] == 1.0) & (enter[kept[1:]] == 0.0)
    runs = [np.vstack([first[part[:1]], last[part]]) for part in np.split(np.arange(len(kept)), _breaks(whole))]
    return [(run, False) for run in (_joined(runs) if closed else runs) if len(run) > 1]


def _shares(starts: Array, ends: Array, size: Array) -> tuple[Array, Array]:
    """Return at which share of each chord it enters and leaves the picture (n,); entering after leaving: it misses it."""
    with np.errstate(all="ignore"):
        along = ends - starts
        at_low, at_high = -starts / along, (size - starts) / along
    resting = along == 0
    inside = (starts >= 0) & (starts <= size)
    near = np.where(resting, np.where(inside, 0.0, np.inf), np.minimum(at_low, at_high))
    far = np.where(resting, 1.0, np.maximum(at_low, at_high))
    enter, leave = np.maximum(near.max(axis=1), 0.0), np.minimum(far.min(axis=1), 1.0)
    lost = ~np.isfinite(along).all(axis=1)
    return np.where(lost, 1.0, enter), np.where(lost, 0.0, leave)


def _between(starts: Array, ends: Array, share: Array) -> Array:
    """Return the points at a share of each chord; exactly its ends at 0 and 1."""
    with np.errstate(all="ignore"):
        inner = starts + share[:, None] * (ends - starts)
    return np.asarray(np.where(share[:, None] == 1.0, ends, inner))


def _breaks(whole: NDArray[np.bool_]) -> NDArray[np.intp]:
    return np.flatnonzero(~whole) + 1


def _joined(runs: list[Array]) -> list[Array]:
    """Return the runs of a closed line with its last one led on into its first, where they meet."""
    if len(runs) > 1 and len(runs[0]) and np.array_equal(runs[-1][-1], runs[0][0]):
        return [*runs[1:-1], np.vstack([runs[-1], runs[0][1:]])]
    return runs
