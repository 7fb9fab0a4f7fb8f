"""What the sheath asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather import bend
from server.leather.drafts import parts, said, work
from server.leather.drafts.sheath_sizes import Hanger, Sizes
from server.leather.fit import Section, fit_word
from server.leather.pattern import Seam, Sentence, Step

NAME = "sheath"
_m = parts.asker(NAME)
_WELT = "welt at least as heavy as the sheath and 10 mm wide; " + parts.PRACTICE
LEAST_LEDGE = 3.0
"""mm: the least ledge that stops a blade; common practice, no source."""
MEASURES = (
    _m("blade-length", "Blade length", "From the handle or guard to the tip.", (50, 400), 110.0, parts.EXAMPLE),
    _m("blade-width", "Blade width", "From spine to edge, where the blade is widest.", (12, 100), 28.0, parts.EXAMPLE),
    _m("spine", "Spine", "Thickness of the blade at its spine.", (1, 12), 4.0, parts.EXAMPLE),
    _m("belly", "Belly", "How far from the tip the edge begins to curve.", (10, 300), 50.0, parts.EXAMPLE),
    _m("tip-drop", "Tip drop", "How far the tip lies below the line of the spine.", (0, 60), 6.0, parts.EXAMPLE),
    _m(
        "handle-in",
        "Handle inside",
        "How much of the handle stands in the sheath; 0 where a guard rests on the mouth.",
        (0, 150),
        30.0,
    ),
    _m("handle-width", "Handle width", "Width of the handle, spine side to edge side.", (12, 80), 30.0, parts.EXAMPLE),
    _m(
        "handle-thickness",
        "Handle thickness",
        "Thickness of the handle, side to side.",
        (6, 60),
        22.0,
        parts.EXAMPLE,
    ),
    _m("clearance", "Clearance", "Room between the edge and the welt, and beyond the tip.", (0.5, 10), 2.0),
    parts.leather(NAME, 3.2, (1.6, 5.0), "about 8 oz; " + parts.PRACTICE),
    _m(
        "welt-width",
        "Welt width",
        "Width of the welt: the edge lies so far, and the clearance, from the outside.",
        (10, 30),
        11.0,
        _WELT,
    ),
    _m(
        "welt",
        "Welt leather",
        "Thickness of the welt, of all its layers. Left empty: as the sheath or the spine, the thicker.",
        (1.6, 8),
        None,
        _WELT,
        "leather",
    ),
    parts.edge_margin(NAME, 4.5, (3.0, 15.0)),
    _m("drain", "Drain", "Gap left open at the toe, between the ends of the welt.", (0, 8), 4.0),
    _m("belt", "Belt", "Width of the belt.", (20, 80), 40.0),
    _m("hanger-width", "Hanger width", "Width of the strip that hangs the sheath on the belt.", (18, 80), 30.0),
    _m("strap-width", "Strap width", "Width of the strap that holds the handle.", (10, 40), 16.0),
    _m("snap-hole", "Snap hole", "Diameter of the holes for the strap's snap.", (2, 10), 4.5),
    parts.pitch(NAME, 5.0),
    *parts.section(NAME, default=2, thing="handle"),
    parts.neutral(NAME),
    parts.stretch(NAME),
)
_EDGE = "Tape the blade's edge and tip before it comes near the work"
_CUTS = f"{_EDGE}; a blade cuts through wet leather and the hand behind it ({work.CARE})."


def development(m: Mapping[str, float]) -> float:
    """Return dev, mm: how much further from the fold a place lies on the flat leather than from the blade's spine."""
    return bend.allowance(math.pi / 2.0, m["spine"] / 2.0, m["leather"], m["neutral"]) - m["spine"] / 2.0


def handle_girth(m: Mapping[str, float], leather: float) -> float:
    """Return the way round the handle, mm, at the neutral axis of a ply: its section's outline and 2 pi K t."""
    return 2.0 * handle(m).bound(leather, m["neutral"])


def handle(m: Mapping[str, float]) -> Section:
    """Return the section of the handle; refuses a round one that is not as thick as wide."""
    return parts.section_of(MEASURES, m, "handle-width", "handle-thickness")


def handle_half(m: Mapping[str, float]) -> float:
    """Return fold to cavity edge beside the handle, mm: half the way round, less half the welt that closes it, and the clearance."""
    return (handle_girth(m, m["leather"]) - m["welt"]) / 2.0 + m["clearance"]


def piece_of(seam: str) -> str:
    """Return the piece that carries a seam."""
    if seam == "edge-welt":
        return "welt"
    return "hanger" if seam.endswith(("-front", "-rear")) else "sheath"


def mate_of(name: str) -> str:
    """Return the line that this one is sewn to; "" for a first one."""
    if name in ("edge-back", "edge-welt"):
        return "edge"
    return name.removesuffix("-front").removesuffix("-rear") if piece_of(name) == "hanger" else ""


