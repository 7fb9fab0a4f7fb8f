"""A strap longer than the light on the virtual bench: drawn, marked, shifted, met, span by span, and measured at its far end.

``python -m tests.bench.spans [N]`` prints the table for N benches of each kind. The rays are the simulator's, which shares no
code with the program; the plan, the promise and the fit are the program's own.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from calibration.adjust import adjust
from calibration.bench import Bench
from calibration.sightings import read
from server.geometry import rigid
from server.geometry.placement import Placement
from server.leather import drafts
from server.leather.piece import Piece
from server.services.table.spans_plan import HANDS, Plan, plan
from tests.bench import measure
from tests.bench.measure import bench_number
from tests.bench.simulator import Array, Document, Projector

WIDTHS = (440.0, 570.0)
"""mm: the picture's width is drawn from this, so that a strap of 1,100 mm needs two shifts at least."""
LEATHER = 3.0
SLIP_MM, SLIP_DEGREES = 6.0, 0.8
"""How truly a hand puts the leather where the light is to meet it, standard errors."""
Sight = Callable[[Projector, np.random.Generator], Document]
SIGHTS: dict[str, Sight] = {"marks and block": measure.marks_and_block, "marks": measure.marks}


@dataclass(frozen=True)
class Walked:
    """One strap: how far the far end of each span's light lies from where it belongs on the leather, and what was promised.

    Attributes:
        off: (spans,) mm at the far end of each span.
        promised: (spans,) mm, 95 %.
        lengthwise: mm, at the strap's far end, signed.
        sideways: mm, signed.
        parts: promised for these two, mm.
        about: whether the strap was turned end for end at each shift.

    """

    off: Array
    promised: Array
    lengthwise: float
    sideways: float
    parts: tuple[float, float]
    about: bool


def strap(long: float = 1100.0) -> Piece:
    """Return the blank of a strap ``long`` mm from end to end."""
    draft = drafts.get("strap").draft
    given = draft({}).piece("strap")
    size = draft({}).measures["size"] + long - given.box()[3]
    return draft({"size": size}).piece("strap")


def small_bench(index: int, sight: Sight) -> tuple[Projector, Bench, np.random.Generator]:
    """Return bench ``index`` hung lower, so that its picture is as wide as ``WIDTHS`` say, and its calibration."""
    projector, rng = bench_number(index)
    share = rng.uniform(*WIDTHS) / (projector.lens[2] / projector.throw)
    x, y, z = (np.array(projector.lens) * share).tolist()
    lower = replace(projector, lens=(x, y, z))
    return lower, adjust(read(sight(lower, rng))).bench, rng


def walk(projector: Projector, bench: Bench, rng: np.random.Generator, found: Plan) -> Walked:
    """Draw a strap span by span as a maker would, and measure where the light of each span really falls on the leather."""
    truth = lies = found.carried[0].lies
    off = [_landed(projector, bench, truth, lies, _end(found, 0)) - _end(found, 0)]
    for number, joint in enumerate(found.joints, 1):
        marks = np.array([place for _, place in joint])
        drawn = _landed(projector, bench, truth, lies, marks) + rng.normal(0.0, HANDS.mark, marks.shape)
        truth = _slipped(found.carried[number].lies, drawn.mean(axis=0), rng)
        aims = truth.apply(drawn) + rng.normal(0.0, HANDS.aim, marks.shape)
        pixels = np.round(projector.aim(aims, LEATHER), 1)
        lies = rigid.fit_points(marks, bench.to_table(pixels, LEATHER))
        off.append(_landed(projector, bench, truth, lies, _end(found, number)) - _end(found, number))
    every = np.concatenate(off)
    promised = [float(c.error95(_end(found, k))[0]) for k, c in enumerate(found.carried)]
    x, y = every[-1].tolist()
    along, across = (x, y) if found.room.along == "x" else (y, x)
    return Walked(np.hypot(*every.T), np.array(promised), along, across, found.far_parts, found.about)


def _end(found: Plan, span: int) -> Array:
    """Return the middle (1, 2) of the far end of a span's stretch, piece mm; of the last, of the piece itself."""
    end = min(found.stretches[span][1], found.room.start + found.room.length)
    return np.array([[end, found.room.across] if found.room.along == "x" else [found.room.across, end]])


def _landed(projector: Projector, bench: Bench, truth: Placement, lies: Placement, places: Array) -> Array:
    """Return where on the leather (its own mm) the light meant for places (n, 2) falls, lying truly at ``truth``."""
    lit = projector.land(bench.to_picture(lies.apply(places), LEATHER), LEATHER)
    return rigid.inverse(truth, lit)


def _slipped(lies: Placement, about: Array, rng: np.random.Generator) -> Placement:
    """Return where the leather comes to lie when it is to lie at ``lies``, turned about a place of it by the hand's own error."""
    turn, shift = float(np.radians(rng.normal(0.0, SLIP_DEGREES))), rng.normal(0.0, SLIP_MM, 2)
    return rigid.moved(lies, lies.apply([about])[0], np.array([*shift, turn]))


def run(index: int, sight: Sight, piece: Piece) -> Walked:
    """Calibrate bench ``index``, plan the spans of a piece on it, and walk them."""
    projector, bench, rng = small_bench(index, sight)
    return walk(projector, bench, rng, plan(bench, LEATHER, piece))


def table(count: int) -> None:
    """Print how often the promise held, for each way of sighting."""
    piece = strap()
    print(
        f"strap {piece.box()[3] - piece.box()[1]:.0f} mm, picture {WIDTHS[0]:.0f} to {WIDTHS[1]:.0f} mm, {count} benches"
    )
    print(f"{'sighted by':18}{'shifts':>8}{'turned':>8}{'every span':>12}{'far end':>9}{'length':>8}{'sideways':>9}"
          f"{'off 50 %':>10}{'off 95 %':>10}{'promised':>10}")  # fmt: skip
    for name, sight in SIGHTS.items():
        walks = [run(index, sight, piece) for index in range(count)]
        print(f"{name:18}{_row(walks)}")


def _row(walks: list[Walked]) -> str:
    far, promised = np.array([w.off[-1] for w in walks]), np.array([w.promised[-1] for w in walks])
    every = np.concatenate([w.off <= w.promised for w in walks])
    length = np.mean([abs(w.lengthwise) <= w.parts[0] for w in walks])
    sideways = np.mean([abs(w.sideways) <= w.parts[1] for w in walks])
    shifts, about = np.mean([len(w.off) - 1 for w in walks]), np.mean([w.about for w in walks])
    shares = f"{every.mean():>12.1%}{np.mean(far <= promised):>9.1%}{length:>8.1%}{sideways:>9.1%}"
    sizes = f"{np.median(far):>10.2f}{np.quantile(far, 0.95):>10.2f}{np.median(promised):>10.2f}"
    return f"{shifts:>8.2f}{about:>8.0%}{shares}{sizes}"


if __name__ == "__main__":
    table(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
