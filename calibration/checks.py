"""What a set of sightings must not be: too few, in line, in one place, crossed, or with the horizon in the picture."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.refusal import Refusal
from calibration.sightings import Sightings

_LEAST_BAND = 0.01
"""Crosses within this share of the picture's diagonal of one line count as in line."""
_LEAST_AREA = 0.02
"""Triangles below this share of the largest say nothing about the order."""
_MOST_TRIPLES = 12


def check_sightings(sightings: Sightings) -> None:
    """Refuse sightings that cannot fix a picture.

    Raises:
        Refusal: fewer sightings than needed, two crosses on one place, all crosses in line, crossed order.

    """
    _check_count(sightings)
    _check_apart(sightings)
    _check_line(sightings)
    _check_order(sightings)


def check_horizon(bench: Bench) -> None:
    """Refuse a bench whose plane map sends part of the picture over the horizon.

    Raises:
        Refusal: when w changes sign inside the picture.

    """
    width, height = bench.picture
    u, v = np.meshgrid(np.linspace(0, width, 9), np.linspace(0, height, 7))
    ideal = bench.lens.inverse(np.column_stack([u.ravel(), v.ravel()]))
    w = bench.plane.inverse().denominators(ideal)
    if w.min() <= 0 <= w.max():
        raise Refusal(
            "The horizon lies inside the picture with these sightings; two crosses are swapped or a figure is mistyped."
        )


def _check_count(sightings: Sightings) -> None:
    marks, lengths = len(sightings.positions), len(sightings.distances)
    figures = 2 * marks + lengths
    crosses = {n for d in sightings.distances for n in (d.start, d.end)} | {p.cross for p in sightings.positions}
    if not marks and not lengths:
        raise Refusal("Nothing is sighted yet: give the places of four crosses, or the distances between them.")
    if len(crosses) < 4:
        raise Refusal(
            f"Only {len(crosses)} crosses are sighted; at least four are needed, well spread over the picture."
        )
    needed = 5 if sightings.tape_only else 8
    if figures < needed:
        missing = needed - figures
        what = "distances" if sightings.tape_only else f"distances, or {-(-missing // 2)} known marks"
        raise Refusal(
            f"{marks} known marks and {lengths} distances give {figures} figures; at least {needed} are needed: add {missing} {what}."
        )


def _check_apart(sightings: Sightings) -> None:
    for (one, a), (two, b) in combinations(sightings.crosses.items(), 2):
        if np.hypot(a[0] - b[0], a[1] - b[1]) < 1.0:
            raise Refusal(
                f"Crosses {one} and {two} stand on one place of the picture; move one of them.", field="crosses"
            )
    for p, q in combinations(sightings.positions, 2):
        near = np.hypot(p.at[0] - q.at[0], p.at[1] - q.at[1]) < 1.0
        if p.cross != q.cross and p.height == q.height and near:
            raise Refusal(
                f"Crosses {p.cross} and {q.cross} are both said to lie at ({p.at[0]:.1f}, {p.at[1]:.1f}) mm; sight one of them again.",
                field="positions",
            )


def _check_line(sightings: Sightings) -> None:
    """Refuse crosses of which all, or all but one, lie on one line: the picture could swing about it."""
    used = sorted({n for d in sightings.distances for n in (d.start, d.end)} | {p.cross for p in sightings.positions})
    _refuse_line(used, sightings.pixels(used), float(np.hypot(*sightings.picture)))
    at = {p.cross: p.at for p in sightings.positions if p.height == 0}
    if len(at) >= 4 and not sightings.distances:
        places = np.array(list(at.values()))
        _refuse_line(list(at), places, float(np.linalg.norm(np.ptp(places, axis=0))))


def _refuse_line(names: list[str], points: Array, size: float) -> None:
    for one, two in combinations(range(len(names)), 2):
        along = points[two] - points[one]
        length = float(np.linalg.norm(along))
        away = points - points[one]
        near = np.abs(along[0] * away[:, 1] - along[1] * away[:, 0]) < _LEAST_BAND * size * max(length, 1e-9)
        if len(names) - int(near.sum()) < 2:
            line = ", ".join(name for name, on in zip(names, near, strict=True) if on)
            raise Refusal(
                f"Crosses {line} lie on one line and fewer than two lie off it; sight one more well off that line."
            )


def _check_order(sightings: Sightings) -> None:
    places = {p.cross: p.at for p in sightings.positions if p.height == min(q.height for q in sightings.positions)}
    if len(places) < 4 or _in_order(sightings.crosses, places):
        return
    for one, two in combinations(places, 2):
        if len(places) > 4 and _in_order(sightings.crosses, {**places, one: places[two], two: places[one]}):
            raise Refusal(
                f"Crosses {min(one, two)} and {max(one, two)} look swapped; check their letters.", field="positions"
            )
    for one in places:
        if len(places) > 5 and _in_order(sightings.crosses, {k: v for k, v in places.items() if k != one}):
            raise Refusal(f"The place of {one} does not fit between its neighbours; sight it again.", field="positions")
    names = ", ".join(places)
    raise Refusal(
        f"The places of {names} run in a crossed (bow-tie) order: two letters are swapped; check them.",
        field="positions",
    )


def _in_order(crosses: Mapping[str, tuple[float, float]], places: Mapping[str, tuple[float, float]]) -> bool:
    """True when every triangle of crosses turns the same way on the table as in the picture, or every one the other way."""
    names = list(places)
    if len(names) > _MOST_TRIPLES:
        names = names[:: -(-len(names) // _MOST_TRIPLES)] if len(names) > 40 else names
    triples = np.array(list(combinations(range(len(names)), 3)))
    shown, seen = (_areas(np.array([of[n] for n in names], dtype=np.float64), triples) for of in (crosses, places))
    clear = (np.abs(shown) > _LEAST_AREA * np.abs(shown).max()) & (np.abs(seen) > _LEAST_AREA * np.abs(seen).max())
    turns = np.sign(shown[clear] * seen[clear])
    return bool((turns > 0).all() or (turns < 0).all())


def _areas(points: Array, triples: np.ndarray[tuple[int, int], np.dtype[np.int64]]) -> Array:
    a, b, c = points[triples[:, 0]], points[triples[:, 1]], points[triples[:, 2]]
    return np.asarray((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
