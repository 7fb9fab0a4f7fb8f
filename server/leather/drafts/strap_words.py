"""What the strap asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather import bend
from server.leather.drafts import parts, said, work
from server.leather.drafts.strap_sizes import Sizes
from server.leather.drafts.tips import TIPS
from server.leather.fit import fit_word
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import Preset

NAME = "strap"
_m = parts.asker(NAME)
_RULE = "belt blank 3 1/2 + 36 + 2 + 4 in; " + parts.PRACTICE
_PLAY = 2.0
"""mm round the stack in a keeper, in all; common practice, no source."""
_PIN_TURNS = 2.5
"""A pin slot is this often the bend long, so that the pin lies flat on either side."""
MEASURES = (
    _m(
        "size",
        "Size",
        "From the buckle's pin to the middle hole, as it is worn.",
        (100, 1600),
        914.4,
        "36 in; " + _RULE,
    ),
    _m("width", "Width", "Width of the strap; the buckle must take it.", (8, 80), 38.1, "1 1/2 in; " + parts.PRACTICE),
    parts.leather(NAME, 3.6, (1.0, 6.0), "about 9 oz; " + parts.PRACTICE),
    _m("turn", "Turn", "From the buckle's bar to the end that turns back.", (40, 200), 88.9, "3 1/2 in; " + _RULE),
    _m("bar", "Bar", "Thickness of the buckle's bar.", (1.5, 15), 5.0),
    _m("pin", "Pin slot width", "Width of the slot for the buckle's pin.", (2, 20), 8.0),
    _m(
        "pin-slot",
        "Pin slot",
        "Length of that slot, about the fold. Left empty: from the bend round the bar.",
        (6, 60),
        None,
    ),
    parts.choice(
        NAME,
        "fixing",
        "Fixing",
        "How the turn is held: with two screws or snaps, so that the buckle can be changed, or sewn.",
        (("hardware", "Two screws or snaps"), ("stitched", "Two sewn rows")),
    ),
    _m("hardware-hole", "Fixing hole", "Diameter of the hole for a screw or snap.", (2, 12), 4.5),
    _m("holes", "Holes", "How many holes, spaced evenly about the middle one.", (1, 15), 5.0, _RULE, "count"),
    _m("hole-spacing", "Hole spacing", "From one hole to the next.", (8, 60), 25.4, "1 in; " + _RULE),
    _m("hole", "Hole", "Diameter of a hole for the pin.", (1.5, 12), 5.0),
    _m("tip-length", "Tip length", "From the last hole to the end of the tip.", (20, 250), 101.6, "4 in; " + _RULE),
    parts.choice(NAME, "tip", "Tip", "The shape of the end.", TIPS),
    _m("keeper-width", "Keeper width", "Width of the keeper, the loop that holds the free end.", (8, 40), 14.0),
    _m("keeper-leather", "Keeper leather", "Thickness of the keeper.", (0.8, 4), 2.0, parts.PRACTICE, "leather"),
    parts.edge_margin(NAME, 5.0, (2.0, 20.0)),
    parts.pitch(NAME, 4.5),
    parts.neutral(NAME),
    parts.stretch(
        NAME,
        "How much the leather lengthens in wear, measured on a strip; the strap is cut so much shorter. 0 until one was measured.",
    ),
)
PRESETS = (
    Preset("belt-32", "Belt for 32 in", (("size", 812.8), ("width", 38.1)), _RULE),
    Preset("belt-36", "Belt for 36 in", (("size", 914.4), ("width", 38.1)), _RULE),
    Preset("belt-40", "Belt for 40 in", (("size", 1016.0), ("width", 38.1)), _RULE),
)
SEAM_TITLES = {
    "row-1": "Row by the buckle",
    "row-1-turn": "Its mate on the turn",
    "row-2": "Row behind the keeper",
    "row-2-turn": "Its mate on the turn's end",
    "joint": "Keeper joint",
    "joint-end": "Its other end",
}
_LOAD = "No strength is claimed: do not use it to hold a person, an animal or a load"


def mate_of(name: str) -> str:
    """Return the row that a row on the turn is sewn to; "" for the others."""
    return name.removesuffix("-turn") if name.endswith("-turn") else ""


def cut_size(m: Mapping[str, float]) -> float:
    """Return pin to middle hole on the blank, mm: size / (1 + stretch)."""
    return m["size"] / (1.0 + m["stretch"] / 100.0)


def pin_slot(bar: float, leather: float) -> float:
    """Return the length, mm, of a pin slot in which the pin lies flat: 2.5 (pi / 2) (bar / 2 + t / 2), rounded up."""
    return math.ceil(_PIN_TURNS * bend.allowance(math.pi / 2.0, bar / 2.0, leather))


def keeper_length(m: Mapping[str, float]) -> float:
    """Return the keeper's blank, mm, its ends butted: round w x 3 t at the neutral axis, and the play."""
    return 2.0 * (m["width"] + 3.0 * m["leather"]) + 2.0 * math.pi * m["neutral"] * m["keeper-leather"] + _PLAY


def free_stretch(s: Sizes, share: float) -> tuple[float, float]:
    """Return a place on the plain part of the strap, mm: where it begins and 60 mm (or less) on."""
    top, low = s.turn + s.fixings[1] + 6.0, s.holes[0] - s.hole
    start = top + share * (low - top) * 0.9
    return start, min(start + 60.0, low)


