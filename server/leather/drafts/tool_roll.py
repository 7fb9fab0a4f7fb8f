"""The tool roll: a body with a row of pockets graded from the largest tool to the smallest, a flap over their ends, and a tie.

A pocket for a round tool is pi (D + 2 K t) / 2 + ease wide, on both plies.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.leather.drafts import held, parts
from server.leather.drafts import tool_roll_words as words
from server.leather.drafts.tool_roll_sizes import TIE_ROWS, Sizes
from server.leather.fit import round_bound
from server.leather.measure import Given, complete
from server.leather.norms import LEAST_HOLE_DISTANCE
from server.leather.norms_sewing import LEAST_MARGIN
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line, symmetric_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Tool roll"
SUMMARY = "A roll with a row of pockets graded to the tools, a flap over their ends and a tie."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = ()
_FLAP_CORNER = 14.0
_WIDEST = 2000.0


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a tool roll from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, words.derived(given))
    s = _sizes(m)
    _check(m, s)
    outer = symmetric_line(parts.u_half(s.half_seam, s.depth, s.margin, s.corner), s.pitch, "outer")
    lines = {"outer": outer, **_dividers(s), **_tie_rows(s)}
    seams = _seams(m, lines)
    pieces = (_body(s, lines), _pockets(s, lines), _tie(s, lines))
    sentences = words.sentences(given, m, s, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(s, seams), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    tools = words.tools(m)
    above = m["length"] - m["pocket-depth"] + m["clearance"]
    return Sizes(
        tools=tools,
        widths=tuple(round_bound(d, m["leather"], m["neutral"]) + m["ease"] for d in tools),
        depth=m["pocket-depth"],
        above=above,
        flap=m["flap"],
        margin=m["edge-margin"],
        corner=m["corner-radius"],
        tie=(m["tie-width"] / 2.0, m["tie-length"]),
        pitch=m["pitch"],
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    if m["smallest"] > m["largest"]:
        what = f"The smallest tool ({m['smallest']:.4g} mm) is thicker than the largest ({m['largest']:.4g} mm)"
        raise Refusal(f"{what}; change them round.", field="smallest")
    if m["pocket-depth"] > 0.95 * m["length"]:
        what = f"Pockets {m['pocket-depth']:.4g} mm deep hide tools {m['length']:.4g} mm long"
        raise Refusal(f"{what}; {0.95 * m['length']:.4g} mm is the most.", field="pocket-depth")
    least = 2.0 * s.margin + 3.0 * s.pitch
    if s.depth < least:
        what = f"Pockets {s.depth:.4g} mm deep have no room for their seams"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="pocket-depth")
    if 2.0 * s.half > _WIDEST:
        what = f"{len(s.tools)} pockets are {2 * s.half:.0f} mm wide together"
        raise Refusal(f"{what}; more than {_WIDEST:.0f} mm does not come from one hide, so take fewer.", field="tools")
    narrow = min(s.widths[0], s.widths[-1])
    if narrow < 2.0 * s.margin + TIE_ROWS:
        what = f"The last pocket, {narrow:.3g} mm wide, has no room for the tie's rows"
        raise Refusal(f"{what}; give {2 * s.margin + TIE_ROWS - narrow:.3g} mm more ease.", field="ease")
    held.check_corner(s.corner, min(s.widths[0], s.widths[-1], s.depth - s.margin))
    if s.tie[0] < s.margin:
        what = f"A tie {2 * s.tie[0]:.4g} mm wide is narrower than two margins of {s.margin:.4g} mm"
        raise Refusal(f"{what}; {2 * s.margin:.4g} mm is the least.", field="tie-width")
    narrow = 2.0 * LEAST_MARGIN.value + LEAST_HOLE_DISTANCE.value * s.pitch
    if 2.0 * s.tie[0] < narrow:
        what = f"A tie {2 * s.tie[0]:.4g} mm wide has no room for two holes at a pitch of {s.pitch:.4g} mm"
        raise Refusal(f"{what}; {narrow:.4g} mm is the least.", field="tie-width")
    if s.flap < 2.0 * _FLAP_CORNER or s.flap > s.above + s.depth:
        what = f"A flap of {s.flap:.4g} mm does not suit this roll"
        raise Refusal(f"{what}; {2 * _FLAP_CORNER:.4g} to {s.above + s.depth:.4g} mm does.", field="flap")


# ---- stitch lines


def _dividers(s: Sizes) -> dict[str, StitchLine]:
    """From below the mouth to one pitch above the floor's row, so that no hole crowds it."""
    found = {}
    for i, x in enumerate(s.dividers, 1):
        path = polyline([(x, s.margin), (x, s.depth - s.pitch)])
        found[f"divider-{i}"] = stitch_line(path, s.pitch, f"divider-{i}")
    return found


