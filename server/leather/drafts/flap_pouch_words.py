"""What the pouch with a flap asks for and says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather.drafts import moulded, parts, said, stepping, work
from server.leather.drafts.flap_pouch_sizes import Sizes
from server.leather.fit import Section, close_allowance, easy_allowance, side_allowance
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import Preset

NAME = "flap-pouch"
_m = parts.asker(NAME)
_TUCK = 2.0
"""The place of the tongue among the closures."""
MEASURES = (
    _m("width", "Width", "Width of the thing, across its face.", (20, 400), 76.2, parts.EXAMPLE),
    _m("height", "Height", "Height of the thing, as it stands in the pouch.", (20, 500), 120.0, parts.EXAMPLE),
    _m("thickness", "Thickness", "Thickness of the thing, front to back.", (1, 100), 18.0, parts.EXAMPLE),
    _m("stands-out", "Stands out", "How much of the thing shows above the mouth, under the flap.", (0, 250), 6.0),
    moulded.front(NAME),
    parts.choice(
        NAME,
        "closure",
        "Closure",
        "A snap; a stud through a keyhole; or a tongue tucked under a bridge.",
        (("snap", "Snap"), ("stud", "Stud"), ("tuck", "Tucked tongue")),
    ),
    _m(
        "flap",
        "Flap",
        "How far the flap reaches down the front, from the mouth. Left empty: half the pocket, with a tongue three quarters.",
        (25, 400),
        None,
    ),
    _m("flap-taper", "Flap taper", "How much narrower the flap is at its end, each side.", (0, 100), 6.0),
    _m("flap-corner", "Flap corner", "Radius of the flap's two corners.", (2, 100), 22.0),
    _m("closure-inset", "Closure inset", "From the flap's end to the middle of the snap or stud.", (5, 80), 15.0),
    _m("closure-hole", "Closure hole", "Diameter of the hole for the snap or the stud's screw.", (2, 12), 4.5),
    _m("tongue", "Tongue", "Width of the tongue that is tucked under the bridge.", (12, 120), 26.0),
    _m("bridge", "Bridge", "Height of the bridge.", (10, 60), 18.0),
    parts.leather(NAME, 2.4, (0.8, 4.5), "about 6 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 4.0, (2.0, 15.0)),
    _m(
        "side-allowance",
        "Side allowance",
        "Added each side of the thing's width. Left empty: its thickness, an easy fit; for a moulded front one ply and 3 mm.",
        (0, 120),
        None,
        "easy fit a = T, close fit a = T/2 + t; " + parts.PRACTICE,
    ),
    _m("bottom-allowance", "Bottom allowance", "Added below the thing. Left empty: as the side.", (0, 120), None),
    _m("corner-radius", "Corner radius", "Radius of the stitch line's two bottom corners.", (0, 120), 14.0),
    _m("bend-radius", "Bend radius", "Inside radius with which the flap bends over the thing's edges.", (0, 20), 2.0),
    _m("trim", "Trim", "Left round the rim of a moulded front, trimmed off when it is glued.", (3, 40), 10.0),
    parts.pitch(NAME, 4.0),
    *stepping.measures(NAME),
    *parts.section(NAME),
    parts.neutral(NAME),
    parts.stretch(
        NAME,
        "How much the leather gives, measured on a strip: a moulded front's blank is cut so much smaller, a flat one's fit is told "
        "for when it has given. 0 until one was measured.",
    ),
)
PRESETS: tuple[Preset, ...] = ()
ROW_TITLES = {
    "bridge-right": "Bridge, right row",
    "bridge-left": "Bridge, left row",
    "bridge-right-mate": "Its mate on the bridge, right",
    "bridge-left-mate": "Its mate on the bridge, left",
}


def mate_of(name: str) -> str:
    """Return the row on the front that a row on the bridge is sewn to; "" for the others."""
    return name.removesuffix("-mate") if name.endswith("-mate") else ""


def _flap_share(closure: float | None) -> float:
    """Share of the pocket's depth that the flap covers; common practice, no source."""
    return 0.75 if closure == _TUCK else 0.5


