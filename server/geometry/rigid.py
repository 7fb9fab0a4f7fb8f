"""Where a rigid piece lies, from a few places of it that were seen on the table: turned and moved, never stretched.

A seen place counts in both directions (a corner, the end of a slot), or only across an edge (a place somewhere along the
edge, whose normal is given). All equations weigh the same.

With corners alone the answer is in closed form: the turn is the angle of the sum of products of the places about their
middles (Kabsch, Acta Crystallographica A32, 1976, 922; Horn, JOSA A 4, 1987, 629; Umeyama, IEEE PAMI 13, 1991, 376; from
memory). With edges it is found by Gauss-Newton steps from there, the foot on the edge found anew
at each (Chen & Medioni, Image and Vision Computing 10, 1992, 145, point to line; from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from calibration.refusal import Refusal
from server.geometry.placement import Placement, wrap_degrees

Array: TypeAlias = NDArray[np.float64]
Foot: TypeAlias = Callable[[int, Array], tuple[Array, Array]]
"""From the number of a seen edge and a place near it (2,), piece mm: the nearest place (2,) on it, and the unit normal (2,) there."""

NEAREST_MM = 1.0
"""Places that all lie within this of their middle hold no turn, mm."""
WEAKEST = 0.05
"""Least singular value of the equations, with the turn told in mm at the places' own distance: below, something is not held."""
_STEPS, _SETTLED = 40, 1e-10

TOO_FEW = "Two places of the piece are needed at least: one does not show how it is turned."
TOGETHER = "The places lie too close together to show how the piece is turned: choose some that are far apart."
LOOSE = "These places leave the piece free to slide or turn: add a corner, a slot, or an edge that runs another way."


@dataclass(frozen=True)
class Seen:
    """Places of a piece and where they were seen.

    Attributes:
        places: (n, 2) piece mm.
        seen: (n, 2) table mm.
        normals: (n, 2) unit normals of edges, piece mm; NaN where both directions count.

    """

    places: Array
    seen: Array
    normals: Array

    @staticmethod
    def points(places: Array, seen: Array) -> Seen:
        """Return places (n, 2) that count in both directions."""
        return Seen(places, seen, np.full(places.shape, np.nan))

    @property
    def edges(self) -> NDArray[np.bool_]:
        """Return (n,) which places count only across their edge."""
        return np.isfinite(self.normals[:, 0])

    def without(self, index: int) -> Seen:
        """Return all but one place."""
        return Seen(*(np.delete(part, index, axis=0) for part in (self.places, self.seen, self.normals)))


def fit_points(places: Array, seen: Array, *, mirror: bool = False) -> Placement:
    """Return the placement that brings places (n, 2) of the piece, mm, as near as can be to where they were seen.

    Raises:
        Refusal: fewer than two places, or places too close together.

    """
    middle, goal, dot, cross = _products(places, seen, mirror)
    turn = math.degrees(math.atan2(cross, dot))
    turned = Placement(turn_degrees=turn, mirror=mirror).apply(middle)[0]
    return Placement(float(goal[0] - turned[0]), float(goal[1] - turned[1]), wrap_degrees(turn), mirror)


def _products(places: Array, seen: Array, mirror: bool) -> tuple[Array, Array, float, float]:
    if len(places) < 2:
        raise Refusal(TOO_FEW, field="points")
    middle, goal = places.mean(axis=0), seen.mean(axis=0)
    about, towards = places - middle, seen - goal
    if np.hypot(*about.T).max() < NEAREST_MM or np.hypot(*towards.T).max() < NEAREST_MM:
        raise Refusal(TOGETHER, field="points")
    flipped = about * [-1.0, 1.0] if mirror else about
    dot = float((flipped * towards).sum())
    cross = float((flipped[:, 0] * towards[:, 1] - flipped[:, 1] * towards[:, 0]).sum())
    return middle, goal, dot, cross