def seam_title(name: str) -> str:
    """Return a seam's title."""
    if name.startswith("edge"):
        return "Edge seam" + {"edge-back": ", back", "edge-welt": ", on the welt"}.get(name, "")
    row = f"Hanger row {name.split('-')[1]}"
    end = {"front": ", on its first foot", "rear": ", on its other foot"}
    return row + end.get(name.split("-")[-1], "")


def steps(m: Mapping[str, float], s: Sizes, h: Hanger, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    return (*_cuts(m["welt"]), *_hang(h, seams), *_close(m, s, seams))


def _cuts(welt: float) -> list[Step]:
    shape = (
        "Lay the leather grain side up, the arrow along the back of the hide, and cut on the line. Finish the mouth."
    )
    return [
        work.cut("sheath", "sheath", shape, ("outline", "grain", "label", "fold")),
        work.of_other_leather(
            work.cut(
                "welt",
                "welt",
                "Cut the welt with the light, its ledge square: it stops the blade. Thin its end at the toe.",
            ),
            welt,
        ),
        work.cut("hanger", "hanger", "Cut the hanger along the hide and finish its edges."),
        work.cut("strap", "strap", "Cut the strap along the hide and finish its edges."),
    ]


def _hang(h: Hanger, seams: Sequence[Seam]) -> list[Step]:
    rows = [seam for seam in seams if seam.name.startswith("hang") and not seam.mate]
    mates = [seam for seam in seams if seam.piece == "hanger"]
    names, both = [row.name for row in rows], ("strap-left", "strap-right")
    tall = 2 * h.strap + 1.5
    return [
        work.punch(
            "hanger",
            "Punch the strap's slots",
            "Punch both ends of each slot and cut between.",
            both,
            1,
            (f"oblong punch 3 x {tall:.3g} mm", "knife"),
            "punch-hanger",
        ),
        work.punch(
            "strap",
            "Punch the strap",
            f"Punch a hole of {h.hole:.3g} mm near each end.",
            ("snap-1", "snap-2"),
            1,
            (f"round punch {h.hole:.3g} mm",),
            "punch-strap",
        ),
        work.step(
            "snap",
            "Set the snap",
            "Set the snap's two halves in the strap, the cap outside when the ends lap.",
            "strap",
            ("slot",),
            ("snap-1", "snap-2"),
            1,
            ("snap setter", "mallet"),
            work.SET,
        ),
        work.prick(
            "sheath",
            f"Prick the hanger's two rows on the back, {rows[0].holes} holes each.",
            rows,
            1,
            "prick-back",
            "Prick the hanger's place",
        ),
        work.prick(
            "hanger", "Prick the rows on both feet of the hanger.", mates, 1, "prick-hanger", "Prick the hanger"
        ),
        work.sew(
            "sheath",
            "Lead the strap through the slots, fold the hanger over and sew both feet to the back.",
            names,
            3,
            "sew-hanger",
            "Sew the hanger on",
        ),
    ]


def _close(m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]) -> list[Step]:
    edge, back, between, welt = seams[0], seams[1], seams[2], m["welt"]
    stands = "handle up to the mark" if s.stop else "guard on the mouth"
    return [
        work.scribe("sheath", f"Scribe both edges {s.margin:.4g} mm in, along the light.", ("edge", "edge-back"), 1),
        work.prick(
            "sheath",
            f"Prick both halves, {edge.holes} holes each, hole to hole with the welt's.",
            (edge, back),
            1,
            "prick-edge",
            "Prick the edges",
        ),
        work.of_other_leather(
            work.prick(
                "welt",
                f"Prick the welt's own {between.holes} holes; the awl goes through where an iron does not reach.",
                (between,),
                1,
                "prick-welt",
                "Prick the welt",
            ),
            welt,
        ),
        work.step(
            "glue",
            "Glue the welt",
            "Flesh side up: glue the welt outside the lit line, its outer edge on the sheath's and an awl through holes that meet, "
            "then damp the fold, close the sheath over it and clamp until the glue holds. Nothing sticks out into the cavity.",
            "sheath",
            ("mark",),
            ("cavity", "glue-edge"),
            1,
            ("glue", "clamps", "bone folder"),
            work.GLUE,
            work.GLUED,
        ),
        work.of_other_leather(
            work.sew(
                "sheath",
                "Awl and two needles through all three plies, hole to hole; three stitches doubled "
                f"at the mouth and at the toe. The toe stays open {m['drain']:.3g} mm for water.",
                ("edge",),
                3,
                "sew-edge",
                "Sew the edge",
            ),
            welt,
        ),
        work.of_other_leather(
            work.step(
                "edge",
                "Finish the edge",
                "Sand the three plies level under the lit outline, round and burnish them.",
                "sheath",
                ("cut",),
                ("outline",),
                3,
                ("sanding block", "edge beveller", "edge slicker"),
                work.DUST,
            ),
            welt,
        ),
        _mould(stands, welt),
    ]


