"""The pouch with a gusset: front and back panels, and one strip for the sides and the bottom, its flanges turned out.

On a line s inside the panels' edge the way round is W + 2 H - 4 r + pi (r - s). The panels are sewn at s = margin; the strip's
wall runs further in, at s = flange + K t, so its way is shorter: by pi times the difference, all of it in the two corners.
Both carry equal counts: a hole of the strip lies opposite its hole in the panel, as far along side, corner and bottom.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.leather import bend
from server.leather.drafts import gusset_pouch_words as words
from server.leather.drafts import held, parts
from server.leather.drafts.gusset_pouch_sizes import Sizes
from server.leather.measure import Given, complete
from server.leather.norms import LEAST_HOLE_DISTANCE
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Hole, Piece
from server.leather.stitch import StitchLine, symmetric_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Pouch with gusset"
SUMMARY = "A deep pouch: front and back panels joined by one strip round the sides and the bottom."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = ()


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a gusset pouch from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, {"flange": words.flange(given["edge-margin"] or 0.0)})
    section, s = parts.section_of(MEASURES, m), _sizes(m)
    _check(m, s)
    panel = _panel_line(s, m["pitch"])
    lines = _lines(s, panel)
    pieces = (_panel(s, "front", "Front", lines), _panel(s, "back", "Back", lines), _strip(s, lines))
    seams = _seams(m, lines)
    sentences = words.sentences(given, m, s, section, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(s, seams), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    ply, flange = m["leather"], m["flange"]
    fold = bend.allowance(math.pi / 2.0, 0.0, ply, m["neutral"])
    depth = m["thickness"] + 2.0 * m["clearance"]
    return Sizes(
        half=m["width"] / 2.0 + m["clearance"] + ply + flange,
        bottom=m["height"] - m["stands-out"] + ply + flange,
        corner=m["corner-radius"],
        margin=m["edge-margin"],
        wall=flange + m["neutral"] * ply,
        flange=flange,
        bend=fold,
        half_strip=(depth - 2.0 * ply) / 2.0 + fold + flange,
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    held.check_stands_out(m, 0.75, "pouch")
    if s.flange < s.margin + 1.0:
        what = f"A flange of {s.flange:.4g} mm does not hold a stitch line {s.margin:.4g} mm from the edge"
        raise Refusal(f"{what}; {s.margin + 1.0:.4g} mm is the least.", field="flange")
    if m["thickness"] + 2.0 * m["clearance"] < 2.0 * m["leather"] + 1.0:
        what = f"A thing {m['thickness']:.4g} mm thick needs no gusset in leather of {m['leather']:.4g} mm"
        raise Refusal(f"{what}; take a flat pouch or thinner leather.", field="thickness")
    share = LEAST_HOLE_DISTANCE.value
    least = (s.wall - share * s.margin) / (1.0 - share)  # below it the strip's holes crowd in the corners
    most = min(s.half, s.bottom - s.margin)
    if not least <= s.corner <= most:
        what = f"A corner radius of {s.corner:.4g} mm does not let the strip round"
        raise Refusal(
            f"{what}; {math.ceil(10 * least) / 10:.4g} mm is the least, {max(most, least):.4g} mm the most.",
            field="corner-radius",
        )


# ---- stitch lines


def _panel_line(s: Sizes, pitch: float) -> StitchLine:
    half = parts.u_half(s.half - s.margin, s.bottom - s.margin, s.margin, s.corner - s.margin)
    return symmetric_line(half, pitch, "front")


def _opposite(s: Sizes, along: float) -> float:
    """Return how far along the strip's wall, from the bottom centre, lies opposite a place `along` the panel's stitch line."""
    turn, wall = s.round(s.margin), s.round(s.wall)
    if along <= s.base:
        return along
    if along <= s.base + turn:
        return s.base + (along - s.base) * wall / turn
    return along - turn + wall


def _lines(s: Sizes, panel: StitchLine) -> dict[str, StitchLine]:
    """The panel's line, twice, and the strip's two rows."""
    back = parts.moved(panel, panel.holes, panel.path, "back")
    middle, x = s.way(s.wall) / 2.0, s.half_strip - s.margin
    centre = panel.path.length / 2.0
    ways = [math.copysign(_opposite(s, abs(p - centre)), p - centre) for p in panel.positions]
    holes = tuple(Hole(x, middle + way, 90.0, "strip-front") for way in ways)
    path = polyline([(x, holes[0].y), (x, holes[-1].y)])
    row = parts.facing(StitchLine(path, holes, tuple(way - ways[0] for way in ways), panel.chords))
    return {"front": panel, "back": back, "strip-front": row, "strip-back": row.mirrored("strip-back")}


def _seams(m: Mapping[str, float], lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    stack = 2.0 * m["leather"]
    shorter = lines["strip-front"].path.length - lines["front"].path.length
    return (
        parts.seam(lines["front"], "front", "Front seam", "front", 2, stack),
        parts.seam(
            lines["strip-front"], "strip-front", "Strip's front row", "gusset", 2, stack, mate="front", eased=shorter
        ),
        parts.seam(lines["back"], "back", "Back seam", "back", 2, stack),
        parts.seam(
            lines["strip-back"], "strip-back", "Strip's back row", "gusset", 2, stack, mate="back", eased=shorter
        ),
    )


# ---- pieces


def _panel(s: Sizes, name: str, title: str, lines: Mapping[str, StitchLine]) -> Piece:
    outline = parts.box_half(s.half, 0.0, s.bottom, parts.lip(s.margin), s.corner)
    inner = parts.u_half(s.half - s.flange, s.bottom - s.flange, 0.0, s.corner - s.flange)
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        Drawn("stitch", lines[name].path, name),
        Drawn("mark", unfold(inner), "glue-edge"),
        parts.centre(0.0, s.bottom),
        parts.grain(s.half * 0.4, s.bottom * 0.3, s.bottom * 0.7),
    )
    size = parts.label_size(s.half, s.bottom)
    return Piece(name, title, drawn, lines[name].holes, parts.labels(title, -s.half * 0.4, s.bottom * 0.5, size))


def _strip(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    length = s.way(s.wall)
    middle, fold = length / 2.0, s.half_strip - s.flange - s.bend / 2.0
    outline = parts.box_half(s.half_strip, 0.0, length, parts.lip(s.margin), parts.lip(s.margin))
    right = polyline([(fold, 0.0), (fold, length)])
    far = s.base + s.round(s.wall)
    turns = (middle - far, middle - s.base, middle + s.base, middle + far)
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        *(Drawn("stitch", lines[name].path, name) for name in ("strip-front", "strip-back")),
        Drawn("fold", right, "fold-right"),
        Drawn("fold", right.mirrored(), "fold-left"),
        *(Drawn("mark", polyline([(-fold, y), (fold, y)]), f"corner-{i}") for i, y in enumerate(turns, 1)),
        *_bottom(s, middle),
        parts.centre(0.0, length),
        parts.grain(fold * 0.5, s.side * 0.3, s.side * 0.7),
    )
    holes = (*lines["strip-front"].holes, *lines["strip-back"].holes)
    size = parts.label_size(fold * 1.5, s.side)
    return Piece("gusset", "Gusset", drawn, holes, parts.labels("Gusset", -fold * 0.5, s.side * 0.4, size))


def _bottom(s: Sizes, middle: float) -> tuple[Drawn, Drawn]:
    """Ticks at the strip's edges that come to lie on the panels' centre lines."""
    right = polyline([(s.half_strip - s.margin + 1.0, middle), (s.half_strip, middle)])
    return Drawn("mark", right, "bottom-right"), Drawn("mark", right.mirrored(), "bottom-left")


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    inner, low = s.half - s.flange, s.bottom * 0.75
    length = s.way(s.wall)
    return (
        parts.dimension("front", "panel width", (-s.half, s.bottom), (s.half, s.bottom), 12.0, "width"),
        parts.dimension("front", "panel height", (-s.half, 0.0), (-s.half, s.bottom), 14.0, "height"),
        parts.dimension("front", "strip to strip", (-inner, low), (inner, low), 5.0),
        parts.dimension("front", "flange", (inner, s.bottom * 0.4), (s.half, s.bottom * 0.4), -6.0, "flange"),
        parts.dimension("gusset", "strip length", (-s.half_strip, 0.0), (-s.half_strip, length), 14.0),
        parts.dimension("gusset", "strip width", (-s.half_strip, length), (s.half_strip, length), 12.0, "thickness"),
    )
