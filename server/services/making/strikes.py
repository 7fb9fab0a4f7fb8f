"""The blows of a step, one after another: what the light and the page show of each.

Blows of one seam come in striking order; seams come in the order of the pattern. Holes are counted from 1 as a maker does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from server.geometry.path import Point
from server.leather.choose import irons_for
from server.leather.norms import TINE_TOLERANCE
from server.leather.order import pricked
from server.leather.pattern import Pattern, Seam, Step
from server.leather.rack import Rack
from server.leather.stitch import StitchLine
from server.leather.strike import Strike, numbers
from server.services.making import sewing


@dataclass(frozen=True)
class ShownStrike:
    """One blow as it is shown.

    Attributes:
        seam: name of the seam.
        title: the seam as a person reads it.
        piece: the piece its holes lie on.
        number: which blow of the seam it is, from 1.
        of: how many blows the seam takes.
        tool: the iron or awl, as it hangs on the rack: "6-tine iron of 4 mm".
        numbers: number of the hole under each tine, from 1.
        holes: place of each tine's hole, mm in the piece's own coordinates, first tine first.
        made: for each tine, whether this blow makes its hole; the others stand in holes already made.
        words: the blow in a sentence.

    """

    seam: str
    title: str
    piece: str
    number: int
    of: int
    tool: str
    numbers: tuple[int, ...]
    holes: tuple[Point, ...]
    made: tuple[bool, ...]
    words: str


def strikes_of(pattern: Pattern, step: Step, rack: Rack) -> tuple[ShownStrike, ...]:
    """Return the blows that a step strikes with the irons on the rack, in striking order; none where it pricks nothing."""
    return tuple(blow for seam in pricked(pattern, step) for blow in of_seam(pattern, seam, rack))


def of_seam(pattern: Pattern, seam: Seam, rack: Rack) -> tuple[ShownStrike, ...]:
    """Return the blows of one seam in striking order."""
    line = sewing.stitch_line(pattern.piece(seam.piece), seam.name)
    blows = sewing.strikes(pattern, seam, rack)
    shown = zip(blows, (sewing.iron_words(rack, seam, blow.tines) for blow in blows), strict=True)
    return tuple(_shown(seam, line, blow, words, i, len(blows)) for i, (blow, words) in enumerate(shown, start=1))


def _shown(seam: Seam, line: StitchLine, blow: Strike, tool_words: str, number: int, of: int) -> ShownStrike:
    return ShownStrike(
        seam=seam.name,
        title=seam.title,
        piece=seam.piece,
        number=number,
        of=of,
        tool=tool_words,
        numbers=tuple(hole + 1 for hole in blow.holes),
        holes=tuple((line.holes[hole].x, line.holes[hole].y) for hole in blow.holes),
        made=tuple(hole in blow.made for hole in blow.holes),
        words=blow.words,
    )


def by_the_light(seam: Seam, rack: Rack) -> str | None:
    """Return how to set irons whose pitch is not quite the seam's, or None where that makes no difference to see."""
    row, warning = irons_for(rack, seam)
    if row is None or warning is not None:
        return None
    drift = (row.pitch - seam.pitch_mm) * seam.stitches
    if abs(drift) <= TINE_TOLERANCE.value:
        return None
    return (
        f"The irons are {row.pitch:.3g} mm, the seam {seam.pitch_mm:.3f} mm: set each row by the light, its middle over the middle "
        f"of its holes. Struck hole to hole, the last would stand {abs(drift):.1f} mm {'beyond' if drift > 0 else 'short of'} its place."
    )


@dataclass(frozen=True)
class Told:
    """Blows told in one sentence: from number ``first`` to ``last``."""

    first: int
    last: int
    words: str


def told(blows: Sequence[ShownStrike]) -> tuple[Told, ...]:
    """Return the blows in as few sentences as say the same: single tines one after another are told together."""
    groups: list[list[ShownStrike]] = []
    for blow in blows:
        if groups and len(blow.numbers) == len(groups[-1][-1].numbers) == 1:
            groups[-1].append(blow)
        else:
            groups.append([blow])
    return tuple(Told(group[0].number, group[-1].number, _together(group)) for group in groups)


def _together(group: Sequence[ShownStrike]) -> str:
    if len(group) == 1:
        return group[0].words
    return f"1 tine, hole by hole; makes {numbers([blow.numbers[0] - 1 for blow in group])}."