def _tie_rows(s: Sizes) -> dict[str, StitchLine]:
    """Two rows across the tie, on the body half-way down the pockets and on the tie's end."""
    reach, middle = s.tie[0] - max(s.margin / 2.0, LEAST_MARGIN.value), s.mouth + s.depth / 2.0
    found = {}
    for i, x in enumerate(s.rows, 1):
        on_body = polyline([(x, middle - reach), (x, middle + reach)])
        y = s.margin + (s.rows[1] - x)
        on_tie = polyline([(-reach, y), (reach, y)])
        found[f"tie-{i}"] = stitch_line(on_body, s.pitch, f"tie-{i}")
        found[f"tie-{i}-mate"] = stitch_line(on_tie, s.pitch, f"tie-{i}-mate")
    return found


def _seams(m: Mapping[str, float], lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    stack = 2.0 * m["leather"]
    return tuple(
        parts.seam(line, name, words.seam_title(name), words.piece_of(name), 2, stack, mate=words.mate_of(name))
        for name, line in lines.items()
    )


# ---- pieces


def _own(lines: Mapping[str, StitchLine], piece: str) -> dict[str, StitchLine]:
    return {name: line for name, line in lines.items() if words.piece_of(name) == piece}


def _body(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    own = _own(lines, "body")
    spots = [(0.0, 0.0), (s.half, 0.0), (s.half, s.bottom), (0.0, s.bottom)]
    outline = rounded(spots, [0.0, _FLAP_CORNER, s.corner + s.margin, 0.0], field="corner-radius")
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        Drawn("fold", polyline([(-s.half, s.flap), (s.half, s.flap)]), "fold"),
        Drawn("mark", polyline([(-s.half, s.mouth), (s.half, s.mouth)]), "mouth"),
        replace(parts.centre(0.0, s.bottom), name="middle"),  # the tie is on one side only
        parts.grain(s.half * 0.4, s.mouth + s.depth * 0.2, s.mouth + s.depth * 0.8),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    size = parts.label_size(s.half, s.depth)
    return Piece("body", "Body", drawn, holes, parts.labels("Body", -s.half * 0.4, s.mouth + s.depth * 0.45, size))


def _pockets(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    own, low = _own(lines, "pockets"), s.depth + s.margin
    spots = [(0.0, 0.0), (s.half, 0.0), (s.half, low), (0.0, low)]
    outline = rounded(spots, [0.0, 0.0, s.corner + s.margin, 0.0], field="corner-radius")
    middle = parts.centre(0.0, low)
    first, last = s.widths[0], s.widths[-1]
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        middle if s.even else replace(middle, name="middle"),
        parts.grain(s.half_seam - last / 2.0, s.depth * 0.25, s.depth * 0.8),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    size = parts.label_size(first * 1.6, s.depth)
    return Piece(
        "pockets", "Pockets", drawn, holes, parts.labels("Pockets", first / 2.0 - s.half_seam, s.depth * 0.5, size)
    )


def _tie(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    own, (half, length) = _own(lines, "tie"), s.tie
    lip = min(parts.lip(s.margin) / 2.0, half / 2.0)
    drawn = (
        Drawn("cut", unfold(parts.box_half(half, 0.0, length, lip, 0.9 * half), closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        replace(parts.centre(length * 0.38, length), name="middle"),
        parts.grain(half * 0.5, length * 0.4, length * 0.4 + min(60.0, length * 0.3)),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    return Piece("tie", "Tie", drawn, holes, parts.labels("Tie", 0.0, length * 0.3, half / 2.0))


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    left, right = -s.half, s.half
    x = s.dividers[0]
    return (
        parts.dimension("body", "cut width", (left, s.bottom), (right, s.bottom), 12.0),
        parts.dimension("body", "cut height", (left, 0.0), (left, s.bottom), 14.0),
        parts.dimension("body", "flap", (right, 0.0), (right, s.flap), -12.0, "flap"),
        parts.dimension("body", "fold to mouth", (right, s.flap), (right, s.mouth), -12.0, "clearance"),
        parts.dimension("pockets", "pocket depth", (right, 0.0), (right, s.depth), -12.0, "pocket-depth"),
        parts.dimension("pockets", "first pocket", (-s.half_seam, 0.0), (x, 0.0), -8.0, "largest"),
        parts.dimension(
            "tie", "tie length", (-s.tie[0], 0.0), (-s.tie[0], s.tie[1]), max(10.0, 0.05 * s.tie[1]), "tie-length"
        ),
    )
