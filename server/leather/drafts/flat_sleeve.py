"""The flat sleeve: a two-ply pocket, open at the top, with a thumb notch in the front.

Half seam = W / 2 + a with a close allowance a = T / 2 + t; floor = (height - stands-out) + bottom allowance.
"""

from __future__ import annotations

from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import chain, unfold
from server.geometry.fillet import rounded, scoop
from server.geometry.path import Path
from server.leather import norms
from server.leather.drafts import flat_sleeve_words as words
from server.leather.drafts import held, parts, stepping
from server.leather.drafts.flat_sleeve_sizes import Sizes
from server.leather.fit import Section, close_allowance, seam_to_seam
from server.leather.measure import Given, complete
from server.leather.pattern import Dimension, Measure, Pattern
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine

NAME = words.NAME
TITLE = "Flat sleeve"
SUMMARY = "A two-ply sleeve for cards, paper or a thin book, open at the top, with a thumb notch in the front."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS = words.PRESETS
PLIES = 2
_NOTCH_LIP = 3.0
"""mm: radius with which the notch runs out into the mouth; common practice, no source."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a flat sleeve from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    close = close_allowance(given["thickness"] or 0.0, given["leather"] or 0.0)
    m = parts.filled(given, {"side-allowance": close, "bottom-allowance": close})
    section, s = parts.section_of(MEASURES, m), _sizes(m)
    _check(m, s, section)
    line = stepping.stepped(MEASURES, m, s.u(0.0, s.margin), "pocket")
    pieces = (_front(s, line), _back(s))
    seams = (parts.seam(line, "pocket", "Pocket seam", "front", PLIES, PLIES * m["leather"]),)
    sentences = (*words.sentences(given, m, s, section, seams), *stepping.said(MEASURES, m, seams[0], line))
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(m, seams[0]), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    return Sizes(
        half_seam=seam_to_seam(m["width"], m["side-allowance"]) / 2.0,
        floor=m["height"] - m["stands-out"] + m["bottom-allowance"],
        corner=m["corner-radius"],
        margin=m["edge-margin"],
        notch=m["notch-width"] / 2.0,
        notch_depth=m["notch-depth"],
        back_margin=m["back-margin"],
    )


def _check(m: Mapping[str, float], s: Sizes, section: Section) -> None:
    held.check_stands_out(m, 0.75, "sleeve")
    held.check_girth(m, section, 2.0 * s.half_seam)
    held.check_corner(s.corner, min(s.half_seam, s.floor - s.margin))
    if s.notch > 0.0:
        _check_notch(s)


def _check_notch(s: Sizes) -> None:
    room = 2.0 * (s.half - parts.lip(s.margin) - s.margin)
    if 2.0 * s.notch > room:
        what = f"A notch {2 * s.notch:.4g} mm wide reaches the seams"
        raise Refusal(f"{what}; {max(room, 0.0):.4g} mm is the most.", field="notch-width")
    deepest = min(s.notch, (s.floor - s.margin) / 2.0)
    if s.notch_depth > deepest:
        what = f"A notch {s.notch_depth:.4g} mm deep is too deep for its width and the sleeve"
        raise Refusal(f"{what}; {deepest:.4g} mm is the most.", field="notch-depth")


# ---- the pieces


def _front_half(s: Sizes) -> Path:
    """The right half of the front: notch, mouth, side, bottom."""
    box = parts.box_half(s.half, 0.0, s.bottom, parts.lip(s.margin), s.corner + s.margin)
    if s.notch == 0.0:
        return box
    lip = min(_NOTCH_LIP, s.notch_depth / 2.0)
    arcs = scoop(s.notch, s.notch_depth, lip)
    start = arcs[1].end
    rest = rounded(
        [start, (s.half, 0.0), (s.half, s.bottom), (0.0, s.bottom)],
        [0.0, parts.lip(s.margin), s.corner + s.margin, 0.0],
    )
    return Path((*chain((0.0, s.notch_depth), arcs, start).segments, *rest.segments))


def _marks(s: Sizes, top: float) -> tuple[tuple[Drawn, ...], float]:
    size = parts.label_size(s.half_seam, s.floor)
    x = s.half_seam / 2.0
    drawn = (parts.centre(top, s.bottom), parts.grain(x, s.floor * 0.3, s.floor * 0.75))
    return drawn, size


def _front(s: Sizes, line: StitchLine) -> Piece:
    marks, size = _marks(s, s.notch_depth if s.notch else 0.0)
    outline = Drawn("cut", unfold(_front_half(s), closed=True), "outline")
    drawn = (outline, Drawn("stitch", line.path, "pocket"), *marks)
    return Piece("front", "Front", drawn, line.holes, parts.labels("Front", -s.half_seam / 2.0, s.floor * 0.5, size))


def _back(s: Sizes) -> Piece:
    marks, size = _marks(s, 0.0)
    grown, low = s.half + s.back_margin, s.bottom + s.back_margin
    outline = parts.box_half(grown, 0.0, low, parts.lip(s.margin), s.corner + s.margin + s.back_margin)
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        Drawn("mark", unfold(s.u(-s.margin, 0.0)), "trim"),
        Drawn("mark", unfold(s.u(norms.GLUE_REACH.value, 0.0)), "glue-edge"),
        *marks,
    )
    return Piece("back", "Back", drawn, (), parts.labels("Back", -s.half_seam / 2.0, s.floor * 0.5, size))


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    def line(
        label: str, start: tuple[float, float], end: tuple[float, float], offset: float, measure: str | None = None
    ) -> Dimension:
        return parts.dimension("front", label, start, end, offset, measure)

    found = [
        line("cut width", (-s.half, s.bottom), (s.half, s.bottom), 12.0),
        line("seam to seam", (-s.half_seam, s.margin), (s.half_seam, s.margin), -14.0 - s.margin, "side-allowance"),
        line("cut height", (-s.half, 0.0), (-s.half, s.bottom), 14.0),
        line("mouth to floor", (s.half_seam, 0.0), (s.half_seam, s.floor), -s.margin - 12.0, "bottom-allowance"),
        line("edge margin", (s.half_seam, s.floor / 2), (s.half, s.floor / 2), 6.0, "edge-margin"),
    ]
    if s.notch:
        found.append(line("notch width", (-s.notch, 0.0), (s.notch, 0.0), -6.0, "notch-width"))
        found.append(line("notch depth", (0.0, 0.0), (0.0, s.notch_depth), -s.notch - 4.0, "notch-depth"))
    return tuple(found)
