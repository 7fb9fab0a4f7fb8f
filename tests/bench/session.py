"""New sessions and mistakes on the virtual bench: what is decided, what is named, what is left.

``python -m tests.bench.session [N] [sessions|mistakes]`` prints the tables (N benches or mistakes of each kind).
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from calibration.adjust import adjust
from calibration.blunder import Finding, find_blunder, transposed
from calibration.refusal import Refusal
from calibration.report import detectable
from calibration.sightings import read
from calibration.witness import Session, Witness, resume
from tests.bench import measure
from tests.bench import simulator as sim
from tests.bench.measure import bench_number
from tests.bench.simulator import Array, Document, Projector

HAND = 0.21
"""mm: drawing a dot under the cross, and later bringing the cross to the dot; 0.3 mm together."""
CORNERS = "AETP"


@dataclass(frozen=True)
class Seen:
    """One new session: what was decided, and 95 % of the picture before and after, mm, and the share within the promise."""

    session: Session
    before: float
    after: float
    covered: float


def turned(projector: Projector, rng: np.random.Generator, degrees: float, mm: float) -> Projector:
    """Knock the projector: each angle by a normal deviate of ``degrees``, each coordinate of the lens by one of ``mm``."""
    yaw, pitch, roll = (
        np.array([projector.yaw, projector.pitch, projector.roll]) + rng.normal(0.0, degrees, 3)
    ).tolist()
    x, y, z = (np.array(projector.lens) + rng.normal(0.0, mm, 3)).tolist()
    return replace(projector, lens=(x, y, z), yaw=yaw, pitch=pitch, roll=roll)


KNOCKS: dict[str, Callable[[Projector, np.random.Generator], Projector]] = {
    "nothing": lambda projector, _: projector,
    "0.03 degrees": lambda projector, rng: turned(projector, rng, 0.03, 0.0),
    "0.15 degrees, 1 mm": lambda projector, rng: turned(projector, rng, 0.15, 1.0),
    "2 degrees, 20 mm": lambda projector, rng: turned(projector, rng, 2.0, 20.0),
    "zoom 3 %": lambda projector, _: replace(projector, throw=projector.throw * 1.03),
}


def session(index: int, knock: str, count: int, own: bool) -> Seen:
    """Calibrate bench ``index``, knock it, and take ``count`` witness sightings (of dots of its own light, or known marks)."""
    projector, rng = bench_number(index)
    crosses = sim.grid(projector.picture, 5, 4)
    bench = adjust(read(measure.marks_and_block(projector, rng))).bench
    names = CORNERS[:count]
    pixels = np.array([crosses[name] for name in names])
    landed = projector.land(pixels)
    marks = landed + rng.normal(0.0, HAND, landed.shape) if own else landed
    places = bench.to_table(pixels) if own else marks
    now = KNOCKS[knock](projector, rng)
    seen = now.aim(marks + rng.normal(0.0, HAND, marks.shape))
    sigma = HAND * np.sqrt(2) if own else HAND
    given = [
        Witness(n, (p[0], p[1]), (u[0], u[1]), float(sigma), own)
        for n, p, u in zip(names, places.tolist(), seen.tolist(), strict=True)
    ]
    return _seen(now, resume(bench, given), bench.grid(9, 6), bench.to_picture)


def _seen(now: Projector, found: Session, grid: Array, aim: Callable[[Array], Array]) -> Seen:
    before = np.linalg.norm(now.land(aim(grid)) - grid, axis=1)
    after = np.linalg.norm(now.land(found.bench.to_picture(grid)) - grid, axis=1)
    covered = float(np.mean(after <= found.bench.error95(grid)))
    return Seen(found, float(np.quantile(before, 0.95)), float(np.quantile(after, 0.95)), covered)


Spoil = Callable[[Document, np.random.Generator], tuple[str, ...] | None]


def _distance(document: Document, rng: np.random.Generator) -> dict[str, float]:
    chosen: dict[str, float] = document["distances"][int(rng.integers(len(document["distances"])))]
    return chosen


def _names(one: dict[str, float]) -> tuple[str, ...]:
    return str(one["from"]), str(one["to"])


def digits(document: Document, rng: np.random.Generator) -> tuple[str, ...] | None:
    """Two neighbouring digits of a taped distance exchanged."""
    one = _distance(document, rng)
    one["length"] = round(one["length"], 1)
    slips = [slip for slip in transposed(one["length"]) if slip != one["length"]]
    if not slips:
        return None
    one["length"] = float(rng.choice(slips))
    return _names(one)


def hooked(document: Document, rng: np.random.Generator) -> tuple[str, ...]:
    """One taped distance read from the tape's 10 mm mark."""
    one = _distance(document, rng)
    one["length"] += 10.0
    return _names(one)


def inches(document: Document, rng: np.random.Generator) -> tuple[str, ...]:
    """One taped distance written down in inches."""
    one = _distance(document, rng)
    one["length"] /= 25.4
    return _names(one)


def all_hooked(document: Document, _: np.random.Generator) -> tuple[str, ...]:
    """Every distance read from the tape's 10 mm mark."""
    for one in document["distances"]:
        one["length"] += 10.0
    return ("offset",)


def stretched(document: Document, _: np.random.Generator) -> tuple[str, ...]:
    """Every distance read 0.4 % long."""
    for one in document["distances"]:
        one["length"] *= 1.004
    return ("scale",)