def fit(seen: Seen, foot: Foot, *, mirror: bool = False) -> tuple[Placement, Seen]:
    """Return the placement that fits best, and the places with each edge's foot where it was found.

    Edges are first taken for places as they stand, so each must be seen roughly where it was asked for.

    Raises:
        Refusal: too few places, too close together, or the piece could still slide or turn.

    """
    placement = fit_points(seen.places, seen.seen, mirror=mirror)
    if not seen.edges.any():
        return placement, seen
    for _ in range(_STEPS):
        seen = _refooted(seen, placement, foot)
        equations, off = system(seen, placement)
        refuse_loose(equations, spread(seen.seen))
        step: Array = np.asarray(np.linalg.lstsq(equations, off, rcond=None)[0], dtype=np.float64)
        placement = moved(placement, seen.seen.mean(axis=0), step)
        if np.abs(step).max() < _SETTLED:
            break
    return placement, _refooted(seen, placement, foot)


def _refooted(seen: Seen, placement: Placement, foot: Foot) -> Seen:
    places, normals, back = seen.places.copy(), seen.normals.copy(), inverse(placement, seen.seen)
    for index in np.flatnonzero(seen.edges):
        places[index], normals[index] = foot(int(index), back[index])
    return replace(seen, places=places, normals=normals)


def inverse(placement: Placement, points: Array) -> Array:
    """Return where on the piece the table places (n, 2) mm are."""
    cos, sin = placement.cos_sin
    about = points - [placement.x, placement.y]
    back = about @ np.array([[cos, -sin], [sin, cos]])
    return np.asarray(back * [-1.0, 1.0] if placement.mirror else back)


def turned(placement: Placement, directions: Array) -> Array:
    """Return directions (n, 2) of the piece as they are on the table."""
    return placement.apply(directions) - [placement.x, placement.y]


def fields(points: Array, about: Array) -> Array:
    """Return how places (n, 2) move with a shift along x, along y, and a turn (rad) about a place (2,): (n, 2, 3)."""
    moves = np.zeros((len(points), 2, 3))
    moves[:, 0, 0] = moves[:, 1, 1] = 1.0
    moves[:, 0, 2], moves[:, 1, 2] = -(points - about)[:, 1], (points - about)[:, 0]
    return moves


def chooser(seen: Seen, placement: Placement) -> Array:
    """Return the (r, 2n) that picks from errors (2n,) on the table what the equations see: both directions, or one across."""
    across, rows = turned(placement, np.nan_to_num(seen.normals)), []
    for index, edge in enumerate(seen.edges):
        part = np.zeros((1 if edge else 2, 2 * len(seen.places)))
        part[:, 2 * index : 2 * index + 2] = across[index] if edge else np.eye(2)
        rows.append(part)
    return np.concatenate(rows)


def system(seen: Seen, placement: Placement) -> tuple[Array, Array]:
    """Return the equations (r, 3) by shift and turn (rad) about the middle of what was seen, and what is still off (r,) mm."""
    placed, pick = placement.apply(seen.places), chooser(seen, placement)
    moves = fields(placed, seen.seen.mean(axis=0)).reshape(-1, 3)
    return pick @ moves, pick @ (seen.seen - placed).ravel()


def spread(points: Array) -> float:
    """Return the root mean square distance of places (n, 2) from their middle, mm."""
    return float(np.sqrt(((points - points.mean(axis=0)) ** 2).sum(axis=1).mean()))


def refuse_loose(equations: Array, reach: float) -> None:
    """Refuse equations (r, 3) that leave the piece free to slide or turn."""
    told_in_mm = equations / np.array([1.0, 1.0, max(reach, NEAREST_MM)])
    if len(equations) < 3 or np.linalg.svd(told_in_mm, compute_uv=False)[-1] < WEAKEST:
        raise Refusal(LOOSE, field="points")


def moved(placement: Placement, about: Array, step: Array) -> Placement:
    """Return the placement shifted by step[:2] mm after a turn by step[2] rad about a table place (2,)."""
    cos, sin = math.cos(step[2]), math.sin(step[2])
    x, y = np.array([placement.x, placement.y]) - about
    turn = wrap_degrees(placement.turn_degrees + math.degrees(step[2]))
    at = about + step[:2] + [cos * x - sin * y, sin * x + cos * y]
    return Placement(float(at[0]), float(at[1]), turn, placement.mirror)
