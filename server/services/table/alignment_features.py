"""Places of a piece that a maker can bring the light's cross-hair onto once it is cut: corners, edges, slots, holes.

A corner, the end of a slot or a hole is seen in both directions. A straight side or a rounded corner is seen only across:
the cross-hair may stand anywhere on it near the place that is marked.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np

from calibration.arrays import Array
from server.geometry import rigid
from server.geometry.path import Path, Point
from server.geometry.segment import Arc
from server.leather.pattern import Step
from server.leather.piece import Drawn, Piece

Sort: TypeAlias = Literal["corner", "side", "round", "slot", "hole", "mark"]

CORNER_DEGREES = 20.0
"""A corner that turns less is not seen as one."""
SIDE_MM = 25.0
"""A straight side shorter than this is not asked for, mm."""
ROUND_DEGREES = 40.0
"""A rounding that turns less is not asked for."""
MOST_ASKED = 4
"""So many places are asked for of one's own accord: one more than shows a mistake."""


@dataclass(frozen=True)
class Feature:
    """A place of a piece to bring the cross-hair onto.

    Args:
        name: identifier within the piece.
        title: as a person reads it.
        sort: what it is.
        at: piece mm.
        normal: unit normal of the edge, for a place that is seen only across it.

    """

    name: str
    title: str
    sort: Sort
    at: Point
    normal: Point | None = None


def features(piece: Piece, marks: Sequence[tuple[str, Point]] = ()) -> list[Feature]:
    """Return what can be aimed at on a piece; ``marks`` are witness crosses on it, by letter, which come first."""
    found = [Feature(f"mark-{name}", f"Cross {name}", "mark", at) for name, at in marks]
    return _told_apart([*found, *_corners(piece), *_slots(piece), *_edges(piece), *_holes(piece)])


def _told_apart(found: list[Feature]) -> list[Feature]:
    """Return the places with a number behind each title that stands more than once."""
    titles = Counter(feature.title for feature in found)
    seen: Counter[str] = Counter()
    for index, feature in enumerate(found):
        seen[feature.title] += 1
        if titles[feature.title] > 1:
            found[index] = replace(feature, title=f"{feature.title} ({seen[feature.title]})")
    return found


def made(found: Sequence[Feature], steps: Sequence[Step], now: Step | None, piece: str) -> list[Feature]:
    """Return the places that are there once the steps before ``now`` are done; all, while no step is chosen.

    Outlines always count: nobody looks for a piece that was never cut.
    """
    if now is None:
        return list(found)
    before = steps[: [step.name for step in steps].index(now.name)]
    roles = {role for step in before if step.piece == piece for role in step.roles}
    return [feature for feature in found if feature.sort not in ("slot", "hole") or feature.sort in roles]


def asked(found: Sequence[Feature], most: int = MOST_ASKED) -> list[str]:
    """Return the names of the places that hold the piece best together, the best first.

    All witness crosses where there are any. Else one after the other the place that adds most to the determinant of the
    normal equations (D-optimal, greedy: Wynn, Annals of Mathematical Statistics 41, 1970, 1655, from memory).
    """
    marks = [feature.name for feature in found if feature.sort == "mark"]
    if marks:
        return marks
    rows, names, left = _rows(found), list[str](), list(range(len(found)))
    normal = np.eye(3) * 1e-6
    while left and len(names) < most:
        best = max(left, key=lambda i: float(np.linalg.slogdet(normal + rows[i].T @ rows[i])[1]))
        normal = normal + rows[best].T @ rows[best]
        left.remove(best)
        names.append(found[best].name)
    return names


def _rows(found: Sequence[Feature]) -> list[Array]:
    """Return the equations of each place, (1 or 2, 3), the turn told in mm at the places' usual distance."""
    places = np.array([feature.at for feature in found], dtype=np.float64).reshape(-1, 2)
    middle = (places.min(axis=0) + places.max(axis=0)) / 2.0
    scale = np.array([1.0, 1.0, 1.0 / max(rigid.spread(places), 1.0)])
    moves = rigid.fields(places, middle) * scale
    return [move if f.normal is None else np.array([f.normal]) @ move for f, move in zip(found, moves, strict=True)]


