"""Sentences that recur: counts, bounds, derived numbers with their formulas, warnings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather import norms
from server.leather.fit import Section, depth_bound, fit_word
from server.leather.pattern import Seam, Sentence


def count(seam: Seam, pitch: float) -> Sentence:
    """Return holes, stitches, eased pitch, blows and thread of a seam."""
    irons = ", ".join(f"{blows} with {tines} tine{'s' if tines > 1 else ''}" for tines, blows in seam.irons)
    text = (
        f"{seam.title}: {seam.holes} holes, {seam.stitches} stitches at {seam.pitch_mm:.3f} mm (eased from {pitch:.3g})"
    )
    text += f"; {seam.strikes} blows ({irons})"
    tail = f"; {seam.thread_mm / 1000:.2f} m of thread." if not seam.mate else "; sewn with its mate, hole to hole."
    formula = (
        f"{seam.length_mm:.1f} mm / {seam.stitches} stitches = {seam.length_mm / seam.stitches:.3f} mm along the line"
    )
    return Sentence("count", text + tail, seam.holes, formula)


def counts(seams: Sequence[Seam], pitch: float) -> tuple[Sentence, ...]:
    """Return the counts of every seam."""
    return tuple(count(seam, pitch) for seam in seams)


def mating(master: Seam, mate: Seam) -> Sentence:
    """Return how two lines that are sewn together agree: equal counts, and the difference in length."""
    off = (mate.length_mm - master.length_mm) / master.length_mm
    formula = f"({mate.length_mm:.1f} - {master.length_mm:.1f}) / {master.length_mm:.1f} = {100 * off:+.1f} %"
    words = f"{master.title} and {mate.title[0].lower()}{mate.title[1:]} have {master.holes} holes each, at {master.pitch_mm:.3f}"
    words += f" and {mate.pitch_mm:.3f} mm"
    if abs(off) > norms.MATING_TOLERANCE.value:
        return Sentence("warning", f"{words}: {100 * abs(off):.0f} % apart, so ease the longer one in.", off, formula)
    return Sentence("fit", f"{words}.", mate.length_mm - master.length_mm, formula)


def goes_in(section: Section, leather: float, neutral: float, seam_to_seam: float) -> Sentence:
    """Return how a thing of that section fits between two seams: the word, the bound and what is to spare."""
    bound = section.bound(leather, neutral)
    spare = seam_to_seam - bound
    word = fit_word(spare, section.thickness)
    habit = {
        "snug": "it is held",
        "goes in": "in and out by hand",
        "loose": "it can turn",
        "does not go in": "it cannot go in",
    }[word]
    text = f"{word[0].upper()}{word[1:]}, {habit}: its girth needs {bound:.1f} mm seam to seam, and {spare:.1f} mm are to spare."
    return Sentence("bound", text, bound, section.formula(leather, neutral))


def deep_enough(inside: float, thickness: float, leather: float, neutral: float, depth: float) -> Sentence:
    """Return whether the pocket is deep enough for `inside` mm of the thing."""
    bound = depth_bound(inside, thickness, leather, neutral)
    formula = f"H + T / 2 + (pi / 2) K t = {inside:.1f} + {thickness / 2:.1f} + {bound - inside - thickness / 2:.1f} = {bound:.1f} mm"
    if depth < bound - 1e-9:
        return Sentence(
            "warning",
            f"The thing stands out {bound - depth:.1f} mm more than asked: its bottom needs room.",
            bound,
            formula,
        )
    return Sentence(
        "bound", f"Deep enough: {bound:.1f} mm are needed, mouth to floor is {depth:.1f} mm.", bound, formula
    )


def allowance(
    given: Mapping[str, float | None], name: str, value: float, what: str, derived: str, formula: str
) -> Sentence:
    """Return where an allowance comes from: the maker, or the rule with its formula."""
    if given[name] is not None:
        return Sentence("fit", f"{what} {value:.1f} mm, as given.", value, f"given: {value:.1f} mm", name)
    return Sentence("fit", f"{what} {value:.1f} mm: {derived}.", value, formula, name)
