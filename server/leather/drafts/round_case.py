"""The round case: a tube with a butted seam standing on a round base, and a cap of the same make if wished.

Tube: pi (D + ease + 2 K t) wide, at the neutral axis. Base: as wide as the tube's outside, D + ease + 2 t. The count comes from
the tube, and the base's ring carries as many holes, nearer together; no hole lies on the butt, the nearest half a pitch from it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.leather import norms
from server.leather.drafts import held, parts
from server.leather.drafts import round_case_words as words
from server.leather.drafts.round_case_sizes import Can
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Hole, Piece
from server.leather.stitch import StitchLine, stitch_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Round case"
SUMMARY = "A tube on a round base for a flask, a lens or cells, with a cap if wished."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = words.PRESETS
_LEAST_HOLES = 8


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a round case from measures in mm; a measure that is left out or None takes its default.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    m = parts.filled(complete(values, MEASURES), {})
    cans = _cans(m)
    for can in cans:
        _check(m, can)
    lines = {can.name: _lines(can) for can in cans}
    seams = tuple(seam for can in cans for seam in _seams(can, lines[can.name]))
    pieces = tuple(piece for can in cans for piece in (_tube(can, lines[can.name]), _disc(can, lines[can.name])))
    dimensions = tuple(d for can in cans for d in _dimensions(can))
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(cans, seams), words.sentences(m, cans, seams), dimensions)


def _cans(m: Mapping[str, float]) -> tuple[Can, ...]:
    ply, rest = m["leather"], (m["leather"], m["neutral"], m["edge-margin"], m["pitch"])
    inside = m["diameter"] + m["ease"]
    tube = Can("tube", "base", inside, m["height"] - m["stands-out"], *rest)
    if chosen(MEASURES, m, "lid") == "none":
        return (tube,)
    return tube, Can("cap", "cap-top", inside + 2.0 * ply + m["cap-play"], m["stands-out"] + m["cap-depth"], *rest)


def _check(m: Mapping[str, float], can: Can) -> None:
    held.check_stands_out(m, 0.7, "tube")
    if can.around / can.pitch < _LEAST_HOLES:
        most = can.around / _LEAST_HOLES
        what = f"A pitch of {can.pitch:.4g} mm leaves fewer than {_LEAST_HOLES} holes round the {can.name}"
        raise Refusal(f"{what}; {most:.3g} mm is the most.", field="pitch")
    near = 2.0 * can.ring * math.sin(math.pi / can.holes) if can.ring > 0.0 else 0.0
    if near < norms.LEAST_HOLE_DISTANCE.value * can.spacing:
        what = f"An edge margin of {can.margin:.4g} mm crowds the {can.holes} holes of the {can.disc} to {max(near, 0):.3g} mm"
        raise Refusal(f"{what}; make it smaller.", field="edge-margin")
    least = 2.0 * can.margin + 3.0 * can.pitch
    if can.height < least:
        field = "cap-depth" if can.name == "cap" else "height"
        what = f"A {can.name} {can.height:.4g} mm high has no room for its seams"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field=field)


# ---- stitch lines


def _lines(can: Can) -> dict[str, StitchLine]:
    right = f"{can.name}-side-right"
    column = _column(can, right)
    return {
        "ring": _ring(can),
        "row": _row(can),
        "right": column,
        "left": column.mirrored(f"{can.name}-side-left"),
    }


def _open(can: Can) -> float:
    """Where the mouth is: a cap's disc is above it, so its piece is drawn with the mouth up like the tube's."""
    return can.height - can.margin


def _row(can: Can) -> StitchLine:
    """The tube's row: as many holes as the ring, the outer two half a pitch from the butt."""
    name, y, count = f"{can.disc}-{can.name}", _open(can), can.holes
    xs = [(i - (count - 1) / 2.0) * can.spacing for i in range(count)]
    holes = tuple(Hole(x, y, 0.0, name) for x in xs)
    return StitchLine(polyline([(xs[0], y), (xs[-1], y)]), holes, tuple(x - xs[0] for x in xs), (can.spacing,))


