"""The sheath's hanger, a strip folded over the belt and sewn to the back, and the strap round the handle that goes through it.

Hanger: 2 (foot + belt + play) + pi (R + K t), R half the belt's thickness. Strap: round the handle at its own neutral axis, and the lap.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, rounded_rectangle, unfold
from server.leather import bend
from server.leather.drafts import parts
from server.leather.drafts import sheath_words as words
from server.leather.drafts.sheath_sizes import LAP, SLOT, Hanger
from server.leather.pattern import Dimension
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line

_BELT_HALF = 2.0
"""mm: half the thickness of a belt, the inside radius of the hanger's fold; common practice, no source."""
_PLAY = 4.0
"""mm the belt has in the hanger; common practice, no source."""
_BETWEEN = 12.0
"""mm between the two rows; common practice, no source."""


def sizes(m: Mapping[str, float], inside: float) -> Hanger:
    """Return the figures of hanger and strap for measures in mm; `inside` is the sheath's half width at the mouth."""
    margin = m["edge-margin"]
    return Hanger(
        middle=inside / 2.0,
        half=m["hanger-width"] / 2.0,
        margin=margin,
        foot=2.0 * margin + _BETWEEN,
        belt=m["belt"] + _PLAY,
        fold=bend.allowance(math.pi, _BELT_HALF, m["leather"], m["neutral"]),
        strap=m["strap-width"] / 2.0,
        round=words.handle_girth(m, m["leather"]),
        hole=m["snap-hole"],
    )


def check(m: Mapping[str, float], h: Hanger) -> None:
    """Refuse a hanger that does not fit the sheath's back or does not take the strap."""
    most = 2.0 * (h.middle - 1.0)
    if 2.0 * h.half > most:
        what = f"A hanger {2 * h.half:.4g} mm wide does not fit the back of the sheath"
        raise Refusal(f"{what}; {max(most, 0.0):.4g} mm is the most.", field="hanger-width")
    least = 2.0 * (h.margin + SLOT + 2.0)
    if 2.0 * h.half < least:
        what = f"A hanger {2 * h.half:.4g} mm wide has no room for the strap's slots"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="hanger-width")
    if 2.0 * h.strap > h.belt - 8.0:
        what = f"A strap {2 * h.strap:.4g} mm wide leaves too little of a hanger for a belt of {m['belt']:.4g} mm"
        raise Refusal(f"{what}; {h.belt - 8:.4g} mm is the most.", field="strap-width")
    if h.hole > h.strap:
        what = f"A snap's hole of {h.hole:.4g} mm takes more than half of a strap {2 * h.strap:.4g} mm wide"
        raise Refusal(f"{what}; {h.strap:.4g} mm is the most.", field="snap-hole")


def rows(h: Hanger, pitch: float) -> dict[str, StitchLine]:
    """Return the two rows on the sheath's back, and their mates on the hanger's two feet."""
    reach = h.half - h.margin
    found = {}
    for i, y in enumerate((h.margin, h.margin + _BETWEEN), 1):
        on_back = polyline([(-h.middle - reach, y + 2.0), (-h.middle + reach, y + 2.0)])
        found[f"hang-{i}"] = stitch_line(on_back, pitch, f"hang-{i}")
        for end, at in (("front", h.foot - y), ("rear", h.length - h.foot + y)):
            name = f"hang-{i}-{end}"
            line = stitch_line(polyline([(-reach, at), (reach, at)]), pitch, name)
            found[name] = (
                parts.facing(line) if end == "front" else line
            )  # the first foot lies grain side down on the back
    return found


def hanger(h: Hanger, lines: Mapping[str, StitchLine]) -> Piece:
    """Return the hanger: its first foot lies against the sheath, the fold goes over the belt, the other foot lies on the first."""
    own = {name: line for name, line in lines.items() if words.piece_of(name) == "hanger"}
    lip = parts.lip(h.margin)
    middle = h.foot + h.belt / 2.0
    inner, outer = h.slot
    slot = rounded_rectangle(inner, middle - h.strap - 0.75, outer, middle + h.strap + 0.75, SLOT / 2.0)
    start = h.foot + h.belt
    drawn = (
        Drawn("cut", unfold(parts.box_half(h.half, 0.0, h.length, lip, lip), closed=True), "outline"),
        Drawn("slot", slot.mirrored(), "strap-left"),
        Drawn("slot", slot, "strap-right"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        Drawn("fold", polyline([(-h.half, start), (h.half, start)]), "fold-1"),
        Drawn("fold", polyline([(-h.half, start + h.fold), (h.half, start + h.fold)]), "fold-2"),
        parts.grain(h.half * 0.4, start + h.fold + 0.2 * h.belt, start + h.fold + 0.8 * h.belt),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    label = parts.labels("Hanger", -h.half * 0.3, start + h.fold + 0.4 * h.belt, h.half / 5.0)
    return Piece("hanger", "Hanger", drawn, holes, label)


def strap(h: Hanger) -> Piece:
    """Return the strap, a snap's hole near each end: they lie as far apart as it is round the handle."""
    length, low = h.strap_length, 0.8 * h.strap
    drawn = (
        Drawn("cut", unfold(parts.box_half(h.strap, 0.0, length, low, low), closed=True), "outline"),
        Drawn("slot", parts.circle(0.0, LAP / 2.0, h.hole), "snap-1"),
        Drawn("slot", parts.circle(0.0, length - LAP / 2.0, h.hole), "snap-2"),
        parts.centre(0.45 * length, length),  # clear of the label
        parts.grain(h.strap * 0.5, length * 0.5, length * 0.75),
    )
    return Piece("strap", "Strap", drawn, (), parts.labels("Strap", 0.0, length * 0.35, h.strap / 2.5))


def dimensions(h: Hanger) -> tuple[Dimension, ...]:
    """Return the dimension lines of hanger and strap."""
    return (
        parts.dimension("hanger", "hanger length", (-h.half, 0.0), (-h.half, h.length), 12.0, "belt"),
        parts.dimension("hanger", "hanger width", (-h.half, h.length), (h.half, h.length), 10.0, "hanger-width"),
        parts.dimension(
            "strap",
            "snap to snap",
            (h.strap, LAP / 2.0),
            (h.strap, h.strap_length - LAP / 2.0),
            -10.0,
            "handle-width",
        ),
    )
