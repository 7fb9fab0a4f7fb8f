"""What the book cover asks for and says."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from server.leather.drafts import parts, said, work
from server.leather.drafts.book_cover_sizes import Sizes
from server.leather.fit import Section, close_allowance
from server.leather.pattern import Seam, Sentence, Step
from server.leather.things import PAPERS, presets

NAME = "book-cover"
_m = parts.asker(NAME)
_A5 = "Paper A5, ISO 216"
_CASE_TURN_IN = 17.0
"""mm; common practice, no source."""
_POCKET_SHARE = 0.45
"""Depth of a slip-on cover's pocket as a share of the page's width; common practice, no source."""
_SPINE_LESS = 0.5
"""mm a case's spine is narrower than block and boards; common practice, no source."""
_CASE = 1.0
MEASURES = (
    parts.choice(
        NAME,
        "style",
        "Style",
        "Slipped on over a notebook's own cover, or a case of boards with glued turn-in.",
        (("slip", "Slip-on, sewn pockets"), ("case", "Case with boards")),
    ),
    _m("width", "Width", "Width of a page, or of a notebook's cover, from spine to fore-edge.", (60, 400), 148.0, _A5),
    _m("height", "Height", "Height of a page or of a notebook's cover.", (60, 500), 210.0, _A5),
    _m(
        "thickness",
        "Thickness",
        "Thickness of the closed block, without boards; of a notebook with its cover.",
        (2, 100),
        15.0,
    ),
    _m("board", "Board", "Thickness of one board; of a notebook's own cover, for a slip-on.", (0.2, 5), 2.0),
    _m("clearance", "Clearance", "Slip-on: from fore-edge to fold, so that the book closes.", (0, 20), 3.0),
    _m(
        "gap",
        "Gap",
        "Case: from spine to board, where the cover hinges.",
        (4, 20),
        10.0,
        "about 10 mm; " + parts.PRACTICE,
    ),
    _m("set-back", "Set-back", "Case: how much narrower a board is than a page, for the hinge.", (0, 12), 3.5),
    _m("square", "Square", "Case: how far the boards stand out above and below the pages.", (0, 8), 3.0),
    _m(
        "turn-in",
        "Turn-in",
        "Leather turned in at the fore-edges: the pocket's depth of a slip-on, the glued edge of a case. Left empty: from the style.",
        (8, 300),
        None,
        "17 mm for a case; " + parts.PRACTICE,
    ),
    parts.choice(
        NAME, "pen", "Pen loop", "A loop for a pen at the fore-edge.", (("none", "None"), ("loop", "One loop"))
    ),
    _m("pen-diameter", "Pen diameter", "Thickness of the pen.", (5, 30), 11.0),
    _m("loop-height", "Loop height", "How much of the pen the loop holds.", (12, 150), 38.0),
    parts.leather(NAME, 1.5, (0.5, 3.0), "about 4 oz; " + parts.PRACTICE),
    parts.edge_margin(NAME, 3.5, (2.0, 10.0)),
    parts.pitch(NAME, 3.5),
    parts.neutral(NAME),
    parts.stretch(NAME),
)
PRESETS = presets(PAPERS, "width", "height")
SEAM_TITLES = {
    "top-right": "Upper seam, right",
    "top-left": "Upper seam, left",
    "bottom-right": "Lower seam, right",
    "bottom-left": "Lower seam, left",
    "loop": "Pen loop on the pocket",
    "loop-near": "Pen loop, one end",
    "loop-far": "Pen loop, other end",
}


def mate_of(name: str, *, slip: bool) -> str:
    """Return the row that a row of the pen loop is sewn to; "" for the others."""
    if slip and name in ("loop-near", "loop-far"):
        return "loop"
    return "loop-near" if name == "loop-far" else ""


def derived(given: Mapping[str, float | None]) -> dict[str, float]:
    """Return the turn-in of a maker who left it open."""
    return {"turn-in": _CASE_TURN_IN if given["style"] == _CASE else _POCKET_SHARE * (given["width"] or 0.0)}


def allowance(m: Mapping[str, float]) -> float:
    """Return what a slip-on has above and below the notebook's cover, mm: a close fit round one board."""
    return close_allowance(m["board"], m["leather"])


