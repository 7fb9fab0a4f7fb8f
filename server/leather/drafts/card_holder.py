"""The card holder: a body with stacked pockets, each a step lower than the one behind it.

All pockets but the last are T-shaped: their arms reach the side seams, their stem is sewn to the body along its base, so
that only two plies meet there. Pocket i: mouth = head + (i - 1) step, base = mouth + (card - stands-out) + bottom allowance.
"""

from __future__ import annotations

from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Path
from server.leather import norms
from server.leather.drafts import card_holder_words as words
from server.leather.drafts import held, parts, stepping
from server.leather.drafts.card_holder_sizes import OVERLAP, Sizes
from server.leather.fit import Section, close_allowance, seam_to_seam
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Label, Piece
from server.leather.stitch import StitchLine

NAME = words.NAME
TITLE = "Card holder"
SUMMARY = "A flat holder with stacked pockets for cards, and a pocket behind them if wished."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS = words.PRESETS


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a card holder from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    close = close_allowance(given["thickness"] or 0.0, given["leather"] or 0.0)
    m = parts.filled(given, {"side-allowance": close, "bottom-allowance": close})
    s = _sizes(m)
    _check(m, s)
    outer = stepping.stepped(MEASURES, m, parts.u_half(s.half_seam, s.floor, s.top, s.corner), "outer")
    bases = [_base(m, s, i) for i in range(len(s.mouths) - 1)]
    pieces = (_body(s, outer, bases), *_pockets(s), *_back(s))
    seams = _seams(m, s, outer, bases)
    chosen_so = (stepping.said(MEASURES, m, seam, line) for seam, line in zip(seams, (outer, *bases), strict=True))
    sentences = (*words.sentences(given, m, s, seams), *(one for said in chosen_so for one in said))
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(s, seams), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    head, back = m["stands-out"] + m["edge-margin"], chosen(MEASURES, m, "rear-pocket") == "yes"
    return Sizes(
        half_seam=seam_to_seam(m["width"], m["side-allowance"]) / 2.0,
        margin=m["edge-margin"],
        corner=m["corner-radius"],
        mouths=tuple(head + i * m["step"] for i in range(int(m["pockets"]))),
        depth=m["height"] - m["stands-out"] + m["bottom-allowance"],
        step=m["step"],
        top=m["edge-margin"] if back else max(m["stands-out"], m["edge-margin"]),
        pitch=m["pitch"],
        back=back,
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    held.check_stands_out(m, 0.6, "pockets")
    held.check_girth(m, Section("rectangle", m["width"], m["thickness"]), 2.0 * s.half_seam)
    held.check_corner(s.corner, min(s.half_seam, s.depth))
    if len(s.mouths) > 1:
        _check_steps(s)


def _check_steps(s: Sizes) -> None:
    least, most = 2.0 * s.margin, s.depth - OVERLAP - s.margin
    if not least <= s.step <= most:
        what = f"A step of {s.step:.4g} mm does not suit pockets {s.depth:.4g} mm deep"
        raise Refusal(f"{what}; {least:.4g} to {max(most, least):.4g} mm does.", field="step")
    if s.corner > s.step:
        what = f"A corner radius of {s.corner:.4g} mm cuts into the base of the pocket before the last"
        raise Refusal(f"{what}; {s.step:.4g} mm is the most.", field="corner-radius")


# ---- stitch lines


def _base(m: Mapping[str, float], s: Sizes, index: int) -> StitchLine:
    y = s.mouths[index] + s.depth
    reach = min(s.stem - s.margin, s.half_seam - norms.LEAST_HOLE_DISTANCE.value * s.pitch)
    return stepping.stepped(MEASURES, m, polyline([(0.0, y), (reach, y)]), f"base-{index + 1}")


def _seams(m: Mapping[str, float], s: Sizes, outer: StitchLine, bases: list[StitchLine]) -> tuple[Seam, ...]:
    plies, ply = words.plies(s), m["leather"]
    rows = (parts.seam(line, f"base-{i}", f"Base of pocket {i}", "body", 2, 2 * ply) for i, line in enumerate(bases, 1))
    return (parts.seam(outer, "outer", "Outer seam", "body", plies, plies * ply), *rows)


# ---- pieces


def _body(s: Sizes, outer: StitchLine, bases: list[StitchLine]) -> Piece:
    across = [Drawn("mark", polyline([(-s.half, y), (s.half, y)]), f"mouth-{i}") for i, y in enumerate(s.mouths, 1)]
    drawn = (
        Drawn("cut", _panel(s, s.bottom), "outline"),
        Drawn("stitch", outer.path, "outer"),
        *(Drawn("stitch", line.path, f"base-{i}") for i, line in enumerate(bases, 1)),
        *across,
        parts.centre(0.0, s.bottom),
        parts.grain(s.half_seam * 0.5, s.mouths[-1] + 3.0, s.mouths[-1] + 0.4 * s.depth),
    )
    holes = (*outer.holes, *(hole for line in bases for hole in line.holes))
    size = parts.label_size(s.half_seam, s.depth)
    words_ = parts.labels("Body", -s.half_seam * 0.5, s.mouths[-1] + 0.2 * s.depth, size)
    return Piece("body", "Body", drawn, holes, words_)


def _panel(s: Sizes, bottom: float) -> Path:
    half = parts.box_half(s.half, 0.0, bottom, parts.lip(s.margin), s.corner + s.margin)
    return unfold(half, closed=True)


def _pockets(s: Sizes) -> tuple[Piece, ...]:
    count = len(s.mouths) - 1
    front = Piece("front-pocket", "Front pocket", *_dressed(s, _front_outline(s), "Front pocket", 1))
    if count == 0:
        return (front,)
    return (Piece("t-pocket", "T pocket", *_dressed(s, _tee_outline(s), "T pocket", count)), front)


def _dressed(s: Sizes, outline: Path, title: str, count: int) -> tuple[tuple[Drawn, ...], tuple[()], tuple[Label, ...]]:
    drawn = (
        Drawn("cut", outline, "outline"),
        parts.centre(0.0, s.depth + s.margin),
        parts.grain(s.half_seam * 0.5, s.depth * 0.3, s.depth * 0.8),
    )
    size = parts.label_size(s.half_seam, s.depth)
    return drawn, (), parts.labels(title, -s.half_seam * 0.45, s.depth * 0.55, size, count)


def _front_outline(s: Sizes) -> Path:
    spots = [(0.0, 0.0), (s.half, 0.0), (s.half, s.depth + s.margin), (0.0, s.depth + s.margin)]
    return unfold(rounded(spots, [0.0, 0.0, s.corner + s.margin, 0.0], field="corner-radius"), closed=True)


def _tee_outline(s: Sizes) -> Path:
    """A T: arms out to the edge, an inside corner with a radius, a stem within the side seams."""
    run, low = s.half - s.stem, s.depth + s.margin
    spots = [(0.0, 0.0), (s.half, 0.0), (s.half, s.arm), (s.stem, s.arm), (s.stem, low), (0.0, low)]
    radii = [0.0, 0.0, 0.35 * run, 0.55 * run, min(3.0, s.margin), 0.0]
    return unfold(rounded(spots, radii, field="step"), closed=True)


def _back(s: Sizes) -> tuple[Piece, ...]:
    if not s.back:
        return ()
    inside = norms.GLUE_REACH.value
    glue = parts.u_half(s.half_seam - inside, s.floor - inside, 0.0, s.corner - inside)
    drawn = (
        Drawn("cut", _panel(s, s.bottom), "outline"),
        Drawn("mark", unfold(glue), "glue-edge"),
        parts.centre(0.0, s.bottom),
        parts.grain(s.half_seam * 0.5, s.bottom * 0.3, s.bottom * 0.7),
    )
    size = parts.label_size(s.half_seam, s.depth)
    return (Piece("back", "Back", drawn, (), parts.labels("Back", -s.half_seam * 0.5, s.bottom * 0.5, size)),)


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    side = s.half + 12.0
    found = [
        parts.dimension("body", "cut width", (-s.half, s.bottom), (s.half, s.bottom), 12.0),
        parts.dimension("body", "cut height", (-s.half, 0.0), (-s.half, s.bottom), 14.0),
        parts.dimension(
            "body", "seam to seam", (-s.half_seam, s.top), (s.half_seam, s.top), -s.top - 10.0, "side-allowance"
        ),
        parts.dimension("body", "first mouth", (s.half, 0.0), (s.half, s.mouths[0]), -12.0, "stands-out"),
        parts.dimension("front-pocket", "pocket depth", (s.half, 0.0), (s.half, s.depth), -12.0, "bottom-allowance"),
    ]
    if len(s.mouths) > 1:
        a, b = (s.half, s.mouths[0]), (s.half, s.mouths[1])
        found.append(parts.dimension("body", "step", a, b, s.half - side, "step"))
        found.append(parts.dimension("t-pocket", "arm", (s.half, 0.0), (s.half, s.arm), -12.0, "step"))
        found.append(
            parts.dimension("t-pocket", "stem", (-s.stem, s.depth + s.margin), (s.stem, s.depth + s.margin), 12.0)
        )
    return tuple(found)
