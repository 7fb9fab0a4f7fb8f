"""What the key fob asks for and says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.key_fob_sizes import Sizes
from server.leather.drafts.tips import TIPS
from server.leather.pattern import Seam, Sentence, Step

NAME = "key-fob"
_m = parts.asker(NAME)
_EASY_NECK = 0.6
"""Share of the ring's opening that a neck fills without cupping; common practice, no source."""
MEASURES = (
    _m("length", "Length", "Finished length, from the outside of the loop to the tip.", (30, 300), 90.0),
    _m("width", "Width", "Width of the paddles.", (10, 80), 28.0),
    _m("neck-width", "Neck width", "Width of the strip where it goes round the ring.", (4, 60), 14.0),
    _m("neck-length", "Neck length", "From the loop to where the paddle begins to widen.", (2, 40), 6.0),
    _m("ring", "Ring", "Inside diameter of the key ring.", (8, 80), 25.0),
    _m("wire", "Wire", "Thickness of the ring, where the leather goes round it.", (0.8, 12), 3.2),
    _m("play", "Play", "How much wider than the wire the loop is.", (0, 10), 0.8),
    parts.choice(NAME, "tip", "Tip", "The shape of both ends.", TIPS),
    parts.leather(NAME, 1.8, (0.6, 4.0), "about 4 1/2 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 3.5, (2.0, 15.0)),
    parts.pitch(NAME, 3.5),
    parts.neutral(NAME),
)


def steps(m: Mapping[str, float], seam: Seam) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    return (
        work.cut(
            "fob", "fob", "Lay the leather grain side up, the arrow along the back of the hide, and cut on the line."
        ),
        work.step(
            "fold",
            "Mark the loop",
            "Prick the ends of both fold lines, thin the leather between them a little on the flesh side, and finish the edges "
            "of the neck: they cannot be reached later.",
            "fob",
            ("fold",),
            (),
            1,
            ("awl", "skiving knife", "edge slicker"),
            work.BLADE,
        ),
        work.step(
            "glue",
            "Glue round the ring",
            "Spread glue on the flesh side from both fold lines outwards, nowhere between them. Put the ring in the loop and "
            "press the paddles together, tip on tip.",
            "fob",
            ("fold",),
            (),
            1,
            ("glue", "spreader", "clips"),
            work.GLUE,
            work.GLUED,
        ),
        work.scribe("fob", f"Scribe {m['edge-margin']:.4g} mm from the edge, along the light.", ("paddle",), 2),
        work.prick(
            "fob",
            f"Through both plies, from the tip's centre out to both sides: {seam.holes} holes {seam.pitch_mm:.2f} mm apart.",
            (seam,),
            2,
        ),
        work.sew(
            "fob",
            "Two needles, once round, two stitches over the start. Sand the edges level, round and burnish them.",
            ("paddle",),
            2,
        ),
    )


def sentences(m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    inside = (m["wire"] + m["play"]) / 2.0
    loop = f"pi (d / 2 + K t) = 3.142 x ({inside:.2f} + {m['neutral']:.2f} x {m['leather']:.2f}) = {s.loop:.1f} mm"
    blank = f"2 (L - d / 2 - t) + loop = 2 x ({m['length']:.1f} - {inside:.2f} - {m['leather']:.2f}) + {s.loop:.1f} = {s.blank:.1f} mm"
    found = [
        Sentence("fit", f"The blank is {s.blank:.1f} mm long and {2 * s.half:.1f} mm wide.", s.blank, blank),
        Sentence("bound", f"The loop round the wire takes up {s.loop:.1f} mm.", s.loop, loop),
    ]
    spare = m["ring"] - 2 * s.neck
    words = f"Goes in: a neck {2 * s.neck:.1f} mm wide has {spare:.1f} mm to spare in the ring."
    found.append(Sentence("bound", words, spare, f"ring - neck = {m['ring']:.1f} - {2 * s.neck:.1f} = {spare:.1f} mm"))
    most = _EASY_NECK * m["ring"]
    if 2 * s.neck > most:
        words = f"A neck {2 * s.neck:.1f} mm wide cups in a ring of {m['ring']:.1f} mm; up to {most:.1f} mm lies flat."
        found.append(Sentence("warning", words, most, f"0.6 x {m['ring']:.1f} = {most:.1f} mm"))
    return (*found, *said.counts(seams, m["pitch"]))