def _mould(stands: str, welt: float) -> Step:
    return work.of_other_leather(
        work.step(
            "mould",
            "Mould and try",
            f"Wrap the oiled blade in film, damp the leather, and put the knife in, {stands}. Press the leather to it and let it dry. Then "
            "try: the ledge or guard stops it before the tip touches, the strap holds it upside down, nothing cuts the stitches.",
            "sheath",
            ("mark", "fold"),
            ("cavity", "fold"),
            3,
            ("film", "water", "bone folder"),
            _CUTS,
            work.DRIED,
        ),
        welt,
    )


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, h: Hanger, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    dev, ply = development(m), m["leather"]
    wide = f"W + dev + c = {m['blade-width']:.1f} + {dev:.2f} + {m['clearance']:.4g} = {s.blade:.1f} mm"
    half = m["spine"] / 2
    bent = (
        f"(pi / 2)(T / 2 + K t) - T / 2 = 1.571 x ({half:.2f} + {m['neutral'] * ply:.2f}) - {half:.2f} = {dev:.2f} mm"
    )
    thick = f"the larger of t and T = {ply:.2f} and {m['spine']:.2f} = {max(ply, m['spine']):.2f} mm"
    far = s.welt + m["clearance"]
    off = f"welt + c = {s.welt:.4g} + {m['clearance']:.4g} = {far:.1f} mm"
    foot = f"2 (foot + belt) + pi (R + K t) = 2 x ({h.foot:.1f} + {h.belt:.1f}) + {h.fold:.1f} = {h.length:.1f} mm"
    bends = 2 * math.pi * m["neutral"] * ply
    strap = f"outline + 2 pi K t = {h.round - bends:.1f} + {bends:.1f} = {h.round:.1f} mm"
    return (
        Sentence("fit", f"From the fold to the cavity's edge beside the blade {s.blade:.1f} mm.", s.blade, wide),
        Sentence("bound", f"The fold over the spine takes {dev:.2f} mm more than the blade is wide.", dev, bent),
        _stop(m, s),
        *_held(m, s),
        Sentence("bound", f"The cutting edge lies {far:.1f} mm from the outside; 10 mm is the least.", far, off),
        said.allowance(given, "welt", m["welt"], "Welt", "as heavy as the sheath and as thick as the spine", thick),
        Sentence("fit", f"The hanger's blank is {h.length:.1f} mm long.", h.length, foot),
        Sentence("fit", f"The strap's snaps lie {h.round:.1f} mm apart, the way round the handle.", h.round, strap),
        *_warnings(m),
        *said.counts(seams, m["pitch"]),
    )


def _stop(m: Mapping[str, float], s: Sizes) -> Sentence:
    if not s.stop:
        return Sentence(
            "warning",
            "No handle stands in the sheath: a guard must rest on the mouth, or nothing stops the blade.",
            0.0,
        )
    ledge = s.handle - s.blade
    girth = handle_girth(m, m["leather"])
    sum_ = f"({girth:.1f} - {m['welt']:.1f}) / 2 + {m['clearance']:.4g} - {s.blade:.1f}"
    formula = f"(girth - welt) / 2 + c - blade = {sum_} = {ledge:.1f} mm"
    words = f"A ledge of {ledge:.1f} mm, {s.stop:.1f} mm below the mouth, stops the handle and with it the blade."
    return Sentence("bound", words, ledge, formula)


def _held(m: Mapping[str, float], s: Sizes) -> tuple[Sentence, ...]:
    """How blade and handle sit: the clearance is what is to spare, on the blade in width, on the handle seam to seam."""
    c, girth = m["clearance"], handle_girth(m, m["leather"])
    blade = f"fold to cavity - (W + dev) = {s.blade:.1f} - {s.blade - c:.1f} = {c:.4g} mm"
    found = [
        Sentence(
            "bound",
            f"{fit_word(c, m['blade-width']).capitalize()}: {c:.4g} mm of the cavity are to spare beside the blade.",
            c,
            blade,
        )
    ]
    if not s.stop:
        return tuple(found)
    spare = 2 * s.handle + m["welt"] - girth
    round_ = f"2 x fold to cavity + welt - girth = {2 * s.handle:.1f} + {m['welt']:.4g} - {girth:.1f} = {spare:.1f} mm"
    word = fit_word(spare / 2, m["handle-thickness"]).capitalize()
    words = f"{word} at the handle: {spare:.1f} mm are to spare round it, and wet moulding takes it in."
    return (
        *found,
        Sentence("bound", words, spare, round_),
        *said.after_wear(girth, spare, m["handle-thickness"], m["stretch"]),
    )


def _warnings(m: Mapping[str, float]) -> list[Sentence]:
    if m["welt"] >= m["spine"]:
        return []
    short = m["spine"] - m["welt"]
    words = f"The welt is {short:.1f} mm thinner than the spine: lay a second welt or take a heavier one where the blade sits tight"
    return [Sentence("warning", f"{words}.", short, f"{m['spine']:.1f} - {m['welt']:.1f} = {short:.1f} mm")]
