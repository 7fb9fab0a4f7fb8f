"""Sentences that recur: counts, bounds, derived numbers with their formulas, warnings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather import norms
from server.leather.fit import Section, depth_bound, fit_word
from server.leather.pattern import Seam, Sentence

_HABITS = {
    "snug": f"it is held (up to {norms.SNUG_EASE.value:g} mm)",
    "goes in": "in and out by hand",
    "loose": f"it can turn (more than its thickness and {norms.LOOSE_EASE.value:g} mm)",
    "does not go in": "it cannot go in",
}
"""What each word for a fit means at the bench, and the millimetres it begins or ends at."""


def count(seam: Seam, pitch: float) -> Sentence:
    """Return holes, stitches and eased pitch of a seam; blows and thread depend on the rack and are said by its plan."""
    text = (
        f"{seam.title}: {seam.holes} holes, {seam.stitches} stitches at {seam.pitch_mm:.3f} mm (eased from {pitch:.3g})"
    )
    tail = "; sewn with its mate, hole to hole." if seam.mate else "."
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
    text = f"{word[0].upper()}{word[1:]}, {_HABITS[word]}: its girth needs {bound:.1f} mm seam to seam, and {spare:.1f} mm are to spare."
    return Sentence("bound", text, bound, section.formula(leather, neutral))


def fits(section: Section, m: Mapping[str, float], seam_to_seam: float) -> tuple[Sentence, ...]:
    """Return how a thing fits between two seams of a family with leather, neutral and stretch, now and after wear."""
    found = goes_in(section, m["leather"], m["neutral"], seam_to_seam)
    spare = seam_to_seam - section.bound(m["leather"], m["neutral"])
    return (found, *after_wear(seam_to_seam, spare, section.thickness, m["stretch"]))


def after_wear(around: float, spare: float, thickness: float, stretch: float) -> tuple[Sentence, ...]:
    """Return the fit once `around` mm of leather have given `stretch` percent; nothing where none was measured."""
    if stretch <= 0.0:
        return ()
    later = spare + stretch / 100.0 * around
    words = f"If the leather gives the {stretch:.3g} % that the strip gave, {later:.1f} mm are to spare: {fit_word(later, thickness)}."
    formula = f"spare + stretch x {around:.1f} = {spare:.1f} + {stretch / 100:.3f} x {around:.1f} = {later:.1f} mm"
    return (Sentence("fit", words, later, formula),)


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
