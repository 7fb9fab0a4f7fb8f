"""What the tray asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.tray_sizes import Sizes
from server.leather.fit import fit_word
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import PAPERS, presets

NAME = "tray"
_m = parts.asker(NAME)
_HEAD = 6.0
"""mm from a fixing's hole to the edge, so that a cap lies on leather; common practice, no source."""
MEASURES = (
    _m("width", "Width", "Width of what lies in the tray.", (30, 600), 148.0, "A5 laid across, ISO 216"),
    _m("length", "Length", "Length of what lies in the tray, front to back.", (30, 600), 105.0, "A6, ISO 216"),
    _m("clearance", "Clearance", "Added on each side of what lies in it.", (0, 50), 3.0),
    _m("wall", "Wall", "Height of the walls, inside.", (12, 120), 35.0),
    parts.choice(
        NAME,
        "fixing",
        "Fixing",
        "How the pinched corners are held: snaps let the tray lie flat again.",
        (("snap", "Snaps"), ("rivet", "Rivets"), ("stitched", "Stitches")),
    ),
    _m("hole", "Hole", "Diameter of the hole for a snap or rivet.", (1.5, 10), 4.0),
    _m(
        "ear",
        "Ear",
        "From a fixing to the wall's edge, and from the corner out. Left empty: half the hole and 6 mm.",
        (4, 40),
        None,
    ),
    _m("corner-radius", "Corner radius", "Radius of the four outer corners.", (0, 80), 12.0),
    _m(
        "bend-radius",
        "Bend radius",
        "Inside radius of the folds: small for a creased fold, as thick as the leather for a soft one.",
        (0, 12),
        1.5,
    ),
    parts.leather(NAME, 2.8, (1.0, 5.0), "about 7 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 5.0, (2.0, 15.0)),
    parts.pitch(NAME, 5.0),
    parts.neutral(NAME),
)
PRESETS = presets(PAPERS, "width", "length")


def ear(hole: float) -> float:
    """Return how far from edge and corner a fixing stands when the maker leaves it open: half its hole and 6 mm."""
    return hole / 2.0 + _HEAD


def inside(m: Mapping[str, float], name: str) -> float:
    """Return the inside of the base, mm: the thing and the clearance on each side."""
    return m[name] + 2.0 * m["clearance"]


def mate_of(name: str) -> str:
    """Return the line that this one is sewn to; "" for a first one."""
    return name.removesuffix("-mate") if name.endswith("-mate") else ""


def corner_title(name: str) -> str:
    """Return the title of a corner's seam."""
    number = name.removesuffix("-mate").removeprefix("corner-")
    return f"Corner {number}, other wall" if mate_of(name) else f"Corner {number}"


def steps(s: Sizes, fixing: str, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    return (
        work.cut(
            "tray",
            "tray",
            "Lay the leather grain side up, the arrow along the back of the hide, cut on the line and finish the edges now.",
        ),
        *_holes(s, fixing, seams),
        work.step(
            "fold",
            "Mark and fold",
            "Score the base's four lines lightly on the flesh side or press them with a bone folder on damp leather, then the four "
            "diagonals the other way. Fold the walls up, pinch the corners outwards, and let it dry in shape.",
            "tray",
            ("fold",),
            (),
            1,
            ("bone folder", "sponge", "rule"),
            work.EYES,
            work.DRIED,
        ),
        *_fix(fixing, seams),
    )


def _holes(s: Sizes, fixing: str, seams: Sequence[Seam]) -> tuple[Step, ...]:
    if fixing == "stitched":
        text = f"Prick each corner's two rows, {seams[0].holes} holes {seams[0].pitch_mm:.2f} mm apart: they meet when it is pinched."
        return (work.prick("tray", text, seams, 1),)
    text = f"Punch the eight {s.hole:.3g} mm holes in the light's circles."
    return (work.punch("tray", "Punch the holes", text, (), 1, (f"round punch {s.hole:.3g} mm",)),)


def _fix(fixing: str, seams: Sequence[Seam]) -> tuple[Step, ...]:
    if fixing == "stitched":
        names = [seam.name for seam in seams]
        text = "Sew each corner hole to hole, both ends doubled."
        return (work.sew("tray", text, names, 1),)
    what = "snap, its cap outside" if fixing == "snap" else "rivet"
    text = f"Pinch a corner until its two holes meet and set a {what}; the same at the other three."
    tools = (f"{fixing} setter", "mallet", "anvil")
    return (work.step("fix", "Set the corners", text, "tray", ("slot",), (), 1, tools, work.SET),)


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    radius, flat = m["bend-radius"], m["wall"] - m["bend-radius"]
    turn = f"(pi / 2) (R + K t) = 1.571 x ({radius:.2f} + {m['neutral']:.2f} x {m['leather']:.2f}) = {s.bend:.2f} mm"

    def blank(name: str, whole: float) -> str:
        base = inside(m, name) - 2 * radius
        return f"W - 2 R + 2 bend + 2 (h - R) = {base:.1f} + {2 * s.bend:.1f} + {2 * flat:.1f} = {whole:.1f} mm"

    base = f"{inside(m, 'width'):.1f} x {inside(m, 'length'):.1f} mm"
    derived = f"d / 2 + 6 = {m['hole'] / 2:.2f} + 6 = {ear(m['hole']):.2f} mm"
    seen = math.hypot(inside(m, "width"), inside(m, "length"))
    diagonal = f"sqrt({inside(m, 'width'):.1f}^2 + {inside(m, 'length'):.1f}^2) = {seen:.1f} mm"
    mates = [said.mating(a, b) for a in seams for b in seams if b.mate == a.name]
    return (
        Sentence(
            "fit", f"Inside {base}, walls {m['wall']:.1f} mm; the inside diagonal is {seen:.1f} mm.", seen, diagonal
        ),
        _lies_in(m),
        Sentence("bound", f"Each fold takes up {s.bend:.2f} mm.", s.bend, turn),
        Sentence("fit", f"Cut {2 * s.half:.1f} mm wide.", 2 * s.half, blank("width", 2 * s.half)),
        Sentence("fit", f"Cut {s.height:.1f} mm high.", s.height, blank("length", s.height)),
        said.allowance(given, "ear", m["ear"], "Ear", "a cap lies on leather", derived),
        *mates[:1],
        *said.counts(seams, m["pitch"]),
    )


def _lies_in(m: Mapping[str, float]) -> Sentence:
    """How the thing lies in the tray: what is to spare beside it, both sides together."""
    spare = 2 * m["clearance"]
    words = f"{fit_word(spare, m['wall']).capitalize()}: {spare:.3g} mm are to spare beside the thing each way, "
    words += f"and walls of {m['wall']:.1f} mm hold it."
    return Sentence(
        "bound",
        words,
        inside(m, "width"),
        f"W + 2 c = {m['width']:.1f} + 2 x {m['clearance']:.4g} = {inside(m, 'width'):.1f} mm",
    )
