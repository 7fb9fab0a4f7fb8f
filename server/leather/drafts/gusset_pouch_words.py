"""What the pouch with a gusset asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.gusset_pouch_sizes import Sizes
from server.leather.fit import Section, fit_word
from server.leather.pattern import Seam, Sentence, Step

NAME = "gusset-pouch"
_m = parts.asker(NAME)
_STANDS_HIGH = 3.0
"""mm a square thing may stand on the round corners before it is a warning; common practice, no source."""
_ROOM = 3.0
"""mm from the stitches to the strip's wall; common practice, no source."""
_WET = 35.0
"""Percent that wet vegetable-tanned leather is stretched over a form without harm; common practice, no source."""
MEASURES = (
    _m("width", "Width", "Width of the thing, across its face.", (20, 400), 110.0, parts.EXAMPLE),
    _m("height", "Height", "Height of the thing, as it stands in the pouch.", (20, 500), 140.0, parts.EXAMPLE),
    _m("thickness", "Thickness", "Thickness of the thing, front to back.", (4, 200), 40.0, parts.EXAMPLE),
    _m("stands-out", "Stands out", "How much of the thing shows above the mouth.", (0, 375), 0.0),
    _m("clearance", "Clearance", "Room on each side of the thing and before and behind it.", (0, 30), 2.5),
    parts.leather(NAME, 2.0, (0.6, 5.0), "about 5 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 4.0, (2.0, 15.0)),
    _m(
        "flange",
        "Flange",
        "From the edge in to the strip's wall: it carries the stitches. Left empty: the margin and 3 mm.",
        (3, 40),
        None,
    ),
    _m("corner-radius", "Corner radius", "Radius of the panels' bottom corners, at the edge.", (5, 200), 20.0),
    parts.pitch(NAME, 4.0),
    *parts.section(NAME),
    parts.neutral(NAME),
    parts.stretch(
        NAME,
        "How much the leather can be stretched wet, measured on a strip: the flanges need it round the corners. 0 until one was "
        "measured.",
    ),
)


def flange(margin: float) -> float:
    """Return the flange, mm, when the maker leaves it open: the margin, and room for the awl beside the wall."""
    return margin + _ROOM


def steps(s: Sizes, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    front, row, back, _ = seams
    return (
        work.cut(
            "front",
            "front",
            "Lay the leather grain side up, the arrow along the back of the hide, and cut on the line. Finish the mouth.",
        ),
        work.cut("back", "back", "The same again; finish the mouth."),
        work.cut(
            "gusset",
            "gusset",
            "Cut the strip along the hide, not across it: it must not stretch round the corners. Finish its ends.",
        ),
        work.step(
            "fold",
            "Turn the flanges",
            f"Damp the strip, crease both long folds with the grain side inside, so that flanges of {s.flange:.3g} mm stand out on either "
            "side, and bend it between the four cross marks for the corners. The ticks at its edges are the bottom centre. Let it dry.",
            "gusset",
            ("fold", "mark"),
            ("fold-right", "fold-left", "corner-1", "corner-2", "corner-3", "corner-4", "bottom-right", "bottom-left"),
            1,
            ("sponge", "bone folder", "rule"),
            work.EYES,
            work.DRIED,
        ),
        work.scribe("front", f"Scribe {s.margin:.4g} mm from the edge.", ("front",), 1, "scribe-front"),
        work.prick("front", _panel_words(front), (front,), 1, "prick-front", "Prick the front"),
        work.scribe("back", f"Scribe {s.margin:.4g} mm from the edge.", ("back",), 1, "scribe-back"),
        work.prick("back", _panel_words(back), (back,), 1, "prick-back", "Prick the back"),
        work.prick(
            "gusset",
            f"Prick both rows exactly under the light, {row.holes} holes each; in the corners they lie nearer together.",
            (seams[1], seams[3]),
            1,
            "prick-gusset",
            "Prick the gusset",
        ),
        work.glue(
            "glue",
            "Glue the flanges",
            "Glue the front's rim outside the lit line and the strip's flange, and set them edge to edge, bottom centre on bottom centre, "
            "flesh to flesh.",
            "front",
            ("glue-edge",),
        ),
        work.sew(
            "front",
            "From mouth to mouth, hole to hole, the first and last two stitches doubled.",
            ("front",),
            2,
            "sew-front",
            "Sew the front",
        ),
        work.sew(
            "back",
            "Glue and sew the back to the other flange in the same way. Sand the edges level, round and burnish them.",
            ("back",),
            2,
            "sew-back",
            "Sew the back",
        ),
    )


def _panel_words(seam: Seam) -> str:
    return f"Start at the bottom centre and prick out to both ends: {seam.holes} holes {seam.pitch_mm:.2f} mm apart."


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, section: Section, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    c, ply = m["clearance"], m["leather"]
    wide, deep = m["width"] + 2 * c, m["thickness"] + 2 * c
    inside = f"W + 2 c = {m['width']:.1f} + 2 x {c:.4g} = {wide:.1f} mm"
    panel = f"W + 2 (c + t + F) = {m['width']:.1f} + 2 x ({c:.4g} + {ply:.4g} + {s.flange:.4g}) = {2 * s.half:.1f} mm"
    sum_ = f"{deep:.1f} - {2 * ply:.1f} + {2 * s.bend:.1f} + {2 * s.flange:.1f}"
    strip = f"T + 2 c - 2 t + pi K t + 2 F = {sum_} = {2 * s.half_strip:.1f} mm"
    room = f"margin + {_ROOM:g} = {s.margin:.4g} + {_ROOM:g} = {flange(s.margin):.4g} mm"
    return (
        Sentence("fit", f"Inside it is {wide:.1f} mm wide and {deep:.1f} mm deep.", wide, inside),
        _goes_in(section, wide, deep),
        said.allowance(given, "flange", s.flange, "Flange", "room for the awl between stitches and wall", room),
        Sentence("fit", f"The panels are {2 * s.half:.1f} x {s.bottom:.1f} mm.", 2 * s.half, panel),
        Sentence("fit", f"The strip is {2 * s.half_strip:.1f} mm wide.", 2 * s.half_strip, strip),
        _way("The strip is {:.1f} mm long, at the neutral line of its wall", s, s.wall),
        _way("The way round on the panels' stitch line, mouth to mouth, is {:.1f} mm", s, s.margin),
        _flange_stretch(m, s, seams),
        *_corner(m, s),
        *said.counts(seams, m["pitch"]),
    )


def _goes_in(section: Section, wide: float, deep: float) -> Sentence:
    """A box about a thing: half the inside way round against half the thing's outline."""
    spare = wide + deep - section.half_girth
    word = fit_word(spare, section.thickness)
    words = (
        f"{word.capitalize()}: half the girth inside is {wide + deep:.1f} mm, the thing's {section.half_girth:.1f} mm, "
    )
    words += f"so {spare:.1f} mm are to spare."
    formula = f"(W + 2 c) + (T + 2 c) = {wide:.1f} + {deep:.1f} = {wide + deep:.1f} mm; {section.formula(0.0)}"
    return Sentence("bound", words, spare, formula)


def _flange_stretch(m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]) -> Sentence:
    """Round a corner the flange is longer on the stitch line than the strip is cut: it has to stretch by that much."""
    panel, strip = s.round(s.margin), s.round(s.wall)
    share = 100.0 * (panel / strip - 1.0)
    can = m["stretch"] or _WET
    words = f"{seams[0].holes} holes each on panel and strip; in the two corners the flange is stretched {share:.0f} % on its stitch line"
    formula = f"(r - margin) / (r - wall) - 1 = {s.corner - s.margin:.1f} / {s.corner - s.wall:.1f} - 1 = {share:.0f} %"
    if share <= can:
        return Sentence("fit", f"{words}.", share, formula)
    most = f"{can:.0f} % is what {'the strip gave' if m['stretch'] else 'wet leather usually gives'}"
    return Sentence(
        "warning",
        f"{words}, and {most}: take rounder corners, a narrower flange, or nick its edge there.",
        share,
        formula,
    )


def _way(words: str, s: Sizes, inside: float) -> Sentence:
    way = s.way(inside)
    straight = 2 * s.half + 2 * s.bottom - 4 * s.corner
    formula = f"W + 2 H - 4 r + pi (r - s) = {straight:.1f} + 3.142 x ({s.corner:.4g} - {inside:.4g}) = {way:.1f} mm"
    return Sentence("fit", words.format(way) + ".", way, formula)


def _corner(m: Mapping[str, float], s: Sizes) -> list[Sentence]:
    """A thing with square corners stands in a round corner only where the clearance lets it."""
    radius = s.corner - s.flange - m["leather"]
    over = radius - m["clearance"]
    short = math.hypot(over, radius) - radius if over > 0 else 0.0
    if short <= 0.0:
        return []
    words = f"A thing with square corners stands {short:.1f} mm high on the round corners, {radius:.1f} mm inside"
    formula = f"sqrt((r - c)^2 + r^2) - r = sqrt({over:.1f}^2 + {radius:.1f}^2) - {radius:.1f} = {short:.1f} mm"
    return [Sentence("warning" if short > _STANDS_HIGH else "fit", words + ".", short, formula)]