def derived(given: Mapping[str, float | None]) -> dict[str, float]:
    """Return what a maker left open: an easy fit, or room round a moulded front's foot; and the flap's reach."""
    thick, ply = given["thickness"] or 0.0, given["leather"] or 0.0
    if given["front"]:
        sides = moulded.allowances(ply)
    else:
        sides = {"side-allowance": side_allowance(thick, ply), "bottom-allowance": easy_allowance(thick)}
    below = sides["bottom-allowance"] if given["bottom-allowance"] is None else given["bottom-allowance"]
    floor = (given["height"] or 0.0) - (given["stands-out"] or 0.0) + below
    return sides | {"flap": _flap_share(given["closure"]) * floor}


def steps(m: Mapping[str, float], s: Sizes, closure: str, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    return (*_cuts(m, s, closure), *_closure(s, closure, seams), *_close(m, s, seams[0]))


def _cuts(m: Mapping[str, float], s: Sizes, closure: str) -> list[Step]:
    front = (
        f"Cut the front as a blank, to be moulded; {m['trim']:.3g} mm are trimmed off later."
        if s.moulded
        else "Cut the front on the line."
    )
    found = [
        work.cut(
            "front",
            "front",
            f"Lay the leather grain side up, the arrow along the back of the hide. {front} Finish its mouth.",
        ),
        work.cut(
            "back",
            "back and flap",
            "Cut the back and its flap in one. Finish the flap's edge and the inside of the mouth.",
        ),
    ]
    if closure == "tuck":
        found.append(work.cut("bridge", "bridge", "Cut the bridge and finish its two long edges."))
    return found


def _closure(s: Sizes, closure: str, seams: Sequence[Seam]) -> list[Step]:
    if closure == "tuck":
        rows, mates = seams[1:3], seams[3:]
        return [
            work.prick(
                "front",
                f"Prick the two rows for the bridge, {rows[0].holes} holes each.",
                rows,
                1,
                "prick-front",
                "Prick the front",
            ),
            work.prick(
                "bridge",
                f"Prick the bridge's rows, {mates[0].holes} holes each.",
                mates,
                1,
                "prick-bridge",
                "Prick the bridge",
            ),
            work.sew(
                "front",
                "Sew the bridge to the front, hole to hole, so that it stands one ply high.",
                [row.name for row in rows],
                2,
                "sew-bridge",
                "Sew the bridge",
            ),
        ]
    keyhole = (
        ", and in the flap the keyhole: its round hole with a punch, its slit with a knife"
        if closure == "stud"
        else " and in the flap"
    )
    tools = (f"round punch {s.hole:.3g} mm", "knife") if closure == "stud" else (f"round punch {s.hole:.3g} mm",)
    where = f"Punch a hole of {s.hole:.3g} mm in the front{keyhole}"
    return [
        work.punch("front", "Punch the front", f"{where}; the back comes next.", ("closure",), 1, tools, "punch-front"),
        work.punch("back", "Punch the flap", f"{where}; this is the flap's.", ("closure",), 1, tools, "punch-flap"),
        work.step(
            "set",
            "Set the closure",
            f"Set the {closure} in the front now: it cannot be reached once the pocket is closed.",
            "front",
            ("slot",),
            ("closure",),
            1,
            ("setter or screwdriver", "mallet"),
            work.SET,
        ),
    ]


def _close(m: Mapping[str, float], s: Sizes, pocket: Seam) -> list[Step]:
    piece = "back" if s.moulded else "front"
    found = []
    if s.moulded:
        found.append(moulded.step())
    rim = "the foot of the moulded front" if s.moulded else "the front, edge to edge"
    found.append(
        work.glue(
            "glue",
            "Glue",
            f"Lay the back under the light flesh side up. Glue the rim outside the lit line, and press on {rim}, its mouth on the "
            "mark.",
            "back",
            ("glue-edge", "mouth"),
        )
    )
    if s.moulded:
        found.append(
            work.trim("back", "Turn the work with the back up, under the lit outline, and trim the rim to it.")
        )
    return [
        *found,
        work.scribe(piece, f"Scribe {s.margin:.4g} mm from the edge, along the light.", ("pocket",), 2),
        work.prick(
            piece,
            f"Start at the bottom centre and prick out to both ends: {pocket.holes} holes {pocket.pitch_mm:.2f} mm apart.",
            (pocket,),
            2,
        ),
        work.sew(
            piece,
            "Two needles, from mouth to mouth, the first and last two stitches doubled. Tamp flat, "
            "round and burnish the edges.",
            ("pocket",),
            2,
        ),
        work.step(
            "crease",
            "Bend the flap",
            f"Damp both folds, put the thing in and bend the flap over it, {m['bend-radius']:.3g} mm inside the bends; close it "
            "and let it dry.",
            "back",
            ("fold",),
            (),
            1,
            ("sponge", "bone folder"),
            work.EYES,
            work.DRIED,
        ),
    ]


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, section: Section, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    wide = f"W + 2 a = {m['width']:.1f} + 2 x {m['side-allowance']:.2f} = {2 * s.half_seam:.1f} mm"
    return (
        *_allowances(given, m, s),
        Sentence("fit", f"Seam to seam {2 * s.half_seam:.1f} mm.", 2 * s.half_seam, wide),
        *_room(m, s, section),
        _over(s),
        _flap(given, m, s),
        Sentence(
            "fit",
            f"The closure lies {s.closure:.1f} mm below the mouth on the front, {s.flap.over + s.closure:.1f} mm above it on the flap.",
            s.closure,
            f"over + y = {s.flap.over:.1f} + {s.closure:.1f} = {s.flap.over + s.closure:.1f} mm",
        ),
        *said.counts(seams, m["pitch"]),
    )


def _allowances(given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes) -> tuple[Sentence, Sentence]:
    ply, thick = m["leather"], m["thickness"]
    rule = "one ply and 3 mm, round the foot of the moulded front" if s.moulded else "an easy fit, in and out by hand"
    easy = f"a = T = {thick:.2f} mm; close fit T / 2 + t = {thick / 2:.2f} + {ply:.2f} = {close_allowance(thick, ply):.2f} mm"
    how = f"t + e = {ply:.2f} + {moulded.REACH:.2f} = {ply + moulded.REACH:.2f} mm" if s.moulded else easy
    side = m["side-allowance"]
    side_rule = rule if s.moulded or side == thick else "a close fit, because the thing is too thin for an easy one"
    return (
        said.allowance(given, "side-allowance", side, "Side allowance", side_rule, how),
        said.allowance(given, "bottom-allowance", m["bottom-allowance"], "Bottom allowance", rule, how),
    )


def _room(m: Mapping[str, float], s: Sizes, section: Section) -> tuple[Sentence, ...]:
    inside = m["height"] - m["stands-out"]
    if not s.moulded:
        return (
            *said.fits(section, m, 2 * s.half_seam),
            said.deep_enough(inside, m["thickness"], m["leather"], m["neutral"], s.floor),
        )
    return moulded.said(m, s.blank, s.margin + m["trim"])


def _flap(given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes) -> Sentence:
    share, reach = _flap_share(m["closure"]), m["flap"]
    formula = f"{share:g} x floor = {share:g} x {s.floor:.1f} = {share * s.floor:.1f} mm"
    return said.allowance(given, "flap", reach, "The flap reaches", "so much of the pocket it covers", formula)


def _over(s: Sizes) -> Sentence:
    flap = s.flap
    flat = flap.span - 2 * flap.radius
    formula = f"2 h + 2 (pi / 2) (R + K t) + (T + t - 2 R) = {2 * flap.stands:.1f} + {2 * flap.bend:.1f} + {flat:.1f} = {flap.over:.1f} mm"
    return Sentence("fit", f"From mouth to mouth over the top the flap takes {flap.over:.1f} mm.", flap.over, formula)
