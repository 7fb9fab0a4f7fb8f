"""How the holes of a seam are stepped off, as the maker chooses: which chords are eased, and what lies on the centre line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from server.geometry.path import Path
from server.leather.drafts.parts import choice
from server.leather.measure import chosen
from server.leather.pattern import Measure, Seam, Sentence
from server.leather.stitch import Centre, Ease, StitchLine, symmetric_line

STEPPING, START = "stepping", "start"
NAMES = frozenset({STEPPING, START})
"""The measures that are no sizes; a pattern file leaves them out of its measures in mm."""
_STEPPINGS = (("whole", "Every stitch eased alike"), ("last", "Irons' pitch kept, last few eased"))
_STARTS = (("hole", "A hole"), ("stitch", "A stitch"), ("nearest", "Whichever is eased less"))
_HOW = (
    "Between two corners or ends a whole number of stitches must fit: ease them all alike, or keep the irons' pitch exactly and "
    "ease the last few."
)
_MIDDLE = "What lies in the middle of a seam that runs out to both sides from the centre line."


def measures(family: str) -> tuple[Measure, Measure]:
    """Return the two choices; the first of each is what dividers do, with a hole on the centre line."""
    return (
        choice(family, STEPPING, "Hole stepping", _HOW, _STEPPINGS),
        choice(family, START, "On the centre line", _MIDDLE, _STARTS),
    )


def stepped(asked: Sequence[Measure], m: Mapping[str, float], half: Path, name: str) -> StitchLine:
    """Step the holes of a symmetrical seam off as chosen, at the measure "pitch" mm.

    Args:
        asked: the measures of the family, these two among them.
        m: their values, completed.
        half: open path in mm that starts on the centre line x = 0.
        name: of the seam.

    Raises:
        Refusal: a pitch too long for the line or for its curves.

    """
    centre, ease = cast(Centre, chosen(asked, m, START)), cast(Ease, chosen(asked, m, STEPPING))
    return symmetric_line(half, m["pitch"], name, centre=centre, ease=ease)


def said(asked: Sequence[Measure], m: Mapping[str, float], seam: Seam, line: StitchLine) -> tuple[Sentence, ...]:
    """Return what a choice other than the usual made of a seam."""
    found: list[Sentence] = []
    if chosen(asked, m, STEPPING) == "last":
        found.append(_kept(seam, line, m["pitch"]))
    if chosen(asked, m, START) != "hole":
        on = "a stitch lies astride" if len(line.holes) % 2 == 0 else "a hole lies on"
        formula = f"{len(line.holes)} holes, {len(line.holes) // 2} on each side"
        found.append(Sentence("fit", f"{seam.title}: {on} the centre line.", None, formula))
    return tuple(found)


def _kept(seam: Seam, line: StitchLine, pitch: float) -> Sentence:
    steps = line.steps
    exact = int((abs(steps - pitch) < 1e-6).sum())
    words = f"{seam.title}: {exact} of {line.stitches} stitches are {pitch:.4g} mm exactly; the others, before a corner or an end, "
    words += f"are {steps.min():.2f} to {steps.max():.2f} mm."
    formula = f"{line.stitches} stitches - {line.stitches - exact} eased = {exact}"
    return Sentence("count", words, exact, formula)
