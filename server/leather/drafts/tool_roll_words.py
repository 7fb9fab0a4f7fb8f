"""What the tool roll asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.tool_roll_sizes import Sizes
from server.leather.fit import fit_word
from server.leather.pattern import Seam, Sentence, Step

NAME = "tool-roll"
_m = parts.asker(NAME)
_DEEP = 0.6
"""Share of a tool that stands in its pocket; common practice, no source."""
_COVER = 20.0
"""mm the flap reaches below the pockets' mouth; common practice, no source."""
_TURNS, _KNOT = 2.0, 160.0
"""Times the tie goes round the roll, and mm for its knot; common practice, no source."""
_PACKED = 0.6
"""Share of a rolled-up roll that is tools; common practice, no source."""
MEASURES = (
    _m("tools", "Tools", "How many tools, one to a pocket.", (2, 16), 8.0, parts.PRACTICE, "count"),
    _m("largest", "Largest", "Diameter of the thickest tool, in the first pocket.", (5, 60), 22.0, parts.EXAMPLE),
    _m(
        "smallest",
        "Smallest",
        "Diameter of the thinnest tool, in the last pocket; those between are graded evenly.",
        (4, 60),
        12.0,
        parts.EXAMPLE,
    ),
    _m("length", "Length", "Length of the longest tool.", (60, 450), 200.0, parts.EXAMPLE),
    _m(
        "pocket-depth",
        "Pocket depth",
        "How deep the pockets are. Left empty: three fifths of the longest tool.",
        (30, 400),
        None,
    ),
    _m("clearance", "Clearance", "From the longest tool's end to the flap's fold.", (0, 60), 10.0),
    _m(
        "flap",
        "Flap",
        "Length of the flap that folds over the tools' ends. Left empty: 20 mm past the mouth.",
        (28, 450),
        None,
    ),
    _m("ease", "Ease", "Width of each pocket beyond what its tool needs.", (0, 30), 4.0),
    parts.leather(NAME, 1.6, (0.8, 3.5), "about 4 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 5.0, (2.0, 15.0)),
    _m("corner-radius", "Corner radius", "Radius of the outer seam's two bottom corners.", (0, 60), 8.0),
    _m("tie-width", "Tie width", "Width of the tie.", (8, 40), 16.0),
    _m(
        "tie-length",
        "Tie length",
        "Length of the tie. Left empty: twice round the roll and 160 mm for the knot.",
        (100, 1500),
        None,
    ),
    parts.pitch(NAME, 4.5),
    parts.neutral(NAME),
    parts.stretch(NAME),
)


def tools(m: Mapping[str, float]) -> tuple[float, ...]:
    """Return the diameter of each tool, mm, graded evenly from the largest to the smallest."""
    count = int(m["tools"])
    step = (m["largest"] - m["smallest"]) / (count - 1)
    return tuple(m["largest"] - i * step for i in range(count))


def roll_diameter(m: Mapping[str, float]) -> float:
    """Return about how thick the roll is, mm: a circle of which the tools fill three fifths."""
    return math.sqrt(sum(d * d for d in tools(m)) / _PACKED)


def derived(given: Mapping[str, float | None]) -> dict[str, float]:
    """Return what a maker left open: depth of the pockets, flap and tie."""
    m = {name: value for name, value in given.items() if value is not None}
    depth = m.get("pocket-depth", _DEEP * m["length"])
    return {
        "pocket-depth": depth,
        "flap": m["length"] - depth + m["clearance"] + _COVER,
        "tie-length": _TURNS * math.pi * roll_diameter(m) + _KNOT,
    }


def piece_of(seam: str) -> str:
    """Return the piece that carries a seam."""
    if seam.startswith("tie"):
        return "tie" if mate_of(seam) else "body"
    return "pockets"


def mate_of(name: str) -> str:
    """Return the row that a row on the tie is sewn to; "" for the others."""
    return name.removesuffix("-mate") if name.endswith("-mate") else ""


def seam_title(name: str) -> str:
    """Return a seam's title."""
    if name == "outer":
        return "Outer seam"
    if name.startswith("divider"):
        return f"Divider {name.removeprefix('divider-')}"
    number = name.removesuffix("-mate").removeprefix("tie-")
    return f"Tie row {number}, on the tie" if mate_of(name) else f"Tie row {number}"


def steps(s: Sizes, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    rows = [seam for seam in seams if seam.piece == "body"]
    mates = [seam for seam in seams if seam.piece == "tie"]
    own = [seam for seam in seams if seam.piece == "pockets"]
    return (
        work.cut(
            "body",
            "body",
            "Lay the leather grain side up, the arrow along the back of the hide, and cut on the line. Finish the flap's edge.",
        ),
        work.cut("pockets", "pockets", "Cut the pocket panel in one piece and finish its mouth."),
        work.cut("tie", "tie", "Cut the tie along the hide and round its edges."),
        work.prick(
            "body",
            f"Prick two rows for the tie, {rows[0].holes} holes each.",
            rows,
            1,
            "prick-body",
            "Prick the tie's place",
        ),
        work.prick(
            "tie",
            f"Prick two rows at the tie's end, {mates[0].holes} holes each.",
            mates,
            1,
            "prick-tie",
            "Prick the tie",
        ),
        _sew_tie(rows),
        work.step(
            "glue",
            "Glue the pockets",
            f"Lay the body under the light flesh side up. Glue the pocket panel's rim, {s.margin:.3g} mm at both sides and the bottom, "
            "and lay it down with its mouth on the lit line.",
            "body",
            ("mark",),
            ("mouth",),
            1,
            ("glue", "spreader", "roller"),
            work.GLUE,
            work.GLUED,
        ),
        work.scribe(
            "pockets", "Scribe the outer seam and every divider, along the light.", [seam.name for seam in own], 2
        ),
        work.prick(
            "pockets",
            f"Prick the dividers from the mouth down, then the outer seam from its bottom centre, {own[0].holes} holes.",
            own,
            2,
        ),
        work.sew(
            "pockets",
            "The dividers first, both ends doubled; then the outer seam.",
            [seam.name for seam in own],
            2,
        ),
        work.step(
            "fold",
            "Fold the flap",
            "Damp the fold and turn the flap down over the tools' ends. Edges and points stand downwards in the pockets. Roll it up "
            "from the smallest tool and wind the tie round.",
            "body",
            ("fold",),
            (),
            1,
            ("sponge", "bone folder"),
            work.BLADE,
        ),
    )


def _sew_tie(rows: Sequence[Seam]) -> Step:
    words = "Sew the tie to the grain side, its free end outwards."
    return work.sew("body", words, [row.name for row in rows], 2, "sew-tie", "Sew the tie")


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    thick, ply = s.tools, 2 * m["neutral"] * m["leather"]

    def pocket(i: int, name: str) -> Sentence:
        bound = s.widths[i] - m["ease"]
        formula = (
            f"pi (D + 2 K t) / 2 + ease = 1.571 x ({thick[i]:.1f} + {ply:.1f}) + {m['ease']:.4g} = {s.widths[i]:.1f} mm"
        )
        word = fit_word(m["ease"], thick[i])
        words = f"{name} pocket {s.widths[i]:.1f} mm wide, {word}: a tool of {thick[i]:.1f} mm needs {bound:.1f} mm."
        return Sentence("bound", words, bound, formula)

    depth = f"0.6 x {m['length']:.1f} = {_DEEP * m['length']:.1f} mm"
    over = m["length"] - s.depth + m["clearance"]
    flap = f"length - depth + clearance + 20 = {over:.1f} + {_COVER:.0f} = {over + _COVER:.1f} mm"
    roll = roll_diameter(m)
    tie = f"2 pi d + 160 = 6.283 x {roll:.1f} + {_KNOT:.0f} = {_TURNS * math.pi * roll + _KNOT:.1f} mm"
    wide = f"the sum of {len(s.widths)} pockets + 2 margins = {2 * s.half_seam:.1f} + {2 * s.margin:.4g} = {2 * s.half:.1f} mm"
    return (
        pocket(0, "First"),
        pocket(len(thick) - 1, "Last"),
        *said.after_wear(s.widths[-1], m["ease"], thick[-1], m["stretch"]),
        said.allowance(given, "pocket-depth", s.depth, "Pockets", "three fifths of the longest tool", depth),
        said.allowance(given, "flap", s.flap, "Flap", "20 mm past the mouth", flap),
        said.allowance(
            given, "tie-length", s.tie[1], "Tie", f"twice round a roll of about {roll:.0f} mm, and a knot", tie
        ),
        Sentence("fit", f"Cut {2 * s.half:.1f} x {s.bottom:.1f} mm.", 2 * s.half, wide),
        *said.counts(seams, m["pitch"]),
    )
