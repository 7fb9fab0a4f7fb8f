"""The strap or belt: one blank that turns round a buckle, with holes and a tip, and a keeper.

blank = turn + size + (n - 1) / 2 spacing + tip, where size is from the pin to the middle hole.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Path
from server.leather.drafts import parts
from server.leather.drafts import strap_words as words
from server.leather.drafts.strap_sizes import Sizes
from server.leather.drafts.tips import tip_path
from server.leather.measure import Given, chosen, complete
from server.leather.norms import LEAST_HOLE_DISTANCE
from server.leather.norms_sewing import LEAST_MARGIN
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line, symmetric_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Strap or belt"
SUMMARY = "A strap that turns round a buckle, with holes, a tip and a keeper."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = words.PRESETS
_FREE = 10.0
"""mm from the pin slot, from the keeper and to the end of the turn, for each fixing; common practice, no source."""
_END_CORNER = 6.0
_KEEPER_MARGIN = 3.0
"""mm from a keeper's row to its edges; a narrow keeper makes do with the least margin there is."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a strap from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, {"pin-slot": words.pin_slot(given["bar"] or 0.0, given["leather"] or 0.0)})
    s = _sizes(m)
    _check(m, s)
    fixing = chosen(MEASURES, m, "fixing")
    rows = _rows(s, m["pitch"]) if fixing == "stitched" else {}
    joint = _keeper_joint(s, m["pitch"])
    pieces = (_strap(m, s, fixing, rows), _keeper(s, joint))
    seams = _seams(m, rows, joint)
    sentences = words.sentences(given, m, s, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(m, s, fixing, seams), sentences, _dimensions(s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    first = m["turn"] + words.cut_size(m) - (m["holes"] - 1.0) / 2.0 * m["hole-spacing"]
    holes = tuple(first + i * m["hole-spacing"] for i in range(int(m["holes"])))
    near = m["pin-slot"] / 2.0 + _FREE
    return Sizes(
        half=m["width"] / 2.0,
        turn=m["turn"],
        slot=m["pin-slot"],
        pin=m["pin"],
        fixings=(near, near + m["keeper-width"] + _FREE),
        holes=holes,
        hole=m["hole"],
        blank=holes[-1] + m["tip-length"],
        tip=chosen(MEASURES, m, "tip"),
        margin=m["edge-margin"],
        keeper=(m["keeper-width"] / 2.0, words.keeper_length(m)),
    )


def _check(m: Mapping[str, float], s: Sizes) -> None:
    least = s.fixings[1] + _FREE
    if s.turn < least:
        what = f"A turn of {s.turn:.4g} mm is too short for slot, keeper and two fixings"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="turn")
    if s.holes[0] < s.turn + s.fixings[1] + 2.0 * _FREE:
        what = (
            f"The first of {len(s.holes)} holes would be {s.holes[0] - s.turn:.4g} mm from the buckle, in the fixings"
        )
        raise Refusal(f"{what}; make the strap longer or take fewer holes.", field="size")
    if m["hole-spacing"] < 2.0 * s.hole:
        what = f"Holes of {s.hole:.4g} mm every {m['hole-spacing']:.4g} mm tear"
        raise Refusal(f"{what}; {2 * s.hole:.4g} mm is the least spacing.", field="hole-spacing")
    for name, wide in (("hole", s.hole), ("pin", s.pin), ("hardware-hole", m["hardware-hole"])):
        if wide > s.half:
            what = f"A hole {wide:.4g} mm wide takes more than half of a strap {2 * s.half:.4g} mm wide"
            raise Refusal(f"{what}; {s.half:.4g} mm is the most.", field=name)
    widest = 2.0 * s.keeper[0]
    least = 2.0 * LEAST_MARGIN.value + LEAST_HOLE_DISTANCE.value * m["pitch"]
    if widest < least:
        what = f"A keeper {widest:.4g} mm wide has no room for two holes at a pitch of {m['pitch']:.4g} mm"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="keeper-width")
    if s.slot < s.pin:
        what = f"The pin slot would be shorter ({s.slot:.4g} mm) than wide ({s.pin:.4g} mm)"
        raise Refusal(f"{what}; make it longer.", field="pin-slot")
    if s.half - s.margin < 0.75 * m["pitch"]:
        what = f"An edge margin of {s.margin:.4g} mm leaves no row of stitches on a strap {2 * s.half:.4g} mm wide"
        raise Refusal(f"{what}; {max(s.half - 0.75 * m['pitch'], 0):.3g} mm is the most.", field="edge-margin")
    tip = s.blank - s.tip_start
    if m["tip-length"] < tip + s.hole:
        what = f"The last hole lies {m['tip-length']:.4g} mm from the end, within the tip"
        raise Refusal(f"{what}; {math.ceil(tip + s.hole)} mm is the least.", field="tip-length")


# ---- lines


def _rows(s: Sizes, pitch: float) -> dict[str, StitchLine]:
    """Two rows across the strap and their mates on the turn, as far from the fold."""
    found: dict[str, StitchLine] = {}
    for i, far in enumerate(s.fixings, 1):
        for name, y in ((f"row-{i}", s.turn + far), (f"row-{i}-turn", s.turn - far)):
            line = symmetric_line(polyline([(0.0, y), (s.half - s.margin, y)]), pitch, name)
            found[name] = parts.facing(line) if words.mate_of(name) else line
    return found