def case_spine(m: Mapping[str, float]) -> float:
    """Return a case's spine, mm: block and two boards, less 0.5."""
    return m["thickness"] + 2.0 * m["board"] - _SPINE_LESS


def loop_girth(m: Mapping[str, float]) -> float:
    """Return the leather round the pen, mm: pi (D + 2 K t)."""
    return math.pi * (m["pen-diameter"] + 2.0 * m["neutral"] * m["leather"])


def steps(m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]) -> tuple[Step, ...]:
    """Return the steps of the work in order."""
    cover = (
        "The corners are mitred. Thin the turn-in to half at its edge."
        if not s.slip
        else "Finish both pocket edges now."
    )
    found = [
        work.cut(
            "cover", "cover", f"Lay the leather grain side up, the arrow along the spine, and cut on the line. {cover}"
        )
    ]
    if s.loop[0] > 0.0:
        found += _loop_steps(s, seams)
    return (*found, *(_slip_steps(s, seams) if s.slip else _case_steps(m)))


def _loop_steps(s: Sizes, seams: Sequence[Seam]) -> list[Step]:
    rows = [seam for seam in seams if "loop" in seam.name]
    own = [seam for seam in rows if seam.piece == "pen-loop"]
    found = [
        work.cut("pen-loop", "pen loop", "Cut the pen loop and finish its long edges."),
        work.prick(
            "pen-loop",
            f"Prick a row at each end, {own[0].holes} holes each.",
            own,
            1,
            "prick-loop",
            "Prick the pen loop",
        ),
    ]
    if not s.slip:
        text = "Bend the loop round a rod of the pen's thickness and sew its ends together."
        return [*found, work.sew("pen-loop", text, [seam.name for seam in own], 1, "sew-loop", "Sew the pen loop")]
    return [
        *found,
        work.prick("cover", "Prick its row on the right pocket.", rows[:1], 1, "prick-place", "Prick the loop's place"),
        work.sew(
            "cover",
            "Bend the loop, lay both ends on the flesh side of the row, the loop towards the fold, and sew them on.",
            ("loop",),
            3,
            "sew-loop",
            "Sew the pen loop",
        ),
    ]


def _slip_steps(s: Sizes, seams: Sequence[Seam]) -> list[Step]:
    rows = [seam for seam in seams if "loop" not in seam.name]
    names = [seam.name for seam in rows]
    return [
        work.step(
            "fold",
            "Turn the pockets in",
            "Damp the folds on the flesh side, turn both pockets in and tap the folds round a board of the notebook's thickness. Glue "
            f"their upper and lower edges only, {s.margin + 1:.3g} mm wide.",
            "cover",
            ("fold",),
            (),
            1,
            ("sponge", "bone folder", "glue", "clips"),
            work.GLUE,
            work.GLUED,
        ),
        work.scribe(
            "cover", f"Scribe {s.margin:.4g} mm from the upper and lower edges, where the pockets lie.", names, 2
        ),
        work.prick(
            "cover",
            f"Prick four rows through both plies, {rows[0].holes} holes {rows[0].pitch_mm:.2f} mm apart.",
            rows,
            2,
        ),
        work.sew(
            "cover",
            "Sew all four, their ends doubled. Round and burnish the edges.",
            names,
            2,
        ),
    ]


def _case_steps(m: Mapping[str, float]) -> list[Step]:
    boards = ("board-left", "board-right", "board-spine")
    loop = " Glue the pen loop's ends in at the lit place." if m["pen"] else ""
    return [
        work.step(
            "boards",
            "Lay the boards",
            f"Lay the cover under the light flesh side up, it is the same both ways round but for the pen loop. Glue boards of "
            f"{m['board']:.3g} mm and the spine inside the lit lines.",
            "cover",
            ("mark",),
            boards,
            1,
            ("glue", "brush", "boards", "press"),
            work.GLUE,
            work.GLUED,
        ),
        work.step(
            "turn-in",
            "Turn in",
            f"Turn in head and tail, nip the leather at the corners, then turn in the fore-edges.{loop} Work the hinges with a bone folder "
            "and press until dry.",
            "cover",
            ("mark",),
            (*boards, "loop-place") if m["pen"] else boards,
            1,
            ("bone folder", "glue", "press"),
            work.GLUE,
            work.GLUED,
        ),
    ]


