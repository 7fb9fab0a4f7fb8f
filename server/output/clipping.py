"""What of a line in the picture leaves the projector: the part inside the picture, or within a margin round it."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Run: TypeAlias = tuple[Array, bool]


def within(
    points: Array, closed: bool, picture: tuple[int, int], spill: float = 0.0, longest: float = np.inf
) -> list[Run]:
    """Return the parts of a polyline (n, 2) px that lie in the picture, each with whether it is still closed.

    Args:
        points: px; a chord with an end that is not finite crosses the horizon of the bench, and is left out.
        closed: whether the last point is joined to the first.
        picture: width and height, px.
        spill: margin round the picture that counts as inside, px.
        longest: a chord that spans more px than this, across or down, is left out too.

    A line wholly inside comes back as it is.

    Source: parametric clipping of each chord against the four edges (Liang & Barsky 1984, from memory).

    """
    low, high = -spill, np.array(picture, dtype=np.float64) + spill
    if ((points >= low) & (points <= high)).all():
        return [(points, closed)]
    starts = points if closed else points[:-1]
    ends = np.vstack([points[1:], points[:1]]) if closed else points[1:]
    enter, leave = _shares(starts, ends, low, high, longest)
    kept = np.flatnonzero(enter < leave)
    first, last = _between(starts, ends, enter)[kept], _between(starts, ends, leave)[kept]
    whole = (np.diff(kept) == 1) & (leave[kept[:-1]] == 1.0) & (enter[kept[1:]] == 0.0)
    runs = [np.vstack([first[part[:1]], last[part]]) for part in np.split(np.arange(len(kept)), _breaks(whole))]
    return [(run, False) for run in (_joined(runs) if closed else runs) if len(run) > 1]


def _shares(starts: Array, ends: Array, low: float, high: Array, longest: float) -> tuple[Array, Array]:
    """Return at which share of each chord it enters and leaves the room (n,); entering after leaving: it misses it."""
    with np.errstate(all="ignore"):
        along = ends - starts
        at_low, at_high = (low - starts) / along, (high - starts) / along
        lost = ~(np.isfinite(along) & (np.abs(along) <= longest)).all(axis=1)
    resting = along == 0
    inside = (starts >= low) & (starts <= high)
    near = np.where(resting, np.where(inside, 0.0, np.inf), np.minimum(at_low, at_high))
    far = np.where(resting, 1.0, np.maximum(at_low, at_high))
    enter, leave = np.maximum(near.max(axis=1), 0.0), np.minimum(far.min(axis=1), 1.0)
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


def area_within(ring: Array, picture: tuple[int, int], spill: float, longest: float) -> Array | None:
    """Return the part of an area inside the picture and its margin, as one ring (m, 2) px; (0, 2) where it misses it.

    Two parts of an area come back as one ring that runs along the edge between them. None for an area that reaches
    the horizon of the bench (a chord longer than ``longest`` px): what of it is lit cannot be said.

    Source: Sutherland & Hodgman 1974, one edge of the room after the other (from memory).
    """
    with np.errstate(invalid="ignore"):
        steps = np.abs(np.diff(ring, axis=0, append=ring[:1]))
    if not (steps <= longest).all():
        return None
    for axis in (0, 1):
        ring = _half(ring, axis, -spill, 1.0)
        ring = _half(ring, axis, picture[axis] + spill, -1.0)
    return ring


def _half(ring: Array, axis: int, edge: float, sign: float) -> Array:
    """Return the ring's part on the side of ``edge`` where ``sign`` times the coordinate is larger."""
    depth = sign * (ring[:, axis] - edge)
    if (depth >= 0).all():
        return ring
    after, depth_after = np.roll(ring, -1, axis=0), np.roll(depth, -1)
    crosses = (depth >= 0) != (depth_after >= 0)
    share = np.divide(depth, depth - depth_after, out=np.zeros_like(depth), where=crosses)
    both = np.stack([ring, ring + share[:, None] * (after - ring)], axis=1)
    return np.asarray(both[np.stack([depth >= 0, crosses], axis=1)])