def _ring(can: Can) -> StitchLine:
    """The disc's ring, from the butt (at the bottom of the drawing) round: hole i lies opposite hole i of the row."""
    middle, radius, count = can.outside / 2.0, can.ring, can.holes
    turns = [(i + 0.5) * 2.0 * math.pi / count for i in range(count)]
    left = [(radius * math.sin(turn), middle + radius * math.cos(turn)) for turn in turns[: count // 2]]
    top = [(0.0, middle - radius)] if count % 2 else []
    places = [(-x, y) for x, y in left] + top + list(reversed(left))
    holes = tuple(Hole(x, y, _tangent(x, y - middle), can.disc) for x, y in places)
    path = parts.circle(0.0, middle, 2.0 * radius)
    return StitchLine(path, holes, tuple(radius * turn for turn in turns), (2.0 * radius * math.sin(math.pi / count),))


def _tangent(x: float, y: float) -> float:
    """Direction of the ring, walked clockwise as seen, at (x, y) from its centre; degrees."""
    return math.degrees(math.atan2(x, -y))


def _column(can: Can, name: str) -> StitchLine:
    x = can.around / 2.0 - can.margin
    return stitch_line(polyline([(x, can.margin), (x, _open(can) - can.pitch)]), can.pitch, name)


def _seams(can: Can, lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    whole, title = can.name.capitalize(), words.DISC_TITLES[can.disc]
    side, row = f"{can.name}-side-right", f"{can.disc}-{can.name}"
    both = 2.0 * can.leather
    return (
        parts.seam(lines["right"], side, f"{whole}, butted seam", can.name, 2, both),
        parts.seam(lines["left"], f"{can.name}-side-left", f"{whole}, its other edge", can.name, 2, both, mate=side),
        parts.seam(lines["ring"], can.disc, f"{title} ring", can.disc, 2, both),
        parts.seam(
            lines["row"],
            row,
            f"{whole}, row for the {title.lower()}",
            can.name,
            2,
            both,
            mate=can.disc,
            eased=lines["row"].path.length - lines["ring"].path.length,
        ),
    )


# ---- pieces


def _tube(can: Can, lines: Mapping[str, StitchLine]) -> Piece:
    half, title = can.around / 2.0, can.name.capitalize()
    outline = polyline([(0.0, 0.0), (half, 0.0), (half, can.height), (0.0, can.height)])
    own = (lines["right"], lines["left"], lines["row"])
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        *(Drawn("stitch", line.path, line.holes[0].seam) for line in own),
        parts.centre(0.0, can.height),
        parts.grain(half * 0.5, can.height * 0.25, can.height * 0.7),
    )
    holes = tuple(hole for line in own for hole in line.holes)
    size = parts.label_size(half * 0.8, can.height)
    return Piece(can.name, title, drawn, holes, parts.labels(title, -half * 0.5, can.height * 0.45, size))


def _disc(can: Can, lines: Mapping[str, StitchLine]) -> Piece:
    radius, title = can.outside / 2.0, words.DISC_TITLES[can.disc]
    drawn = (
        Drawn("cut", parts.circle(0.0, radius, can.outside), "outline"),
        Drawn("stitch", lines["ring"].path, can.disc),
        parts.centre(0.0, can.outside),
        parts.grain(can.ring * 0.45, radius - can.ring * 0.4, radius + can.ring * 0.4),
    )
    size = parts.label_size(can.ring, can.ring)
    return Piece(can.disc, title, drawn, lines["ring"].holes, parts.labels(title, -can.ring * 0.4, radius, size))


def _dimensions(can: Can) -> tuple[Dimension, ...]:
    half, radius = can.around / 2.0, can.outside / 2.0
    title = words.DISC_TITLES[can.disc].lower()
    return (
        parts.dimension(can.name, f"{can.name} width", (-half, can.height), (half, can.height), 12.0),
        parts.dimension(can.name, f"{can.name} height", (-half, 0.0), (-half, can.height), 14.0),
        parts.dimension(can.disc, f"{title} diameter", (-radius, radius), (radius, radius), radius + 12.0, "diameter"),
        parts.dimension(can.disc, f"{title} margin", (can.ring, radius), (radius, radius), -8.0, "edge-margin"),
    )