def sentences(
    given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes, seams: Sequence[Seam]
) -> tuple[Sentence, ...]:
    """Return what is said of the draft."""
    found = [*(_slip(given, m, s) if s.slip else _case(given, m, s))]
    if s.loop[0] > 0.0:
        girth = loop_girth(m)
        formula = f"pi (D + 2 K t) = 3.142 x ({m['pen-diameter']:.1f} + {2 * m['neutral'] * m['leather']:.2f}) = {girth:.1f} mm"
        found.append(
            Sentence("bound", f"The pen loop takes {girth:.1f} mm round the pen, and two tabs.", girth, formula)
        )
    return (*found, *said.counts(seams, m["pitch"]))


def _slip(given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes) -> tuple[Sentence, ...]:
    bends, a = math.pi * m["neutral"] * m["leather"], allowance(m)
    spine = f"T + pi K t = {m['thickness']:.1f} + {bends:.1f} = {2 * s.spine:.1f} mm"
    face, turn = m["width"] + m["clearance"], f"pi (b / 2 + K t) = {s.turn:.1f} mm"
    sum_ = f"{2 * s.spine:.1f} + 2 x ({face:.1f} + {s.turn:.1f} + {s.turn_in:.1f})"
    wide = f"spine + 2 (W + c + fold + pocket) = {sum_} = {2 * s.half:.1f} mm"
    high = f"H + 2 (b / 2 + t + margin) = {m['height']:.1f} + 2 x ({a:.2f} + {s.margin:.4g}) = {s.height:.1f} mm"
    share = f"0.45 W = 0.45 x {m['width']:.1f} = {_POCKET_SHARE * m['width']:.1f} mm"
    section = Section("rectangle", m["height"], m["board"])
    return (
        said.allowance(given, "turn-in", s.turn_in, "Pockets", "deep enough to hold a board", share),
        Sentence("fit", f"Over the spine lie {2 * s.spine:.1f} mm.", 2 * s.spine, spine),
        Sentence("bound", f"Each fold round a board takes {s.turn:.1f} mm.", s.turn, turn),
        *said.fits(section, m, m["height"] + 2 * a),
        Sentence("fit", f"Cut {2 * s.half:.1f} mm wide.", 2 * s.half, wide),
        Sentence("fit", f"Cut {s.height:.1f} mm high.", s.height, high),
    )


def _case(given: Mapping[str, float | None], m: Mapping[str, float], s: Sizes) -> tuple[Sentence, ...]:
    board = m["width"] - m["set-back"]
    spine = f"T + 2 b - 0.5 = {m['thickness']:.1f} + {2 * m['board']:.1f} - 0.5 = {2 * s.spine:.1f} mm"
    sum_ = f"{2 * s.spine:.1f} + 2 x ({s.gap:.4g} + {board:.1f} + {s.turn_in:.4g})"
    wide = f"spine + 2 (gap + board + turn-in) = {sum_} = {2 * s.half:.1f} mm"
    high = (
        f"H + 2 (square + turn-in) = {m['height']:.1f} + 2 x ({m['square']:.4g} + {s.turn_in:.4g}) = {s.height:.1f} mm"
    )
    size = f"W - set-back, H + 2 squares = {m['width']:.1f} - {m['set-back']:.4g} = {board:.1f} mm"
    tall = m["height"] + 2 * m["square"]
    return (
        said.allowance(
            given, "turn-in", s.turn_in, "Turn-in", "the usual one of a case", f"turn-in = {_CASE_TURN_IN:.1f} mm"
        ),
        Sentence("fit", f"The spine is {2 * s.spine:.1f} mm wide.", 2 * s.spine, spine),
        Sentence("fit", f"The boards are {board:.1f} x {tall:.1f} mm.", board, size),
        Sentence("fit", f"Cut {2 * s.half:.1f} mm wide.", 2 * s.half, wide),
        Sentence("fit", f"Cut {s.height:.1f} mm high.", s.height, high),
    )