def _keeper_margin(half: float, pitch: float) -> float:
    """Return the keeper's margin, mm: a pitch too long for it is eased to two holes, as near as holes may be."""
    return max(LEAST_MARGIN.value, min(_KEEPER_MARGIN, half - LEAST_HOLE_DISTANCE.value * pitch / 2.0))


def _keeper_joint(s: Sizes, pitch: float) -> dict[str, StitchLine]:
    half, length = s.keeper
    reach = half - _keeper_margin(half, pitch)
    found = {}
    for name, y in (("joint", _KEEPER_MARGIN), ("joint-end", length - _KEEPER_MARGIN)):
        if reach < 0.75 * pitch:
            found[name] = stitch_line(polyline([(-reach, y), (reach, y)]), 2.0 * reach, name)
        else:
            found[name] = symmetric_line(polyline([(0.0, y), (reach, y)]), pitch, name)
    return found


def _seams(m: Mapping[str, float], rows: Mapping[str, StitchLine], joint: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    ply = m["leather"]
    found = [
        parts.seam(
            line,
            name,
            words.SEAM_TITLES[name],
            "strap",
            2,
            2 * ply,
            mate=name.removesuffix("-turn") if "turn" in name else "",
        )
        for name, line in rows.items()
    ]
    first, last = joint["joint"], joint["joint-end"]
    found.append(parts.seam(first, "joint", words.SEAM_TITLES["joint"], "keeper", 1, m["keeper-leather"]))
    found.append(
        parts.seam(last, "joint-end", words.SEAM_TITLES["joint-end"], "keeper", 1, m["keeper-leather"], mate="joint")
    )
    return tuple(found)


# ---- pieces


def _outline(s: Sizes) -> Path:
    corner = min(_END_CORNER, s.half)
    head = rounded([(0.0, 0.0), (s.half, 0.0), (s.half, s.turn)], [0.0, corner, 0.0])
    return unfold(Path((*head.segments, *tip_path(s.tip, s.half, s.turn, s.tip_start).segments)), closed=True)


def _strap(m: Mapping[str, float], s: Sizes, fixing: str, rows: Mapping[str, StitchLine]) -> Piece:
    places = [(i, y) for i, far in enumerate(s.fixings, 1) for y in (s.turn + far, s.turn - far)]
    hardware = [
        Drawn("slot", parts.circle(0.0, y, m["hardware-hole"]), f"fixing-{i}{'-turn' if y < s.turn else ''}")
        for i, y in places
    ]
    drawn = (
        Drawn("cut", _outline(s), "outline"),
        Drawn("slot", parts.oblong(s.turn, s.pin, s.slot), "pin-slot"),
        *(Drawn("slot", parts.circle(0.0, y, s.hole), f"hole-{i}") for i, y in enumerate(s.holes, 1)),
        *(hardware if fixing == "hardware" else []),
        *(Drawn("stitch", line.path, name) for name, line in rows.items()),
        Drawn("fold", polyline([(-s.half, s.turn), (s.half, s.turn)]), "fold"),
        parts.centre(0.0, s.blank),
        parts.grain(s.half * 0.5, *words.free_stretch(s, 0.55)),
    )
    holes = tuple(hole for line in rows.values() for hole in line.holes)
    top, _ = words.free_stretch(s, 0.2)
    return Piece("strap", "Strap", drawn, holes, parts.labels("Strap", -s.half * 0.5, top, min(4.0, s.half / 4.0)))


def _keeper(s: Sizes, joint: Mapping[str, StitchLine]) -> Piece:
    half, length = s.keeper
    outline = polyline([(0.0, 0.0), (half, 0.0), (half, length), (0.0, length)])
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in joint.items()),
        parts.centre(length * 0.33, length),  # clear of the label
        parts.grain(half * 0.5, length * 0.4, length * 0.65),
    )
    holes = tuple(hole for line in joint.values() for hole in line.holes)
    return Piece("keeper", "Keeper", drawn, holes, parts.labels("Keeper", 0.0, length * 0.22, half / 2.5))


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    right, left = s.half, -s.half
    middle = (s.holes[0] + s.holes[-1]) / 2.0
    off = max(12.0, 0.05 * s.blank)  # a long blank is drawn small, and its lines lie apart on the paper
    found = [
        parts.dimension("strap", "blank length", (left, 0.0), (left, s.blank), 2.0 * off),
        parts.dimension("strap", "turn", (left, 0.0), (left, s.turn), off, "turn"),
        parts.dimension("strap", "size", (left, s.turn), (left, middle), off, "size"),
        parts.dimension("strap", "last hole to tip", (right, s.holes[-1]), (right, s.blank), -off, "tip-length"),
        parts.dimension("strap", "width", (left, 0.0), (right, 0.0), -0.7 * off, "width"),
        parts.dimension("keeper", "keeper length", (s.keeper[0], 0.0), (s.keeper[0], s.keeper[1]), -10.0),
        parts.dimension("keeper", "keeper width", (-s.keeper[0], 0.0), (s.keeper[0], 0.0), -8.0, "keeper-width"),
    ]
    if len(s.holes) > 1:
        a, b = (right, s.holes[0]), (right, s.holes[1])
        found.append(parts.dimension("strap", "hole spacing", a, b, -off, "hole-spacing"))
    return tuple(found)