def swapped(document: Document, rng: np.random.Generator) -> tuple[str, ...]:
    """Two letters exchanged wherever they stand."""
    used = {p["cross"] for p in document.get("positions", [])}
    used |= {d[end] for d in document.get("distances", []) for end in ("from", "to")}
    one, two = (str(name) for name in rng.choice(sorted(used), 2, replace=False))
    other = {one: two, two: one}
    for entry in (*document.get("positions", []), *document.get("distances", [])):
        for key in ("cross", "from", "to"):
            if key in entry:
                entry[key] = other.get(entry[key], entry[key])
    return one, two


def marks_and_tape(projector: Projector, rng: np.random.Generator) -> Document:
    """Nine crosses: two opposite ones on known marks, 26 distances by tape."""
    crosses = sim.grid(projector.picture, 3, 3)
    two = {name: crosses[name] for name in "AI"}
    taped = sim.sight_tape(projector, crosses, rng, measure.TAPE_SIGMA, 26)
    return {
        **sim.combine(sim.sight_marks(projector, two, rng, measure.MARK_SIGMA), taped),
        "mirrored": taped["mirrored"],
    }


MISTAKES: tuple[tuple[str, measure.Sight, Spoil], ...] = (
    ("digits swapped, tape", measure.tape, digits),
    ("one tape hooked 10 mm, tape", measure.tape, hooked),
    ("inches for mm, tape", measure.tape, inches),
    ("letters swapped, tape", measure.tape, swapped),
    ("letters swapped, marks", measure.marks, swapped),
    ("all tapes hooked 10 mm, tape", measure.tape, all_hooked),
    ("all tapes 0.4 % long, two marks", marks_and_tape, stretched),
)


def mistake(index: int, sight: measure.Sight, spoil: Spoil) -> str:
    """Return what became of one mistake: right, other, missed, missed small, refused by name, refused."""
    projector, rng = bench_number(index)
    document = sight(projector, rng)
    clean = {kind: [dict(one) for one in document.get(kind, [])] for kind in ("positions", "distances")}
    names = spoil(document, rng)
    if names is None:
        return "none to make"
    try:
        found = find_blunder(read(document))
    except Refusal as refusal:
        return "right" if all(f" {name} " in f" {refusal.sentence} " for name in names) else "refused"
    if found is None:
        return "missed small" if _below(document, clean) else "missed"
    return "right" if _is(found, names) else "other"


def _is(found: Finding, names: tuple[str, ...]) -> bool:
    return found.kind == names[0] or sorted(found.names) == sorted(names)


def _below(document: Document, clean: dict[str, list[dict[str, float]]]) -> bool:
    """Say whether the one figure that was changed is within the mistake that can be found at all."""
    pairs = list(zip(document.get("distances", []), clean["distances"], strict=True))
    changed = [(i, abs(a["length"] - b["length"])) for i, (a, b) in enumerate(pairs) if a["length"] != b["length"]]
    if len(changed) != 1:
        return False
    report = adjust(read({**document, "distances": clean["distances"]})).report
    share = report.sightings[len(document.get("positions", [])) + changed[0][0]].share
    least = detectable(share, measure.TAPE_SIGMA, len(pairs))
    return least is None or changed[0][1] < least


def print_sessions(count: int) -> None:
    """Print what is decided, and what is left, for ``count`` benches of each knock."""
    print(f"New sessions, {count} benches each; 95 % of the picture, mm: median\n")
    print(f"{'knocked by':<20} {'marks':<12} n   still shifted  anew   before  after  within promise")
    for own, title in ((True, "own dots"), (False, "known marks")):
        for knock in KNOCKS:
            for n in (2, 3, 4):
                seen = [session(index, knock, n, own) for index in range(count)]
                told = Counter(one.session.decision for one in seen)
                mended = [one for one in seen if one.session.decision == "shifted"]
                after = (
                    f"{np.median([m.after for m in mended]):6.2f} {np.mean([m.covered for m in mended]):9.1%}"
                    if mended
                    else ""
                )
                shares = " ".join(f"{told[d] / count:7.1%}" for d in ("still", "shifted", "anew"))
                print(f"{knock:<20} {title:<12} {n} {shares} {np.median([s.before for s in seen]):8.2f} {after}")


def print_mistakes(count: int) -> None:
    """Print what became of ``count`` mistakes of each kind, and of ``count`` benches without one."""
    print(f"\nMistakes, {count} of each\n")
    for title, sight, spoil in MISTAKES:
        came = Counter(mistake(index, sight, spoil) for index in range(count))
        print(f"{title:<34} " + ", ".join(f"{what} {number}" for what, number in came.most_common()), flush=True)
    for title, sight in (("tape", measure.tape), ("marks", measure.marks)):
        named = sum(find_blunder(read(sight(*bench_number(index)))) is not None for index in range(count))
        print(f"no mistake, {title:<22} named {named}", flush=True)


def main(count: int, tables: str) -> None:
    """Print the tables asked for: ``sessions``, ``mistakes`` or ``both``."""
    if tables in ("sessions", "both"):
        print_sessions(count)
    if tables in ("mistakes", "both"):
        print_mistakes(count)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000, sys.argv[2] if len(sys.argv) > 2 else "both")
