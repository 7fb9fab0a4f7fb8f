"""One blow of the irons in the light: the tines' holes bright, old holes under a tine as dots, the rest dim."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from server.leather.pattern import Step
from server.leather.piece import ROLES, Piece
from server.output.scene import Item, Scene, WorkKind, hole_tick, of_piece
from server.services.making.strikes import ShownStrike

DOT_MM = 0.9
"""Radius of the dot on an old hole that a tine is set into, mm."""
DOT_CORNERS = 12


def scene(piece: Piece, step: Step, strikes: Sequence[ShownStrike], number: int) -> Scene:
    """Return what is lit of a piece for one blow, in the piece's own mm.

    Args:
        piece: the piece that is pricked.
        step: the step of the work; its lines that are no holes are lit as they are.
        strikes: all blows of the step, in striking order.
        number: which of them is to be struck, from 0.

    """
    others = of_piece(piece, tuple(role for role in ROLES if role != "hole"), step)
    done = {key for strike in strikes[:number] for key in _made(strike)}
    now = _under(strikes[number])
    ticks = [item for strike in strikes for item in _ticks(piece, strike, done, now)]
    bright = [item for item in ticks if item.kind == "strike"]
    dots = [_dot(piece, key) for key, new in now.items() if not new]
    return Scene((*others.items, *(item for item in ticks if item.kind != "strike"), *dots, *bright), others.words)


Key = tuple[str, int]
"""A hole: the seam's name and its number, from 1."""


def _made(strike: ShownStrike) -> list[Key]:
    """The holes that a blow makes."""
    return [(strike.seam, hole) for hole, new in zip(strike.numbers, strike.made, strict=True) if new]


def _under(strike: ShownStrike) -> dict[Key, bool]:
    """The holes under the tines, and whether each is a new one."""
    return {(strike.seam, hole): new for hole, new in zip(strike.numbers, strike.made, strict=True)}


def _ticks(piece: Piece, strike: ShownStrike, done: set[Key], now: dict[Key, bool]) -> list[Item]:
    """The holes that a blow makes, each with how it looks now; old holes under a tine get a dot instead."""
    holes = piece.holes_of(strike.seam)
    found = []
    for key in _made(strike):
        if key in now and not now[key]:
            continue
        hole, kind = holes[key[1] - 1], _kind(key, done, now)
        found.append(Item(kind, hole_tick(hole.x, hole.y, hole.angle, hole.slant), False, piece.name, strike.seam))
    return found


def _kind(key: Key, done: set[Key], now: dict[Key, bool]) -> WorkKind:
    if key in now:
        return "strike"
    return "pricked" if key in done else "later"


def _dot(piece: Piece, key: Key) -> Item:
    """An old hole that a tine is set into."""
    seam, number = key
    turn = np.linspace(0.0, 2.0 * np.pi, DOT_CORNERS, endpoint=False)
    ring = piece.hole_points(seam)[number - 1] + DOT_MM * np.column_stack([np.cos(turn), np.sin(turn)])
    return Item("register", ring, closed=True, piece=piece.name, name=seam)
