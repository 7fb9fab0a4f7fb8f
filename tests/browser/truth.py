"""What is really so on the practice bench of a house, in the words of the bench simulator, and where the light really falls."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calibration.bench import Bench
from server.practice.projector import TRUE
from server.services.bench.check_figure import corner_places
from tests.bench.simulator import Projector
from tests.browser.house import House
from tests.browser.lines import offsets

Array = NDArray[np.float64]


def kept(house: House) -> dict[str, Any]:
    """Return what the store keeps of the practice bench's truth: how the projector hangs, where the pencil dots are."""
    with sqlite3.connect(f"file:{house.folder / 'hidelight.db'}?mode=ro", uri=True) as store:
        found = store.execute("SELECT value FROM settings WHERE name = 'practice'").fetchone()
    untouched: dict[str, Any] = {"projector": asdict(TRUE), "dots": {}}
    return untouched if found is None else dict(json.loads(found[0]))


def projector(house: House) -> Projector:
    """Return how the practice projector hangs now; the simulator that casts its rays shares no code with the program."""
    true = kept(house)["projector"]
    (shift_x, shift_y), (d1, d2) = true["shift"], true["bend"]
    return Projector(
        tuple(true["position"]),
        true["throw"],
        tuple(true["picture"]),
        true["yaw"],
        true["pitch"],
        true["roll"],
        shift_x,
        shift_y,
        d1,
        d2,
        mirrored=true["mirrored"],
    )


def bench_of(house: House, number: int) -> Bench:
    """Return what the program believes of a bench."""
    return Bench.from_json(house.ask("GET", f"/api/benches/{number}/file.json"))


def meant_corners(bench: Bench, size: float) -> Array:
    """Return where the program means the check square's corners to lie, (4, 2) table mm, from the top left clockwise."""
    return corner_places(bench, size, 0.0)


def lit_corners(picture: Array, true: Projector, bench: Bench, size: float) -> Array:
    """Return where the light of a check square really lies on the table: its corners (4, 2) mm, from the top left clockwise.

    Each line is looked for in the light's picture near where the program draws it, its true place in the picture is measured
    and traced to the table along the true rays, and a straight line is fitted. The top meets the sides in the upper corners,
    the diagonals meet them in the lower ones: the bottom edge carries the ticks of a rule, which would pull at it. Near their
    ends and their middle, lines are too close to others.
    """
    left_up, right_up, right_down, left_down = meant_corners(bench, size)
    ends = [
        (left_up, right_up),
        (right_up, right_down),
        (left_down, left_up),
        (left_up, right_down),
        (left_down, right_up),
    ]
    top, right, left, falling, rising = (_line(picture, true, bench, *pair) for pair in ends)
    return np.array([_meeting(*pair) for pair in ((top, left), (top, right), (falling, right), (rising, left))])


def _line(picture: Array, true: Projector, bench: Bench, start: Array, end: Array) -> tuple[Array, Array]:
    """Return a point on the lit line and its direction, mm."""
    shares = np.concatenate([np.linspace(0.12, 0.4, 60), np.linspace(0.6, 0.88, 60)])
    aims = bench.to_picture(start + (end - start) * shares[:, None])
    lit = np.concatenate([_lit(picture, true, part) for part in (aims[:60], aims[60:])])
    middle = np.median(lit, axis=0)
    way = np.linalg.svd(lit - lit.mean(axis=0))[2][0]
    return middle, way


def _lit(picture: Array, true: Projector, aims: Array) -> Array:
    places, normals, off = offsets(picture, aims, closed=False)
    found = np.isfinite(off)
    assert found.mean() > 0.9, "the line is not drawn where the program means it"
    return np.asarray(true.land(places[found] + off[found, None] * normals[found]))


def _meeting(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array:
    along = np.linalg.solve(np.column_stack([one[1], -other[1]]), other[0] - one[0])
    return np.asarray(one[0] + along[0] * one[1])
