"""What of the rack serves a pattern, and what it lacks. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.geometry.path import Arc, Path
from server.leather.norms_sewing import PITCH_MATCH, PUNCH_MATCH, THREAD_SHARE, THREADS_IN_HOLE
from server.leather.pattern import Pattern, Seam, Sentence
from server.leather.rack import ChiselRow, Needle, Punch, Rack, Thread

SHORT_ROW = 3
"""Stitches: a row as short is pricked hole by hole, so it wants no irons of its pitch (common practice, no source)."""


@dataclass(frozen=True)
class Chosen:
    """The tools of the rack for one thing of the pattern, and what to say where they do not serve.

    Attributes:
        what: the line or seam, "piece/name" or the seam's name.
        tools: as they are asked for; empty when the rack has none.
        warnings: sentences with the remedy.

    """

    what: str
    tools: tuple[str, ...]
    warnings: tuple[str, ...]


def chisel_for(rack: Rack, pitch: float) -> tuple[ChiselRow | None, str | None]:
    """Return the irons whose pitch is nearest to `pitch` mm, and a warning when none is within 5 %."""
    if not rack.chisels:
        return None, f"There are no irons on the rack for a pitch of {pitch:.2f} mm: prick with an awl."
    best = min(rack.chisels, key=lambda row: abs(row.pitch - pitch))
    if _suits(best, pitch):
        return best, None
    return best, (
        f"No irons have a pitch of {pitch:.2f} mm: the nearest are {best.pitch:.2f} mm; draft with that pitch or prick hole by hole."
    )


def irons_for(rack: Rack, seam: Seam) -> tuple[ChiselRow | None, str | None]:
    """Return the irons that prick a seam: those chosen for the work where they suit it, else the nearest; and a warning.

    A mate takes its count from the other seam, so its pitch follows from its length: for it the nearest are taken.
    """
    if rack.irons_in_use is not None and not seam.mate:
        chosen = rack.irons(rack.irons_in_use)
        if _suits(chosen, seam.pitch_mm):
            return chosen, None
    return chisel_for(rack, seam.pitch_mm)


def thread_in_use(rack: Rack, seams: Sequence[Seam]) -> Thread | None:
    """Return the thread of a piece of work: the one chosen for it, else the thickest that suits the irons of its first seam."""
    if rack.thread_in_use is not None:
        return rack.thread(rack.thread_in_use)
    own = [seam for seam in seams if not seam.mate]
    row = irons_for(rack, own[0])[0] if own else None
    return None if row is None else thread_for(rack, row)


def _suits(row: ChiselRow, pitch: float) -> bool:
    return abs(row.pitch - pitch) <= PITCH_MATCH.value * pitch


def thread_for(rack: Rack, row: ChiselRow) -> Thread | None:
    """Return the thickest thread on the rack up to a fifth of the pitch that the holes take, or None when there is none."""
    most = THREAD_SHARE.value * row.pitch + 1e-9
    fit = [one for one in rack.threads if one.diameter <= most and thread_warning(one, row) is None]
    return max(fit, key=lambda thread: thread.diameter, default=None)


def thread_warning(thread: Thread, row: ChiselRow) -> str | None:
    """Return what to say when a thread is too thick for the hole of these irons, else None.

    Two threads lie in each hole, so twice the diameter may not be more than the slit; and stitches thicker than a
    quarter of their pitch look like cord (common practice, no source).
    """
    most = min(row.hole / THREADS_IN_HOLE.value, THREAD_SHARE.high * row.pitch)
    if thread.diameter <= most + 1e-9:
        return None
    return (
        f"{thread.name} of {thread.diameter:.2f} mm is too thick for the {row.hole:.2g} mm holes of the {row.pitch:.3g} mm irons: "
        f"take a thread of at most {most:.2f} mm, or irons that make a longer slit."
    )


def needle_for(rack: Rack, thread: Thread, stack: float) -> tuple[Needle | None, str | None]:
    """Return the finest needle that carries the thread through `stack` mm, and a warning when there is none."""
    carry = [needle for needle in rack.needles if needle.thread >= thread.diameter]
    fit = [needle for needle in carry if needle.stack >= stack]
    if fit:
        return min(fit, key=lambda needle: needle.thread), None
    if not carry:
        return None, f"No needle on the rack carries {thread.name} of {thread.diameter:.2f} mm: take a finer thread."
    best = max(carry, key=lambda needle: needle.stack)
    return best, (
        f"The stack of {stack:.1f} mm is too thick for any needle with {thread.name}: {best.name} reaches {best.stack:.3g} mm; "
        "skive the seam or open the holes with an awl."
    )


def slot_tools(path: Path, punches: Sequence[Punch]) -> tuple[tuple[Punch, ...], str | None]:
    """Return the punches that make a slot or hole, and a warning when there are none.

    A round hole takes a round punch, a slot with half-round ends an oblong one of its width and length, or a round one at
    both ends and the knife between; a slot with round corners a round punch in each corner. Sharp corners need a knife only.
    Half a millimetre off is forgiven (common practice, no source).
    """
    width, length, radius = slot_size(path)
    near = PUNCH_MATCH.value
    if length - width <= 1e-6 and 2.0 * radius >= width - 1e-6:
        return _round(punches, width, near)
    for punch in punches:
        off = max(abs(punch.width - width), abs(punch.length - length))
        if punch.shape == "oblong" and 2.0 * radius >= width - 1e-6 and off <= near:
            return (punch,), None
    if radius <= 0.0:
        return (), None
    found, _ = _round(punches, 2.0 * radius, near)
    if found:
        return found, None
    return (), (
        f"No punch makes a slot of {width:.1f} x {length:.1f} mm: an oblong punch of that size or a round one of {2 * radius:.1f} mm "
        "for its corners is wanted; else cut it with a knife."
    )


def slot_size(path: Path) -> tuple[float, float, float]:
    """Return width, length (the greater) and the smallest corner radius (0 when sharp), mm, of a slot.

    Width and length are those of the narrowest box round it, whichever way it is turned.
    """
    points = path.flatten(0.01)
    edges = [seg for seg in path.segments if not isinstance(seg, Arc)]
    longest = max(edges, key=lambda seg: seg.length, default=None)
    turn = 0.0 if longest is None else math.atan2(longest.unit[1], longest.unit[0])
    x = points[:, 0] * math.cos(turn) + points[:, 1] * math.sin(turn)
    y = points[:, 1] * math.cos(turn) - points[:, 0] * math.sin(turn)
    sides = sorted((float(x.max() - x.min()), float(y.max() - y.min())))
    arcs = [seg.radius for seg in path.segments if isinstance(seg, Arc)]
    return sides[0], sides[1], 0.0 if path.corners(15.0) else min(arcs, default=0.0)


def review(pattern: Pattern, rack: Rack, thread: Thread | None = None) -> tuple[Chosen, ...]:
    """Return, for every slot and seam of a pattern, the tools on the rack and what it lacks.

    Args:
        pattern: any; its measure "leather" (mm), where it has one, tells how thick a seam's stack is.
        rack: the maker's.
        thread: the thread the maker wants; None for the one chosen for the work, or the thickest that suits its first seam.

    """
    found = [
        _slot(f"{piece.name}/{drawn.name}", drawn.path, rack)
        for piece in pattern.pieces
        for drawn in piece.drawn
        if drawn.role == "slot" and drawn.path.closed
    ]
    ply = pattern.measures.get("leather", 0.0)
    used = thread or thread_in_use(rack, pattern.seams)
    return (*found, *(_sewn(seam, seam.stack(ply), rack, used) for seam in pattern.seams))


def sentences(chosen: Sequence[Chosen]) -> tuple[Sentence, ...]:
    """Return the warnings as sentences of a pattern, each once."""
    words = dict.fromkeys(warning for one in chosen for warning in one.warnings)
    return tuple(Sentence("warning", text) for text in words)


def _slot(what: str, path: Path, rack: Rack) -> Chosen:
    punches, warning = slot_tools(path, rack.punches)
    return Chosen(what, tuple(punch.words for punch in punches), () if warning is None else (warning,))


def _sewn(seam: Seam, stack: float, rack: Rack, thread: Thread | None) -> Chosen:
    row, warning = irons_for(rack, seam)
    warnings = [warning if seam.stitches > SHORT_ROW else None]
    tools = [] if row is None else [f"{row.pitch:.3g} mm irons of {', '.join(map(str, row.tines))} tines"]
    if row is not None and thread is None:
        warnings.append(f"Every thread on the rack is too thick for the {row.pitch:.3g} mm irons: get a finer one.")
    if row is not None and thread is not None:
        warnings.append(thread_warning(thread, row))
    if thread is not None:
        needle, short = needle_for(rack, thread, stack)
        warnings.append(short)
        tools += [thread.name, *([] if needle is None else [needle.name])]
    return Chosen(seam.name, tuple(tools), tuple(words for words in warnings if words is not None))


def _round(punches: Sequence[Punch], diameter: float, near: float) -> tuple[tuple[Punch, ...], str | None]:
    rounds = [punch for punch in punches if punch.shape == "round"]
    best = min(rounds, key=lambda punch: abs(punch.width - diameter), default=None)
    if best is not None and abs(best.width - diameter) <= near:
        return (best,), None
    nearest = "there is none at all" if best is None else f"the nearest is {best.width:.3g} mm"
    return (), f"No round punch of {diameter:.1f} mm is on the rack, {nearest}: get one, or cut the hole with a knife."
