"""Somebody knocks the practice projector: it hangs a little otherwise than before."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

import numpy as np

from server.practice.projector import TRUE, TrueProjector

How = Literal["a little", "a lot", "back"]
HOWS: tuple[How, ...] = ("a little", "a lot", "back")

TURN_DEGREES: Mapping[str, tuple[float, float]] = {"a little": (0.05, 0.12), "a lot": (0.5, 1.0)}
"""Least and greatest turn about each axis: a sleeve that brushes the mount, and a ladder that hits it (invented)."""

MOVE_MM: Mapping[str, tuple[float, float]] = {"a little": (0.3, 1.0), "a lot": (8.0, 20.0)}
"""Least and greatest move along each axis, mm (invented)."""


def knocked(projector: TrueProjector, how: How, random: np.random.Generator) -> TrueProjector:
    """Return the projector after a knock, or where it first hung for "back"."""
    if how == "back":
        return TRUE
    turns, moves = (
        random.uniform(low, high, 3) * random.choice([-1.0, 1.0], 3) for low, high in (TURN_DEGREES[how], MOVE_MM[how])
    )
    x, y, z = (np.array(projector.position) + moves).tolist()
    yaw, pitch, roll = (np.array([projector.yaw, projector.pitch, projector.roll]) + turns).tolist()
    return replace(projector, position=(x, y, z), yaw=yaw, pitch=pitch, roll=roll)
