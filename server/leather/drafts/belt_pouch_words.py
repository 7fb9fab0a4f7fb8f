"""What the belt pouch asks for and says: its measures, the steps of the work, and its sentences."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather import norms
from server.leather.drafts import moulded, parts, said, stepping, work
from server.leather.drafts.belt_pouch_sizes import Sizes
from server.leather.fit import Section, close_allowance, easy_allowance
from server.leather.pattern import Seam, Sentence, Step

_EXAMPLE = "the practice workshop's own thing, 3 x 6 x 1/2 in"

SEAM_TITLES = {"pocket": "Pocket seam", "ring-left": "Left slot ring", "ring-right": "Right slot ring"}


_m = parts.asker("belt-pouch")

MEASURES = (
    _m("width", "Width", "Width of the thing, across its face.", (10, 400), 76.2, _EXAMPLE),
    _m("height", "Height", "Height of the thing, as it stands in the pouch.", (20, 500), 152.4, _EXAMPLE),
    _m("thickness", "Thickness", "Thickness of the thing, front to back.", (0.5, 120), 12.7, _EXAMPLE),
    _m(
        "stands-out",
        "Stands out",
        "How much of the thing shows above the mouth, to take hold of.",
        (0, 400),
        25.4,
        _EXAMPLE,
    ),
    moulded.front("belt-pouch"),
    _m("belt", "Belt", "Width of the belt; the slots are as tall.", (10, 120), 38.1, "1 1/2 in; " + parts.PRACTICE),
    _m(
        "leather",
        "Leather",
        "Thickness of one ply, in mm, in or oz.",
        (0.4, 6),
        2.4,
        "about 6 oz; " + parts.PRACTICE,
        "leather",
    ),
    _m(
        "edge-margin",
        "Edge margin",
        "From the pocket's stitch line out to the edge, at the sides and the bottom.",
        (2, 25),
        norms.BELT_POUCH_MARGIN.value,
        norms.BELT_POUCH_MARGIN.reference,
    ),
    _m("slot-width", "Slot width", "Width of each belt slot.", (3, 30), 9.525, "3/8 in; " + parts.PRACTICE),
    _m(
        "slot-gap",
        "Slot gap",
        "From each slot to the pocket's stitch line and to the edge of the wing; the stitch ring runs half-way.",
        (4, 30),
        6.35,
        "1/4 in; " + parts.PRACTICE,
    ),
    _m(
        "side-allowance",
        "Side allowance",
        "Added each side of the thing's width. Left empty: its thickness, an easy fit; for a moulded front one ply and 3 mm.",
        (0, 150),
        None,
        "easy fit a = T, close fit a = T/2 + t; " + parts.PRACTICE,
    ),
    _m(
        "bottom-allowance",
        "Bottom allowance",
        "Added below the thing. Left empty: its thickness; for a moulded front as the side.",
        (0, 150),
        None,
        "as the side; " + parts.PRACTICE,
    ),
    _m(
        "corner-radius",
        "Corner radius",
        "Radius of the stitch line's two bottom corners; the edge runs round it, the edge margin outside.",
        (0, 200),
        20.0,
        parts.PRACTICE,
    ),
    _m(
        "pitch",
        "Pitch",
        "From one stitch hole to the next; eased so that a whole number fits.",
        (1.5, 12),
        4.0,
        parts.PRACTICE,
    ),
    *stepping.measures("belt-pouch"),
    _m(
        "back-margin",
        "Back margin",
        "How much larger than the front the back is cut, all round, to be trimmed when glued; of a moulded front's blank, the rim.",
        (3, 25),
        norms.BACK_MARGIN.value,
        norms.BACK_MARGIN.reference,
    ),
    *parts.section("belt-pouch"),
    parts.neutral("belt-pouch"),
    parts.stretch("belt-pouch"),
)


def master(s: Sizes) -> str:
    """Return the piece that carries the lines: the front, or the back where the front is moulded."""
    return "back" if s.moulded else "front"


_ALL_SEAMS = ("pocket", "ring-left", "ring-right")


def steps(m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    pocket, ring = seams[0], seams[1]
    hole = m["slot-width"] * 2 * norms.SLOT_END_SHARE.value
    on = master(s)
    hangs = " The moulded front hangs over the edge of the board." if s.moulded else ""
    return (
        *(_moulded_first(m) if s.moulded else _flat_first(m)),
        Step(
            "slots",
            "Punch the slots",
            f"Punch a {hole:.3g} mm hole in each corner of both slots through both plies, then cut the sides from hole to hole.{hangs}",
            on,
            ("slot",),
            (),
            2,
            (f"round punch {hole:.3g} mm", "mallet", "punching board", "knife"),
            work.BLADE,
        ),
        Step(
            "scribe",
            "Scribe the stitch lines",
            f"Scribe the pocket seam {m['edge-margin']:.4g} mm from the edge and the rings {m['slot-gap'] / 2:.4g} mm from the slots, "
            "along the light. Stop where the light stops.",
            on,
            ("stitch",),
            (),
            2,
            ("stitching groover or dividers",),
            work.EYES,
        ),
        Step(
            "prick",
            "Prick the holes",
            f"Start at the bottom centre and prick out to both ends, {pocket.holes} holes {pocket.pitch_mm:.2f} mm apart; then "
            f"{ring.holes} round each slot, {ring.pitch_mm:.2f} mm apart. Hold each iron along the line; the wide one "
            "where it is straight, two tines round curves, one where they are tight.",
            on,
            ("hole",),
            _ALL_SEAMS,
            2,
            ("pricking irons", "mallet"),
            work.IRON,
        ),
        Step(
            "sew",
            "Sew",
            "Two needles. The rings first, each from the hole beside the pocket seam round to it, two stitches over the start. "
            "Then the pocket seam, from mouth to mouth, the first and "
            "last two stitches doubled, the ends cut off on the back. Tamp the seams flat with a smooth hammer.",
            on,
            ("stitch", "hole"),
            _ALL_SEAMS,
            2,
            ("two needles", "awl", "waxed thread", "clam", "smooth hammer"),
            work.AWL,
        ),
    )


def _flat_first(m: Mapping[str, float]) -> tuple[Step, ...]:
    """Return the steps that cut both plies and make one of them, the front being flat."""
    front = ("outline", "grain", "label")
    return (
        Step(
            "cut-front",
            "Cut the front",
            "Lay the leather grain side up, the arrow along the back of the hide, and cut the front on the line. "
            "Finish its mouth edge now, between the wings: it cannot be reached later.",
            "front",
            ("cut", "mark"),
            front,
            1,
            work.KNIFE,
            work.BLADE,
        ),
        Step(
            "cut-back",
            "Cut the back over-size",
            f"Cut the back {m['back-margin']:.3g} mm larger than the front all round, the mouth too, so that both plies "
            "get one clean edge when it is trimmed. It is the same both ways round: either side may be up.",
            "back",
            ("cut", "mark"),
            front,
            1,
            work.KNIFE,
            work.BLADE,
        ),
        Step(
            "glue",
            "Glue",
            "Put the back under the light flesh side up. Spread glue from the lit line outwards, over the wings, on both flesh "
            "sides and nowhere inside it. Lay the front on it, grain side up, an even margin all round, and press.",
            "back",
            ("mark",),
            ("glue-edge",),
            1,
            ("glue", "spreader", "roller"),
            work.GLUE,
            waits=work.GLUED,
        ),
        Step(
            "trim",
            "Trim to the front",
            "Turn the work grain side up and lay the front's edge under the lit outline. Trim the back flush with the front, "
            "and the mouth of the back to the line.",
            "front",
            ("cut",),
            ("outline",),
            2,
            work.KNIFE,
            work.BLADE,
        ),
    )


def _moulded_first(m: Mapping[str, float]) -> tuple[Step, ...]:
    """Return the steps that cut both plies, mould the front, and make one of them."""
    return (
        work.cut(
            "back",
            "back",
            "Lay the leather grain side up, the arrow along the back of the hide, and cut the back on the line.",
        ),
        work.cut(
            "front",
            "front",
            f"Cut the front as a blank, to be moulded; {m['back-margin']:.3g} mm are trimmed off later. Finish its mouth.",
        ),
        moulded.step(),
        work.glue(
            "glue",
            "Glue",
            "Put the back under the light flesh side up. Spread glue from the lit line outwards, over the wings, and on the moulded "
            "front's foot. Press the front on it, its mouth level with the back's.",
            "back",
            ("glue-edge",),
        ),
        work.trim("back", "Turn the work with the back up, under the lit outline, and trim the front's blank to it."),
    )


def sentences(
    given: Mapping[str, float | None],
    m: Mapping[str, float],
    s: Sizes,
    section: Section,
    seams: Sequence[Seam],
) -> tuple[Sentence, ...]:
    """Return what is said of the draft: fit, bound, counts and warnings. `given` has None where the maker left a measure empty."""
    larger = "" if s.moulded else f" The back is cut {s.back_margin:.3g} mm larger all round, the mouth too."
    return (
        *(_moulded_allowances(given, m, s) if s.moulded else (_side_fit(given, m, s), _bottom_fit(given, m))),
        *_room(m, s, section),
        Sentence(
            "fit",
            f"Overall {2 * s.wing:.2f} x {s.bottom:.2f} mm; the body is {2 * s.half:.2f} mm wide.{larger}",
            2 * s.wing,
            f"W + 2 (a + 2 gap + slot) = {m['width']:.1f} + 2 x ({m['side-allowance']:.1f} + 2 x {s.gap:.4g} + {s.slot_width:.4g}) = "
            f"{2 * s.wing:.1f} mm",
        ),
        *said.counts(seams, m["pitch"]),
        *_warnings(m, s),
    )


def _room(m: Mapping[str, float], s: Sizes, section: Section) -> tuple[Sentence, ...]:
    """How the thing goes in: girth and depth, or moulded to it."""
    if s.moulded:
        return moulded.said(m, s.blank, s.wing - s.half_seam + s.back_margin)
    inside = m["height"] - m["stands-out"]
    deep = said.deep_enough(inside, m["thickness"], m["leather"], m["neutral"], s.floor)
    return (*said.fits(section, m, 2 * s.half_seam), deep)


def _moulded_allowances(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes
) -> tuple[Sentence, Sentence, Sentence]:
    rule = "one ply and 3 mm, round the foot of the moulded front"
    how = f"t + e = {m['leather']:.2f} + {moulded.REACH:.2f} = {m['leather'] + moulded.REACH:.2f} mm"
    side, below = m["side-allowance"], m["bottom-allowance"]
    wide = f"W + 2 a = {m['width']:.1f} + 2 x {side:.2f} = {2 * s.half_seam:.1f} mm"
    return (
        said.allowance(given, "side-allowance", side, "Side allowance", rule, how),
        said.allowance(given, "bottom-allowance", below, "Bottom allowance", rule, how),
        Sentence("fit", f"Seam to seam {2 * s.half_seam:.1f} mm.", 2 * s.half_seam, wide),
    )


def _side_fit(given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes) -> Sentence:
    easy, close = easy_allowance(m["thickness"]), close_allowance(m["thickness"], m["leather"])
    allowance = m["side-allowance"]
    if given["side-allowance"] is not None:
        how = f"side allowance {allowance:.1f} mm as given; close fit {close:.1f} mm, easy fit {easy:.1f} mm"
    elif allowance == easy:
        how = f"an easy fit, in and out by hand, with the thickness of {easy:.1f} mm as side allowance; "
        how += f"a close fit would be {close:.1f} mm (half of it and one ply)"
    else:
        how = f"a close fit, side allowance {close:.1f} mm (half the thickness and one ply), because the thing is too thin"
        how += f" for an easy fit of {easy:.1f} mm in this leather"
    formula = f"W + 2 a = {m['width']:.1f} + 2 x {allowance:.1f} = {2 * s.half_seam:.1f} mm"
    return Sentence("fit", f"Seam to seam {2 * s.half_seam:.1f} mm: {how}.", allowance, formula, "side-allowance")


def _bottom_fit(given: Mapping[str, float | None], m: Mapping[str, float]) -> Sentence:
    allowance = m["bottom-allowance"]
    why = "the thickness of the thing" if given["bottom-allowance"] is None else "as given"
    close = close_allowance(m["thickness"], m["leather"])
    formula = (
        f"a = {allowance:.1f} mm; close fit T / 2 + t = {m['thickness'] / 2:.1f} + {m['leather']:.1f} = {close:.1f} mm"
    )
    words = f"Bottom allowance {allowance:.1f} mm, {why}; a close fit would be {close:.1f} mm."
    return Sentence("fit", words, allowance, formula, "bottom-allowance")


def _warnings(m: Mapping[str, float], s: Sizes) -> list[Sentence]:
    found = [None if s.moulded else _thing_corner(m, s), _margin_habit(m)]
    return [sentence for sentence in found if sentence is not None]


def _thing_corner(m: Mapping[str, float], s: Sizes) -> Sentence | None:
    """The thing's square corner inside the round corner of the seam: it needs half the thickness of room."""
    over_x, over_y = s.corner - m["side-allowance"], s.corner - m["bottom-allowance"]
    if over_x <= 0.0 or over_y <= 0.0:
        return None
    room = s.corner - math.hypot(over_x, over_y)
    if room >= m["thickness"] / 2.0:
        return None
    text = f"The round corners leave {room:.1f} mm beside the thing's square corners, half its thickness is {m['thickness'] / 2:.1f} mm"
    return Sentence("warning", f"{text}; if its corners are square, take a smaller corner radius.", room)


def _margin_habit(m: Mapping[str, float]) -> Sentence | None:
    norm, margin = norms.BACK_MARGIN, m["back-margin"]
    if norm.low <= margin <= norm.high:
        return None
    return Sentence(
        "warning", f"A back margin of {margin:.3g} mm is unusual: {norm.low:g} to {norm.high:g} mm is common.", margin
    )
