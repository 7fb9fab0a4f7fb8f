"""How much thread a seam takes, and how thick a thread is. Millimetres unless said."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from calibration.refusal import Refusal
from server.leather.norms import FRENCH_INCH, LEA_TO_TEX, LINEN_DENSITY


def saddle_stitch(stitches: int, pitch: float, thickness: float, back: int = 0, tail: float = 0.0) -> float:
    """Return the thread, mm, of a two-needle saddle stitch: S + 2 n (p + S) + 2 b (p + S) + 2 tails.

    Args:
        stitches: n, how many stitches.
        pitch: p, mm.
        thickness: S, of everything sewn through, mm.
        back: b, back stitches.
        tail: mm, each of the two ends left over.

    Each stitch lays p of thread on both faces and takes both threads through S; the first hole is crossed once. Derived.

    """
    if stitches < 1 or back < 0 or not (pitch > 0.0 and thickness >= 0.0 and tail >= 0.0):
        raise Refusal(
            f"Thread for {stitches} stitches of {pitch:.6g} mm cannot be worked out: at least one stitch is needed."
        )
    return thickness + 2.0 * (stitches + back) * (pitch + thickness) + 2.0 * tail


def lockstitch_per_length(stitches_per_length: float, thickness: float) -> float:
    """Return the thread of both sides for one unit length of lockstitch: 2 + 2 T S, with T in that unit.

    The textbook formula of machine sewing; a two-needle saddle stitch has the same geometry.
    """
    return 2.0 + 2.0 * thickness * stitches_per_length


def tex_of_lea(lea: float, plies: int = 1) -> float:
    """Return the tex (g/km, ISO 1144) of a linen thread of `plies` yarns of that lea number: 1653.5 n / NeL."""
    return LEA_TO_TEX.value * plies / lea


def diameter_of_tex(tex: float, density: float = LINEN_DENSITY.value) -> float:
    """Return the diameter, mm, of a round thread: sqrt(4 tex / (1000 pi rho)), rho in g/cm3."""
    return math.sqrt(4.0 * tex / (1000.0 * math.pi * density))


def pitch_of_irons(number: float, *, french: bool = False) -> float:
    """Return the pitch, mm, of irons marked N to the inch: 25.4 / N, or 27.070 / N for the old French inch."""
    return (FRENCH_INCH.value if french else 25.4) / number


@dataclass(frozen=True)
class ThreadPiece:
    """One piece of thread.

    Attributes:
        first: number of the first stitch it sews for the first time.
        last: number of the last stitch it sews, itself included.
        length: mm, tails and the stitches it sews over included.

    """

    first: int
    last: int
    length: float


def in_pieces(
    stitches: Sequence[float], thickness: float, longest: float, *, tail: float = 0.0, over: int = 2
) -> tuple[ThreadPiece, ...]:
    """Cut the thread of a seam into pieces no longer than `longest` mm: as few as can be, and as alike as can be.

    Args:
        stitches: mm of thread that each stitch takes, in the order they are sewn: 2 (p + S).
        thickness: S, mm, of what the first hole of a piece goes through.
        longest: mm, an arm-span.
        tail: mm, each of two ends of every piece.
        over: how many of the last stitches the next piece sews over again, which holds the join.

    Raises:
        Refusal: no stitches, or an arm-span too short to get ahead.

    """
    if not stitches or not (math.isfinite(longest) and longest > 0.0):
        raise Refusal("Thread in pieces needs at least one stitch and an arm-span above 0.", field="arm-span")
    sums = [0.0, *itertools.accumulate(stitches)]
    spare = thickness + 2.0 * tail
    count = len(_filled(sums, spare, longest, over))
    low, high = 0.0, longest
    for _ in range(40):
        middle = (low + high) / 2.0
        low, high = (low, middle) if _enough(sums, spare, middle, over, count) else (middle, high)
    return tuple(_filled(sums, spare, high, over))


def _enough(sums: Sequence[float], spare: float, longest: float, over: int, count: int) -> bool:
    try:
        return len(_filled(sums, spare, longest, over)) <= count
    except Refusal:
        return False


def _filled(sums: Sequence[float], spare: float, longest: float, over: int) -> list[ThreadPiece]:
    """Pieces filled one after another, each as far as `longest` reaches."""
    pieces, first, total = [], 0, len(sums) - 1
    while first < total:
        begin = sums[max(0, first - over)]
        last = first
        while last < total and spare + sums[last + 1] - begin <= longest + 1e-9:
            last += 1
        if last == first:
            need = spare + sums[first + 1] - begin
            raise Refusal(
                f"An arm-span of {longest:.4g} mm is too short for one stitch with its tails: {need:.0f} mm are needed.",
                field="arm-span",
            )
        pieces.append(ThreadPiece(first, last - 1, spare + sums[last] - begin))
        first = last
    return pieces
