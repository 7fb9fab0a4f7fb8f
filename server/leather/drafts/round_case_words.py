"""What the round case asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.round_case_sizes import Can
from server.leather.fit import fit_word
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import CELLS, presets

NAME = "round-case"
_m = parts.asker(NAME)
_LEAST_LEATHER = 2.0
"""mm: below it a stitch led out through the edge at an angle tears; common practice, no source."""
MEASURES = (
    _m("diameter", "Diameter", "Diameter of the thing, where it is thickest.", (8, 300), 70.0, parts.EXAMPLE),
    _m("height", "Height", "Height of the thing.", (20, 600), 150.0, parts.EXAMPLE),
    _m("stands-out", "Stands out", "How much of the thing shows above the tube; a cap covers it.", (0, 400), 0.0),
    _m("ease", "Ease", "How much wider than the thing the tube is, in all.", (0, 20), 1.5),
    parts.choice(
        NAME, "lid", "Lid", "Open, or with a cap that slips over the tube.", (("none", "Open"), ("cap", "Cap"))
    ),
    _m("cap-depth", "Cap depth", "How far the cap reaches down over the tube.", (15, 300), 40.0),
    _m("cap-play", "Cap play", "How much wider than the tube's outside the cap is, in all.", (0, 6), 0.8),
    parts.leather(NAME, 2.5, (0.8, 5.0), "about 6 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 3.0, (2.0, 12.0)),
    parts.measure(NAME, "pitch", "Pitch", "From one stitch hole to the next on the tube; eased.", (5.0, 12.0), 5.0),
    parts.neutral(NAME),
    parts.stretch(NAME),
)
PRESETS = presets(CELLS, "diameter", "height")
DISC_TITLES = {"base": "Base", "cap-top": "Cap's top"}


def steps(cans: Sequence[Can], seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    by_name = {seam.name: seam for seam in seams}
    return tuple(step for can in cans for step in _make(can, by_name))


def _make(can: Can, seams: Mapping[str, Seam]) -> list[Step]:
    side, other = seams[f"{can.name}-side-right"], seams[f"{can.name}-side-left"]
    ring, row = seams[can.disc], seams[f"{can.disc}-{can.name}"]
    title = DISC_TITLES[can.disc].lower()
    return [
        work.cut(
            can.name,
            can.name,
            "Lay the leather grain side up, the arrow along the back of the hide. Cut the butted edges square against "
            "a rule, and finish the mouth.",
        ),
        work.cut(can.disc, title, "Cut the disc a hair large and sand it to the line."),
        work.prick(
            can.name,
            f"Prick both butted edges, {side.holes} holes each, and the row along the lower edge, {row.holes} holes.",
            (side, other, row),
            1,
            f"prick-{can.name}",
            f"Prick the {can.name}",
        ),
        work.prick(
            can.disc,
            f"Prick the ring one hole at a time under the light: {ring.holes} holes, {ring.pitch_mm:.2f} mm apart.",
            (ring,),
            1,
            f"prick-{can.disc}",
            f"Prick the {title}",
        ),
        work.sew(
            can.name,
            "Bring the butted edges together over a round block and sew them, each stitch led out through the edge.",
            (side.name, other.name),
            1,
            f"sew-{can.name}",
            f"Close the {can.name}",
        ),
        work.sew(
            can.disc,
            f"Stand the {can.name} on the disc, the butt at the ring's lowest gap. Sew hole to hole, the awl led at an angle from the "
            f"disc's face out through the {can.name}'s side, two stitches over the start. Sand the "
            "edge level and burnish it.",
            (can.disc,),
            1,
            f"sew-{can.disc}",
            f"Sew in the {title}",
        ),
    ]


def sentences(m: Mapping[str, float], cans: Sequence[Can], seams: Sequence[Seam]) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    tube = cans[0]
    spare, bound = math.pi * m["ease"] / 2.0, math.pi * m["diameter"]
    word = fit_word(spare, m["diameter"])
    around = f"pi (D + ease) = 3.142 x ({m['diameter']:.1f} + {m['ease']:.4g}) = {math.pi * tube.inside:.1f} mm"
    words = f"{word.capitalize()}: {bound:.1f} mm round the thing, {math.pi * tube.inside:.1f} mm inside the tube, "
    words += f"{m['ease']:.3g} mm of ease across."
    found = [Sentence("bound", words, bound, around)]
    found += said.after_wear(bound / 2.0 + spare, spare, m["diameter"], m["stretch"])
    for can in cans:
        found += _can(can, seams)
    if m["leather"] < _LEAST_LEATHER:
        text = f"Leather of {m['leather']:.3g} mm is thin for stitches led out through the edge; {_LEAST_LEATHER:g} mm holds"
        found.append(Sentence("warning", f"{text}.", _LEAST_LEATHER, f"{m['leather']:.3g} < {_LEAST_LEATHER:g} mm"))
    return (*found, *said.counts(seams, m["pitch"]))


def _can(can: Can, seams: Sequence[Seam]) -> list[Sentence]:
    by_name = {seam.name: seam for seam in seams}
    sum_ = f"3.142 x ({can.inside:.2f} + {2 * can.neutral * can.leather:.2f}) = {can.around:.1f} mm"
    disc = f"d + 2 t = {can.inside:.2f} + 2 x {can.leather:.2f} = {can.outside:.2f} mm"
    title = DISC_TITLES[can.disc]
    return [
        Sentence(
            "fit",
            f"The {can.name} is cut {can.around:.1f} mm wide and {can.height:.1f} mm high.",
            can.around,
            f"pi (d + 2 K t) = {sum_}",
        ),
        Sentence("fit", f"{title}: {can.outside:.1f} mm across.", can.outside, disc),
        _ring(can, by_name[f"{can.disc}-{can.name}"], by_name[can.disc]),
    ]


def _ring(can: Can, row: Seam, ring: Seam) -> Sentence:
    """Equal counts: the row goes right round the tube, half a pitch beyond its last holes."""
    off = (ring.length_mm - can.around) / can.around
    formula = f"({ring.length_mm:.1f} - {can.around:.1f}) / {can.around:.1f} = {100 * off:+.1f} %"
    words = f"{row.holes} holes on tube and {DISC_TITLES[can.disc].lower()}, at {row.pitch_mm:.2f} and {ring.pitch_mm:.2f} mm"
    return Sentence(
        "fit",
        f"{words}: the ring is {-100 * off:.0f} % shorter, because it lies {can.margin:.3g} mm in.",
        ring.pitch_mm,
        formula,
    )