def foot_on(path: Path, point: Array) -> tuple[Array, Array]:
    """Return the place (2,) of a path nearest to a point (2,), mm, and the unit normal (2,) there.

    The path's chords stay within 0.005 mm of it.
    """
    ring = path.flatten(0.005)
    starts, ends = (ring, np.roll(ring, -1, axis=0)) if path.closed else (ring[:-1], ring[1:])
    along = ends - starts
    share = np.clip(((point - starts) * along).sum(axis=1) / (along**2).sum(axis=1), 0.0, 1.0)
    feet = starts + share[:, None] * along
    best = int(np.hypot(*(point - feet).T).argmin())
    way = along[best] / np.hypot(*along[best])
    return feet[best], np.array([-way[1], way[0]])


def _corners(piece: Piece) -> Iterator[Feature]:
    for number, s in enumerate(piece.outline.corners(CORNER_DEGREES), 1):
        at = piece.outline.point_at(s)
        yield Feature(f"corner-{number}", f"Corner, {where(piece, at)}", "corner", at)


def _edges(piece: Piece) -> Iterator[Feature]:
    """Return the middle of each straight side and of each rounding."""
    for number, (start, segment) in enumerate(zip(piece.outline.starts, piece.outline.segments, strict=False), 1):
        middle = start + segment.length / 2.0
        at, way = piece.outline.point_at(middle), math.radians(piece.outline.direction_at(middle))
        normal = (-math.sin(way), math.cos(way))
        if isinstance(segment, Arc):
            if math.degrees(abs(segment.sweep)) >= ROUND_DEGREES:
                yield Feature(f"round-{number}", f"Rounding, {where(piece, at)}", "round", at, normal)
        elif segment.length >= SIDE_MM:
            yield Feature(f"side-{number}", f"Edge, {where(piece, at)}", "side", at, normal)


def _slots(piece: Piece) -> Iterator[Feature]:
    for drawn in piece.drawn:
        if drawn.role == "slot":
            yield from _slot(drawn)


def _slot(drawn: Drawn) -> Iterator[Feature]:
    """Return the middle of a round hole, or the two ends of a slot."""
    points = drawn.path.flatten()
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    way = np.linalg.svd(points - points.mean(axis=0), full_matrices=False)[2][0]
    reach = (points - middle) @ way
    title = drawn.name.replace("-", " ").capitalize()
    wide = float(np.ptp((points - middle) @ np.array([-way[1], way[0]])))
    if np.ptp(reach) < 1.3 * wide:
        yield Feature(f"slot:{drawn.name}", f"{title}, its middle", "slot", _pair(middle))
        return
    ends = sorted((_pair(middle + far * way) for far in (reach.min(), reach.max())), key=lambda at: at[::-1])
    names = ("upper", "lower") if abs(way[1]) > abs(way[0]) else ("left", "right")
    for name, at in zip(names, ends if names[0] == "upper" else sorted(ends), strict=True):
        yield Feature(f"slot:{drawn.name}-{name}", f"{title}, {name} end", "slot", at)


def _holes(piece: Piece) -> Iterator[Feature]:
    """Return the first and the last stitch hole of each seam; of a ring, which has no ends, the first and the one opposite."""
    for seam in dict.fromkeys(hole.seam for hole in piece.holes):
        holes = piece.holes_of(seam)
        ring = math.dist((holes[0].x, holes[0].y), (holes[-1].x, holes[-1].y)) < 12.0 and len(holes) > 6
        last = len(holes) // 2 if ring else len(holes) - 1
        for index in dict.fromkeys((0, last)):
            hole = holes[index]
            title = f"Stitch hole {index + 1} of {seam.replace('-', ' ')}, {where(piece, (hole.x, hole.y))}"
            yield Feature(f"hole:{seam}-{index + 1}", title, "hole", (hole.x, hole.y))


def where(piece: Piece, at: Point) -> str:
    """Return in which ninth of the piece, as it is drawn, a place lies: top left, top, ... middle, ... bottom right."""
    left, top, right, bottom = piece.box()
    across = _third(at[0], left, right, ("left", "", "right"))
    down = _third(at[1], top, bottom, ("top", "", "bottom"))
    return f"{down} {across}".strip() or "middle"


def _third(value: float, low: float, high: float, words: tuple[str, str, str]) -> str:
    share = (value - low) / max(high - low, 1e-9)
    return words[0] if share < 1 / 3 else words[2] if share > 2 / 3 else words[1]


def _pair(at: Array) -> Point:
    return float(at[0]), float(at[1])