def steps(m: Mapping[str, float], s: Sizes, fixing: str, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    by_name = {seam.name: seam for seam in seams}
    return (
        work.cut(
            "strap",
            "strap",
            "Lay the leather grain side up, the arrow along the back of the hide, where it stretches least. Cut both sides "
            "against a straight rule along the light, then the tip.",
        ),
        work.of_other_leather(
            work.cut("keeper", "keeper", "Cut the keeper from the same hide or a thinner one."), m["keeper-leather"]
        ),
        work.punch(
            "strap",
            "Punch slot and holes",
            f"Punch the pin slot ({s.pin:.3g} x {s.slot:.3g} mm) and {len(s.holes)} holes of {s.hole:.3g} mm in the light's circles.",
            (),
            1,
            (f"oblong punch {s.pin:.3g} x {s.slot:.3g} mm", f"round punch {s.hole:.3g} mm"),
        ),
        work.step(
            "skive",
            "Thin the turn",
            "Thin the flesh side from the fold's line to the end, to half at the end, damp the fold and bend it round the bar. "
            "Round and finish all edges.",
            "strap",
            ("fold",),
            (),
            1,
            ("skiving knife", "edge beveller", "edge slicker"),
            work.BLADE,
        ),
        *_keeper_steps(by_name, m["keeper-leather"]),
        *_fixing_steps(m, fixing, by_name),
    )


def _keeper_steps(seams: Mapping[str, Seam], leather: float) -> tuple[Step, ...]:
    joint, end = seams["joint"], seams["joint-end"]
    found = (
        work.prick(
            "keeper", f"Prick {joint.holes} holes at each end.", (joint, end), 1, "prick-keeper", "Prick the keeper"
        ),
        work.sew(
            "keeper",
            "Bend the keeper round strap, turn and free end and sew its ends edge to edge.",
            ("joint", "joint-end"),
            1,
            "sew-keeper",
            "Sew the keeper",
        ),
    )
    return tuple(work.of_other_leather(step, leather) for step in found)


def _fixing_steps(m: Mapping[str, float], fixing: str, seams: Mapping[str, Seam]) -> tuple[Step, ...]:
    if fixing == "hardware":
        return (
            work.step(
                "fix",
                "Set the fixings",
                f"Put the buckle on its bar, the keeper between the two pairs of {m['hardware-hole']:.3g} mm holes, turn the end back "
                f"and set a screw or snap in each pair. {_LOAD}.",
                "strap",
                ("slot", "fold"),
                ("fixing-1", "fixing-2", "pin-slot", "fold"),
                2,
                ("screwdriver or setter", "mallet"),
                work.SET,
            ),
        )
    rows = [seam for name, seam in seams.items() if name.startswith("row")]
    names = [seam.name for seam in rows if not seam.mate]
    return (
        work.prick("strap", f"Prick the rows and their mates on the turn, {rows[0].holes} holes each.", rows, 1),
        work.sew(
            "strap",
            f"Put the buckle on its bar and the keeper between the rows, turn the end back and sew hole to hole. "
            f"{_LOAD}.",
            names,
            2,
        ),
    )


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    size, half_row = cut_size(m), (len(s.holes) - 1) / 2.0 * m["hole-spacing"]
    blank = f"{s.turn:.1f} + {size:.1f} + {half_row:.1f} + {m['tip-length']:.1f} = {s.blank:.1f} mm"
    bent = bend.allowance(math.pi / 2.0, m["bar"] / 2.0, m["leather"], m["neutral"])
    round_bar = f"1.571 x ({m['bar'] / 2:.2f} + {m['neutral']:.2f} x {m['leather']:.2f}) = {bent:.1f} mm"
    keeper = s.keeper[1]
    stack, loops = 2 * (m["width"] + 3 * m["leather"]), 2 * math.pi * m["neutral"] * m["keeper-leather"]
    loop = f"2 (w + 3 t) + 2 pi K t' + play = {stack:.1f} + {loops:.1f} + {_PLAY:g} = {keeper:.1f} mm"
    slot = pin_slot(m["bar"], m["leather"])
    why = f"2.5 x 1.571 x ({m['bar'] / 2:.2f} + 0.5 x {m['leather']:.2f}), rounded up = {slot:.0f} mm"
    lost = f"size / (1 + stretch) = {m['size']:.1f} / {1 + m['stretch'] / 100:.3f} = {size:.1f} mm"
    stretch = (
        f"Cut for a stretch of {m['stretch']:.3g} %" if m["stretch"] else "No stretch taken off: none was measured"
    )
    return (
        Sentence(
            "fit",
            f"The blank is {s.blank:.1f} mm long and {2 * s.half:.1f} mm wide.",
            s.blank,
            f"turn + size + (n - 1) / 2 spacing + tip = {blank}",
        ),
        Sentence("fit", f"{stretch}; pin to middle hole is {size:.1f} mm on the blank.", size, lost),
        said.allowance(given, "pin-slot", s.slot, "Pin slot", "the pin lies flat on either side of the bar", why),
        Sentence(
            "bound",
            f"Half the bend round the bar takes {bent:.1f} mm of the turn.",
            bent,
            f"(pi / 2) (R + K t) = {round_bar}",
        ),
        Sentence("fit", f"The keeper's blank is {keeper:.1f} mm for three plies, ends butted.", keeper, loop),
        _keeper_fit(m),
        Sentence("warning", f"{_LOAD}."),
        *said.counts(seams, m["pitch"]),
    )


def _keeper_fit(m: Mapping[str, float]) -> Sentence:
    """How the free end goes through the keeper: the play is what is to spare round strap, turn and free end."""
    stack = 2 * (m["width"] + 3 * m["leather"])
    words = f"{fit_word(_PLAY / 2, 3 * m['leather']).capitalize()} in the keeper: {_PLAY:g} mm are to spare round strap, turn and free end."
    return Sentence(
        "bound", words, stack, f"2 (w + 3 t) = 2 x ({m['width']:.1f} + 3 x {m['leather']:.4g}) = {stack:.1f} mm"
    )
