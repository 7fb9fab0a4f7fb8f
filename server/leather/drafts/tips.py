"""Ends of straps: half round, arched, pointed and square, each tangent to the strap's sides."""

from __future__ import annotations

import math

from server.geometry.build import chain
from server.geometry.fillet import arch
from server.geometry.path import Path
from server.geometry.placement import Placement
from server.geometry.segment import Arc

TIPS = (("round", "Half round"), ("arched", "Arched"), ("point", "Pointed"), ("square", "Square, round corners"))
_ARCH = 3.2
"""Radius of an arched tip's sides, in half widths; common practice, no source."""
_APEX = 0.3
"""Radius at the apex of an arched or pointed tip, in half widths."""
_HALF_APEX = 40.0
"""Degrees between the centre line and the side of a pointed tip."""
_SHOULDER = 0.8
"""Radius between the strap's side and a pointed tip, in half widths."""
_CORNER = 0.4
"""Radius of a square tip's corners, in half widths."""
_LEAST = 0.8
"""mm: the least radius of an inset tip."""


def tip(kind: str, half_width: float, top: float, inset: float = 0.0) -> tuple[Arc, ...]:
    """Return the arcs of the right half of a tip that closes a strap downwards; the last one ends on the centre line.

    A square tip ends before it: draw on to the centre line. `half_width` is the strap's, `top` (mm) where the tip begins;
    `inset` mm gives the line that lies so far inside (a stitch line), parallel but for an apex too tight for it.
    """
    w = half_width - inset
    if kind == "round":
        return (Arc.of((0.0, top), w, 0.0, 90.0),)
    if kind == "square":
        radius = _CORNER * half_width
        kept = max(radius - inset, _LEAST)
        return (Arc.of((w - kept, top + radius - inset - kept), kept, 0.0, 90.0),)
    apex = max(_APEX * half_width - inset, _LEAST)
    if kind == "arched":
        return arch(w, top, _ARCH * half_width - inset, apex)
    return _point(half_width, top, inset, apex)


def _point(half_width: float, top: float, inset: float, apex: float) -> tuple[Arc, ...]:
    """A shoulder tangent to the side, a straight flank, a round apex whose centre lies apex / sin above the flank's end."""
    slope = math.radians(_HALF_APEX)
    turn = _HALF_APEX
    radius = _SHOULDER * half_width
    shoulder = Arc.of((half_width - radius, top), max(radius - inset, _LEAST), 0.0, turn)
    x, y = shoulder.end
    meet = y + x / math.tan(slope)  # where the flank meets the centre line
    return shoulder, Arc.of((0.0, meet - apex / math.sin(slope)), apex, turn, 90.0 - turn)


def tip_end(kind: str, half_width: float, top: float, inset: float = 0.0) -> float:
    """Return where the tip ends on the centre line, mm."""
    return tip(kind, half_width, top, inset)[-1].end[1]


def tip_path(kind: str, half_width: float, start: float, top: float, inset: float = 0.0) -> Path:
    """Return the right side of a strap from (half_width - inset, start) down and round its tip to the centre line."""
    arcs = tip(kind, half_width, top, inset)
    return chain((half_width - inset, start), arcs, (0.0, arcs[-1].end[1]))


def flipped(path: Path, about: float) -> Path:
    """Return the path upside down: y becomes 2 about - y."""
    return path.transformed(Placement(0.0, 2.0 * about, 180.0, True))
