"""What a good maker looks for before cutting: each finding with its place, a sentence and a remedy. Works on any pattern.

Margins and necks are measured from the holes, not from the stitch line: a seam may run out over an edge, a hole may not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from server.geometry.nearness import crossing, distances, fits_in, gap
from server.geometry.path import Point
from server.geometry.region import contains, inside
from server.leather.norms import MATING_TOLERANCE
from server.leather.norms_sewing import FOLD_CLEARANCE, LEAST_MARGIN, LEAST_NECK, LEAST_SLOT_MARGIN, WELT_SHARE
from server.leather.pattern import Pattern, Seam
from server.leather.piece import Drawn, Piece

Kind = Literal[
    "margin", "fold", "outside", "slot edge", "neck", "crossing", "larger than the picture", "thin welt", "mating"
]
_DUST = 0.01
"""mm: rounding and flattening; a distance this much short is not short."""


@dataclass(frozen=True)
class Limits:
    """What the maker holds a pattern to.

    Attributes:
        margin: mm, least leather from a hole to the edge.
        slot_margin: mm, least leather from a slot to the edge.
        neck: mm, least leather from a slot to a hole.
        fold: mm, least distance from a hole to a fold.
        mating: share two mating seams may differ by.
        picture: (m, 2) mm, outline of the picture on the table; None when no bench is chosen.
        spine: mm, thickness of the blade's spine, for a sheath; None takes the pattern's measure "spine", if it has one.
        welt: mm, thickness of the welt; None takes the pattern's measure "welt".

    """

    margin: float = LEAST_MARGIN.value
    slot_margin: float = LEAST_SLOT_MARGIN.value
    neck: float = LEAST_NECK.value
    fold: float = FOLD_CLEARANCE.value
    mating: float = MATING_TOLERANCE.value
    picture: tuple[Point, ...] | None = None
    spine: float | None = None
    welt: float | None = None


@dataclass(frozen=True)
class Finding:
    """One thing to put right before cutting.

    Attributes:
        kind: what it is about.
        piece: name of the piece.
        place: (x, y) mm, piece-local: where to look.
        sentence: what is wrong, where, with its number.
        remedy: what to do.

    """

    kind: Kind
    piece: str
    place: Point
    sentence: str
    remedy: str


def picture_of(width: float, height: float) -> tuple[Point, ...]:
    """Return the outline (mm) of a picture of that size, for `Limits.picture`."""
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def check(pattern: Pattern, limits: Limits | None = None) -> tuple[Finding, ...]:
    """Return everything a good maker would stop at, piece by piece, then the seams that are sewn to each other."""
    held = limits or Limits()
    found = [one for piece in pattern.pieces for look in _LOOKS for one in look(piece, held)]
    return (*found, *_mating(pattern, held), *_welt(pattern, held))


def _margin(piece: Piece, limits: Limits) -> Iterator[Finding]:
    for seam, points in _seams(piece):
        apart = np.where(_within(piece, points), distances(points, piece.outline), np.inf)
        worst = int(np.argmin(apart))
        if apart[worst] < limits.margin - _DUST:
            count = int(np.count_nonzero(apart < limits.margin - _DUST))
            few = "A hole" if count == 1 else f"{count} holes"
            yield Finding(
                "margin",
                piece.name,
                _place(points[worst]),
                f"{few} of {seam} on {piece.title.lower()} {'lies' if count == 1 else 'lie'} under {limits.margin:.3g} mm from the edge, "
                f"the nearest {apart[worst]:.1f} mm.",
                f"Move the edge out by {limits.margin - apart[worst]:.1f} mm or the seam in.",
            )


def _outside(piece: Piece, limits: Limits) -> Iterator[Finding]:  # noqa: ARG001 - every look takes the limits
    for seam, points in _seams(piece):
        out = ~_within(piece, points)
        for slot in _slots(piece):
            out |= inside(slot.path.flatten(0.002), points) & (distances(points, slot.path) > _DUST)
        if out.any():
            index, count = int(np.argmax(out)), int(np.count_nonzero(out))
            yield Finding(
                "outside",
                piece.name,
                _place(points[index]),
                f"{count} of the {len(points)} holes of {seam} on {piece.title.lower()} {'does' if count == 1 else 'do'} "
                "not lie in leather.",
                "Bring the seam inside the edge and past the slots, or make the piece larger.",
            )


def _folds(piece: Piece, limits: Limits) -> Iterator[Finding]:
    for fold in (drawn for drawn in piece.drawn if drawn.role == "fold"):
        for seam, points in _seams(piece):
            apart = distances(points, fold.path)
            worst = int(np.argmin(apart))
            if apart[worst] < limits.fold - _DUST:
                yield Finding(
                    "fold",
                    piece.name,
                    _place(points[worst]),
                    f"A hole of {seam} on {piece.title.lower()} lies in the fold {fold.name}, {apart[worst]:.1f} mm from its line.",
                    "Move the end of the seam so that the fold falls between two holes.",
                )


def _slot_edges(piece: Piece, limits: Limits) -> Iterator[Finding]:
    for slot in _slots(piece):
        apart, place = gap(slot.path, piece.outline)
        held = contains(piece.outline.flatten(0.002), slot.path.flatten(0.002))
        if held and apart >= limits.slot_margin - _DUST:
            continue
        how = f"{apart:.1f} mm from the edge" if held else "over the edge"
        yield Finding(
            "slot edge",
            piece.name,
            place,
            f"{slot.name} on {piece.title.lower()} lies {how}; {limits.slot_margin:.3g} mm is the least.",
            "Move it in or widen the piece there.",
        )


def _necks(piece: Piece, limits: Limits) -> Iterator[Finding]:
    for slot in _slots(piece):
        for seam, points in _seams(piece):
            apart = distances(points, slot.path)
            worst = int(np.argmin(apart))
            if apart[worst] < limits.neck - _DUST:
                yield Finding(
                    "neck",
                    piece.name,
                    _place(points[worst]),
                    f"Only {apart[worst]:.1f} mm of leather are left between {slot.name} and {seam} on {piece.title.lower()}; "
                    f"{limits.neck:.3g} mm is the least.",
                    f"Move the slot {limits.neck - apart[worst]:.1f} mm from the seam.",
                )


def _crossings(piece: Piece, limits: Limits) -> Iterator[Finding]:  # noqa: ARG001 - every look takes the limits
    for slot in _slots(piece):
        for drawn in piece.drawn:
            found = crossing(drawn.path, slot.path) if drawn.role == "stitch" else None
            if found is not None:
                yield Finding(
                    "crossing",
                    piece.name,
                    found[1],
                    f"The stitch line {drawn.name} crosses {slot.name} on {piece.title.lower()} for {found[0]:.1f} mm.",
                    "Move the slot or lead the seam round it.",
                )


def _too_large(piece: Piece, limits: Limits) -> Iterator[Finding]:
    if limits.picture is None:
        return
    points = piece.outline.flatten(0.1)
    if fits_in(points, limits.picture) is None:
        left, top = points.min(axis=0).tolist()
        right, bottom = points.max(axis=0).tolist()
        yield Finding(
            "larger than the picture",
            piece.name,
            ((left + right) / 2.0, (top + bottom) / 2.0),
            f"{piece.title}, {right - left:.0f} x {bottom - top:.0f} mm, is larger than the picture, however it is turned.",
            "Project it in parts, moving the leather along marks, or use a bench with a larger picture.",
        )


_LOOKS: tuple[Callable[[Piece, Limits], Iterator[Finding]], ...] = (
    _margin,
    _outside,
    _folds,
    _slot_edges,
    _necks,
    _crossings,
    _too_large,
)


def _mating(pattern: Pattern, limits: Limits) -> Iterator[Finding]:
    for seam in pattern.seams:
        if seam.mate:
            yield from _pair(pattern, seam, pattern.seam(seam.mate), limits)


def _pair(pattern: Pattern, seam: Seam, master: Seam, limits: Limits) -> Iterator[Finding]:
    place = _middle_hole(pattern.piece(seam.piece), seam.name)
    if seam.holes != master.holes:
        yield Finding(
            "mating",
            seam.piece,
            place,
            f"{seam.title} has {seam.holes} holes and {master.title.lower()}, which it is sewn to, {master.holes}.",
            "Give both the count of the master line.",
        )
    off = abs(seam.length_mm - seam.eased_mm - master.length_mm)
    if off > limits.mating * master.length_mm:
        yield Finding(
            "mating",
            seam.piece,
            place,
            f"{seam.title} is {off:.1f} mm ({100 * off / master.length_mm:.0f} %) "
            f"{'longer' if seam.length_mm > master.length_mm else 'shorter'} than {master.title.lower()}, which it is sewn to.",
            "Change its length by that much, or ease the longer one in evenly.",
        )


def _welt(pattern: Pattern, limits: Limits) -> Iterator[Finding]:
    spine = pattern.measures.get("spine") if limits.spine is None else limits.spine
    welt = pattern.measures.get("welt") if limits.welt is None else limits.welt
    if spine is None or welt is None or welt >= WELT_SHARE.value * spine - 1e-9:
        return
    piece = next((one for one in pattern.pieces if "welt" in one.name), pattern.pieces[0])
    left, top, right, bottom = piece.box()
    yield Finding(
        "thin welt",
        piece.name,
        ((left + right) / 2.0, (top + bottom) / 2.0),
        f"The welt of {welt:.1f} mm is thinner than the blade's spine of {spine:.1f} mm: the edge will find the stitches.",
        f"Use a thicker welt, or {math.ceil(spine / welt)} layers of this one.",
    )


def _seams(piece: Piece) -> Iterator[tuple[str, NDArray[np.float64]]]:
    for seam in dict.fromkeys(hole.seam for hole in piece.holes):
        yield seam, piece.hole_points(seam)


def _slots(piece: Piece) -> Sequence[Drawn]:
    return [drawn for drawn in piece.drawn if drawn.role == "slot" and drawn.path.closed]


def _within(piece: Piece, points: ArrayLike) -> NDArray[np.bool_]:
    return inside(piece.outline.flatten(0.002), points) | (distances(points, piece.outline) <= _DUST)


def _middle_hole(piece: Piece, seam: str) -> Point:
    points = piece.hole_points(seam)
    return _place(points[len(points) // 2]) if len(points) else piece.outline.start


def _place(point: NDArray[np.float64]) -> Point:
    return float(point[0]), float(point[1])
