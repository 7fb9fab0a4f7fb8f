"""What the flat sleeve asks for and says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, stepping, work
from server.leather.drafts.flat_sleeve_sizes import Sizes
from server.leather.fit import Section, close_allowance
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import CARDS, ID_1, NOTES, PAPERS, presets

NAME = "flat-sleeve"
_m = parts.asker(NAME)
_CARD = f"{ID_1.title}, {ID_1.reference}"
MEASURES = (
    _m("width", "Width", "Width of the thing, along the mouth.", (10, 400), ID_1.width, _CARD),
    _m("height", "Height", "Height of the thing, as it stands in the sleeve.", (20, 500), ID_1.height, _CARD),
    _m(
        "thickness",
        "Thickness",
        "Thickness of all that goes in, front to back.",
        (0.1, 40),
        3.0,
        "four cards of 0.76 mm",
    ),
    _m("stands-out", "Stands out", "How much of the thing shows above the mouth.", (0, 375), 0.0),
    parts.leather(NAME, 1.2, reference="about 3 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 3.0),
    _m("notch-width", "Notch width", "Width of the thumb notch, lip to lip; 0 for none.", (0, 80), 28.0),
    _m(
        "notch-depth", "Notch depth", "Depth of the thumb notch below the mouth, at most half its width.", (3, 40), 13.0
    ),
    _m(
        "side-allowance",
        "Side allowance",
        "Added each side of the thing's width. Left empty: half its thickness and one ply, a close fit.",
        (0, 60),
        None,
        "close fit a = T/2 + t; " + parts.PRACTICE,
    ),
    _m("bottom-allowance", "Bottom allowance", "Added below the thing. Left empty: as the side.", (0, 60), None),
    _m("corner-radius", "Corner radius", "Radius of the stitch line's two bottom corners.", (0, 100), 3.0),
    parts.pitch(NAME, 3.0),
    *stepping.measures(NAME),
    *parts.section(NAME, 1.0),
    parts.neutral(NAME),
    parts.stretch(NAME),
    parts.over_size(NAME, 6.0, "How much larger the back is cut at the sides and the bottom; trimmed when glued."),
)
PRESETS = presets((*CARDS, *PAPERS, *NOTES), "width", "height")


def steps(m: Mapping[str, float], seam: Seam) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    notch = " and its thumb notch" if m["notch-width"] else ""
    return (
        work.cut(
            "front",
            "front",
            f"Lay the leather grain side up, the arrow along the back of the hide. Cut the front{notch} on the line. Finish the "
            "mouth edge now: it is hard to reach later.",
        ),
        work.cut(
            "back",
            "back over-size",
            f"Cut the back {m['back-margin']:.3g} mm larger at the sides and the bottom; the mouth is cut on the line and "
            "finished now.",
        ),
        work.glue(
            "glue",
            "Glue",
            "Lay the back under the light flesh side up. Spread a narrow band of glue from the lit line outwards on both flesh "
            "sides, and press the front on it, mouth to mouth.",
            "back",
            ("glue-edge",),
        ),
        work.trim(
            "front",
            "Turn the work grain side up, the front under the lit outline, and trim the back flush at three sides.",
        ),
        work.scribe("front", f"Scribe {m['edge-margin']:.4g} mm from the edge, along the light.", ("pocket",), 2),
        work.prick(
            "front",
            f"Start at the bottom centre and prick out to both ends: {seam.holes} holes {seam.pitch_mm:.2f} mm apart. The wide "
            "iron where it is straight, two tines or one round the corners.",
            (seam,),
            2,
        ),
        work.sew(
            "front",
            "Two needles. From mouth to mouth, the first and last two stitches doubled; the "
            "ends cut off on the back. Tamp the seam flat, round and burnish the edges.",
            ("pocket",),
            2,
        ),
    )


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, section: Section, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    close = close_allowance(m["thickness"], m["leather"])
    how = f"T / 2 + t = {m['thickness'] / 2:.2f} + {m['leather']:.2f} = {close:.2f} mm"
    rule = "half the thickness and one ply, a close fit"
    wide = f"W + 2 a = {m['width']:.1f} + 2 x {m['side-allowance']:.2f} = {2 * s.half_seam:.1f} mm"
    cut = f"seam to seam + 2 margins = {2 * s.half_seam:.1f} + 2 x {s.margin:.4g} = {2 * s.half:.1f} mm"
    inside = m["height"] - m["stands-out"]
    return (
        said.allowance(given, "side-allowance", m["side-allowance"], "Side allowance", rule, how),
        said.allowance(given, "bottom-allowance", m["bottom-allowance"], "Bottom allowance", rule, how),
        Sentence("fit", f"Seam to seam {2 * s.half_seam:.1f} mm.", 2 * s.half_seam, wide),
        *said.fits(section, m, 2 * s.half_seam),
        said.deep_enough(inside, m["thickness"], m["leather"], m["neutral"], s.floor),
        Sentence("fit", f"Cut {2 * s.half:.1f} x {s.bottom:.1f} mm; the back larger at three sides.", 2 * s.half, cut),
        *said.counts(seams, m["pitch"]),
    )
