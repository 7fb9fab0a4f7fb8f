"""Where pieces are first laid: as they lie in the file they came from, if the picture holds them so, else in a row."""

from __future__ import annotations

import numpy as np

from calibration.arrays import Array
from server.leather.piece import Piece
from server.services.light.stage import BenchInUse
from server.services.pattern import own_choices
from server.store.records import Brought, Lie

BETWEEN_MM = 25.0
"""Free leather between pieces that are laid in a row, mm."""


def first_lies(pieces: tuple[Piece, ...], brought: Brought | None, bench: BenchInUse) -> dict[str, Lie]:
    """Return placements for pieces that are laid for the first time, table mm, about the middle of the picture.

    Args:
        pieces: of the pattern.
        brought: the drawing it was made of, or None for a pattern that was drafted.
        bench: whose picture they are laid in.

    """
    origins = {} if brought is None else own_choices.origins(brought)
    if len(pieces) > 1 and origins.keys() == {piece.name for piece in pieces}:
        lies = _as_in_file(pieces, origins, bench)
        if _held(pieces, lies, bench):
            return lies
    return side_by_side(pieces, bench)


def side_by_side(pieces: tuple[Piece, ...], bench: BenchInUse) -> dict[str, Lie]:
    """Return placements that lay the pieces in a row about the middle of the picture, table mm."""
    boxes = [piece.box() for piece in pieces]
    width = sum(box[2] - box[0] for box in boxes) + BETWEEN_MM * (len(boxes) - 1)
    x, y = _middle(bench)
    left, lies = x - width / 2, {}
    for piece, box in zip(pieces, boxes, strict=True):
        lies[piece.name] = Lie(x=round(left - box[0], 1), y=round(y - (box[1] + box[3]) / 2, 1))
        left += box[2] - box[0] + BETWEEN_MM
    return lies


def _as_in_file(
    pieces: tuple[Piece, ...], origins: dict[str, tuple[float, float]], bench: BenchInUse
) -> dict[str, Lie]:
    """The pieces as they lie to each other in the file, the box round them all about the middle of the picture."""
    corners = np.concatenate(
        [np.reshape(piece.box(), (2, 2)) + np.array(origins[piece.name]) for piece in pieces], dtype=np.float64
    )
    move = np.array(_middle(bench)) - (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    places = {name: np.array(at) + move for name, at in origins.items()}
    return {name: Lie(x=round(float(x), 1), y=round(float(y), 1)) for name, (x, y) in places.items()}


def _held(pieces: tuple[Piece, ...], lies: dict[str, Lie], bench: BenchInUse) -> bool:
    """Whether every outline lies within the picture."""
    points: Array = np.concatenate(
        [piece.outline.flatten() + np.array((lies[piece.name].x, lies[piece.name].y)) for piece in pieces]
    )
    lit = bench.optics.to_picture(points, 0.0)
    return bool(((lit >= 0.0) & (lit <= np.array(bench.record.picture))).all())


def _middle(bench: BenchInUse) -> tuple[float, float]:
    x, y = bench.optics.to_table(np.array([bench.record.picture]) / 2.0)[0]
    return float(x), float(y)
