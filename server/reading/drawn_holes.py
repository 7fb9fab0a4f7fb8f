"""Stitch holes that a file already draws, put in order: along the stitch line they lie on, or from each to the nearest."""

from __future__ import annotations

import itertools
import math

import numpy as np
from scipy.spatial import cKDTree

from server.geometry.build import polyline
from server.geometry.nesting import along
from server.geometry.path import Path
from server.leather.piece import Hole
from server.leather.stitch import StitchLine
from server.reading.sheet import Array

ON_THE_LINE = 0.75
"""mm: a hole nearer than this to a stitch line belongs to it."""
_LONGER = 1.8
"""A step longer than this many usual steps starts another row."""


def on_path(path: Path, points: Array, name: str) -> tuple[StitchLine | None, Array]:
    """Return the line of those holes (n, 2) that lie on a path of straight lines, in order, and the holes that do not."""
    if len(points) < 3:
        return None, points
    places, apart = along(path.flatten(), path.closed, points)
    on = apart <= ON_THE_LINE
    near = sorted((s, 0.0, x, y) for s, (x, y) in zip(places[on].tolist(), points[on].tolist(), strict=True))
    rest = points[~on]
    if len(near) < 3:
        return None, points
    holes = tuple(Hole(x, y, path.direction_at(s), name) for s, _, x, y in near)
    return StitchLine(path, holes, tuple(s for s, *_ in near), _chords(near)), rest


def _chords(near: list[tuple[float, float, float, float]]) -> tuple[float, ...]:
    return tuple(math.dist(a[2:], b[2:]) for a, b in itertools.pairwise(near))


def rows(points: Array) -> list[tuple[Array, bool]]:
    """Return holes (n, 2) as rows of at least three, each in order and whether it closes; each next is the nearest left."""
    if len(points) < 3:
        return []
    usual = float(np.median(cKDTree(points).query(points, k=2)[0][:, 1]))
    links = cKDTree(points).query(points, k=3, distance_upper_bound=max(_LONGER * usual, 1e-6))
    ends = [i for i in range(len(points)) if not math.isfinite(float(links[0][i, 2]))]
    left = set(range(len(points)))
    found = []
    for start in [*ends, *range(len(points))]:
        if start not in left:
            continue
        chain = _walk(points, start, left, _LONGER * usual)
        if len(chain) >= 3:
            row = points[chain]
            closes = len(chain) >= 8 and math.dist(row[0], row[-1]) <= _LONGER * usual
            found.append((row, closes))
    return found


def _walk(points: Array, start: int, left: set[int], reach: float) -> list[int]:
    tree = cKDTree(points)
    chain = [start]
    left.discard(start)
    while True:
        around = [i for i in tree.query_ball_point(points[chain[-1]], reach) if i in left]
        if not around:
            return chain
        following = min(around, key=lambda i: math.dist(points[i], points[chain[-1]]))
        chain.append(following)
        left.discard(following)


def through(row: Array, closed: bool, name: str) -> StitchLine:
    """Return the stitch line of straight stitches through a row of holes (n, 2)."""
    path = polyline([(x, y) for x, y in row.tolist()], closed=closed)
    places = path.starts if closed else (*path.starts, path.length)
    holes = tuple(Hole(x, y, path.direction_at(s), name) for (x, y), s in zip(row.tolist(), places, strict=True))
    return StitchLine(path, holes, tuple(places), tuple(segment.length for segment in path.segments))
