"""The book or notebook cover: slipped on, with sewn pockets for the boards; or a case of boards with glued turn-in.

Slip-on: width = spine T + pi K t, twice (W + c), twice the fold pi (b / 2 + K t) round a board, twice the pocket.
Case: spine = T + 2 b - 0.5, wrap = spine + 2 gap + 2 board + 2 turn-in; height = H + 2 square + 2 turn-in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.path import Path
from server.leather import bend
from server.leather.drafts import book_cover_words as words
from server.leather.drafts import parts
from server.leather.drafts.book_cover_sizes import LOOP_IN, Sizes
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Book cover"
SUMMARY = "A cover for a book or notebook, slipped on or made up with boards, with a pen loop if wished."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = words.PRESETS
_MITRE = 1.5
"""Leather kept beyond a board's corner when the turn-in is mitred, in board and leather thicknesses; common practice, no source."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a book cover from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, words.derived(given))
    s = _sizes(m)
    _check(m, s)
    lines = _lines(s, m["pitch"])
    seams = _seams(m, s, lines)
    pieces = (_cover(s, lines), *_loop(s, lines))
    sentences = words.sentences(given, m, s, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(m, s, seams), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    slip = chosen(MEASURES, m, "style") == "slip"
    ply, k = m["leather"], m["neutral"]
    if slip:
        spine = m["thickness"] + 2.0 * bend.allowance(math.pi / 2.0, 0.0, ply, k)
        fold = spine / 2.0 + m["width"] + m["clearance"]
        turn = bend.allowance(math.pi, m["board"] / 2.0, ply, k)
        height = m["height"] + 2.0 * (words.allowance(m) + m["edge-margin"])
    else:
        spine = words.case_spine(m)
        fold = spine / 2.0 + m["gap"] + m["width"] - m["set-back"]
        turn = 0.0
        height = m["height"] + 2.0 * (m["square"] + m["turn-in"])
    pen = chosen(MEASURES, m, "pen") == "loop"
    tab = m["edge-margin"]
    return Sizes(
        slip=slip,
        spine=spine / 2.0,
        fold=fold,
        turn=turn,
        half=fold + turn + m["turn-in"],
        height=height,
        margin=m["edge-margin"],
        gap=0.0 if slip else m["gap"],
        turn_in=m["turn-in"],
        mitre=_MITRE * (m["board"] + ply),
        loop=(words.loop_girth(m) + 4.0 * tab, m["loop-height"] / 2.0) if pen else (0.0, 0.0),
        tab=tab,
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    most = 0.9 * m["width"] if s.slip else 0.3 * min(m["width"], m["height"])
    if m["turn-in"] > most:
        what = f"A turn-in of {m['turn-in']:.4g} mm is too deep for this cover"
        raise Refusal(f"{what}; {most:.4g} mm is the most.", field="turn-in")
    least = 2.0 * s.margin + m["pitch"] if s.slip else s.mitre
    if m["turn-in"] < least:
        what = f"A turn-in of {m['turn-in']:.4g} mm is too narrow"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="turn-in")
    if s.loop[0] > 0.0:
        _check_loop(m, s)


def _check_loop(m: Mapping[str, float], s: Sizes) -> None:
    least = 2.0 * s.margin + m["pitch"]
    most = s.height - 4.0 * s.margin
    if not least <= m["loop-height"] <= most:
        what = f"A pen loop {m['loop-height']:.4g} mm high does not suit this cover"
        raise Refusal(f"{what}; {least:.4g} to {most:.4g} mm does.", field="loop-height")
    if s.slip and s.turn_in < LOOP_IN + s.margin:
        what = f"A pocket of {s.turn_in:.4g} mm has no room for the pen loop's row"
        raise Refusal(f"{what}; {LOOP_IN + s.margin:.4g} mm is the least.", field="turn-in")


# ---- stitch lines


def _lines(s: Sizes, pitch: float) -> dict[str, StitchLine]:
    found: dict[str, StitchLine] = {}
    if s.slip:
        inner, outer = s.fold - s.turn_in + s.margin, s.fold - s.margin
        for end, y in (("top", s.margin), ("bottom", s.height - s.margin)):
            right = stitch_line(polyline([(inner, y), (outer, y)]), pitch, f"{end}-right")
            found[f"{end}-right"] = right
            found[f"{end}-left"] = right.mirrored(f"{end}-left")
    length, half = s.loop
    if length > 0.0:
        found |= _loop_lines(s, pitch, length, half)
    return found


def _loop_lines(s: Sizes, pitch: float, length: float, half: float) -> dict[str, StitchLine]:
    """The row on the turn-in (slip-on only) and the rows at both ends of the loop, all as long."""

    def row(name: str, x: float, middle: float) -> StitchLine:
        reach = half - s.margin
        return stitch_line(polyline([(x, middle - reach), (x, middle + reach)]), pitch, name)

    end = length / 2.0 - s.tab
    found = {"loop-near": row("loop-near", end, half), "loop-far": parts.facing(row("loop-far", -end, half))}
    return {"loop": row("loop", s.row, s.height / 2.0)} | found if s.slip else found


def _seams(m: Mapping[str, float], s: Sizes, lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    ply = m["leather"]
    found = []
    for name, line in lines.items():
        on_loop = name in ("loop-near", "loop-far")
        plies = 3 if s.slip and "loop" in name else 2
        title, mate = words.SEAM_TITLES[name], words.mate_of(name, slip=s.slip)
        found.append(parts.seam(line, name, title, "pen-loop" if on_loop else "cover", plies, plies * ply, mate=mate))
    return tuple(found)


# ---- pieces


def _outline(s: Sizes) -> Path:
    if s.slip:
        lip = parts.lip(s.margin)
        return unfold(parts.box_half(s.half, 0.0, s.height, lip, lip), closed=True)
    off = max(s.turn_in - s.mitre * math.sqrt(2.0), -s.turn_in)
    spots = [(0.0, 0.0), (s.fold - off, 0.0), (s.half, s.turn_in + off)]
    below = [(s.half, s.height - s.turn_in - off), (s.fold - off, s.height), (0.0, s.height)]
    return unfold(polyline(spots + below), closed=True)


def _cover(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    own = {name: line for name, line in lines.items() if name not in ("loop-near", "loop-far")}
    centre = parts.centre(0.0, s.height)
    if s.loop[0] > 0.0:  # the pen loop is on one side only
        centre = replace(centre, name="middle")
    drawn = (
        Drawn("cut", _outline(s), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        *(_folds(s) if s.slip else _boards(s)),
        *_loop_mark(s),
        centre,
        parts.grain((s.spine + s.fold) / 2.0, s.height * 0.35, s.height * 0.65),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    size = parts.label_size(s.fold - s.spine, s.height)
    return Piece("cover", "Cover", drawn, holes, parts.labels("Cover", -(s.spine + s.fold) / 2.0, s.height * 0.5, size))


def _loop_mark(s: Sizes) -> tuple[Drawn, ...]:
    if s.slip or s.loop[0] == 0.0:
        return ()
    middle, half = s.height / 2.0, s.loop[1]
    return (Drawn("mark", polyline([(s.fold, middle - half), (s.fold, middle + half)]), "loop-place"),)


def _folds(s: Sizes) -> tuple[Drawn, ...]:
    places = {"spine": s.spine, "fold": s.fold, "fold-inner": s.fold + s.turn}
    found = []
    for name, x in places.items():
        right = polyline([(x, 0.0), (x, s.height)])
        found += [Drawn("fold", right, f"{name}-right"), Drawn("fold", right.mirrored(), f"{name}-left")]
    return tuple(found)


def _boards(s: Sizes) -> tuple[Drawn, ...]:
    top, low = s.turn_in, s.height - s.turn_in
    near = s.spine + s.gap
    right = polyline([(near, top), (s.fold, top), (s.fold, low), (near, low)], closed=True)
    spine = polyline([(-s.spine, top), (s.spine, top), (s.spine, low), (-s.spine, low)], closed=True)
    return (
        Drawn("mark", right, "board-right"),
        Drawn("mark", right.mirrored(), "board-left"),
        Drawn("mark", spine, "board-spine"),
    )


def _loop(s: Sizes, lines: Mapping[str, StitchLine]) -> tuple[Piece, ...]:
    length, half = s.loop
    if length == 0.0:
        return ()
    lip = parts.lip(s.margin) / 2.0
    drawn = (
        Drawn("cut", unfold(parts.box_half(length / 2.0, 0.0, 2.0 * half, lip, lip), closed=True), "outline"),
        *(Drawn("stitch", lines[name].path, name) for name in ("loop-near", "loop-far")),
        parts.centre(0.0, 2.0 * half),
        parts.grain(length * 0.2, half * 0.6, half * 1.4),
    )
    holes = (*lines["loop-near"].holes, *lines["loop-far"].holes)
    size = parts.label_size(length / 2.5, 2.0 * half)
    return (Piece("pen-loop", "Pen loop", drawn, holes, parts.labels("Pen loop", -length * 0.2, half, size)),)


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    low = s.height
    found = [
        parts.dimension("cover", "cut width", (-s.half, low), (s.half, low), 22.0),
        parts.dimension("cover", "cut height", (-s.half, 0.0), (-s.half, low), 14.0, "height"),
        parts.dimension("cover", "spine", (-s.spine, low), (s.spine, low), 10.0, "thickness"),
        parts.dimension("cover", "turn-in", (s.fold + s.turn, 0.0), (s.half, 0.0), -10.0, "turn-in"),
        parts.dimension("cover", "spine to fold", (s.spine, 0.0), (s.fold, 0.0), -10.0, "width"),
    ]
    if s.loop[0] > 0.0:
        half, height = s.loop[0] / 2.0, 2.0 * s.loop[1]
        found.append(parts.dimension("pen-loop", "loop length", (-half, height), (half, height), 8.0, "pen-diameter"))
    return tuple(found)
