"""The sheath for a fixed blade: one piece folded over the spine, a welt along the edge, a hanger for the belt, a strap round the handle.

The fold x = 0 lies along the blade's spine. What lies `w` mm from the spine is, on the flat leather, w + dev from the fold, with
dev = (pi / 2)(T / 2 + K t) - T / 2 for a spine T thick. The edge's curve to the tip is an arc of radius (D^2 + b^2) / (2 D), D = W - drop;
cavity, stitch line and outer edge run parallel to it. The welt's ledge below the handle stops the blade.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import arch, between, rounded
from server.geometry.path import Path
from server.geometry.placement import Placement
from server.geometry.segment import Arc
from server.leather.drafts import parts
from server.leather.drafts import sheath_hang as hang
from server.leather.drafts import sheath_words as words
from server.leather.drafts.sheath_sizes import TOE, Hanger, Sizes
from server.leather.measure import Given, complete
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Sheath with welt"
SUMMARY = (
    "A folded sheath for a fixed blade, with a welt, a stop for the blade, a drain, a strap and a hanger for the belt."
)
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = ()
_SLOPE = 1.6
"""Length of the outer edge's run from handle to blade, in what it runs in; common practice, no source."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a sheath from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together or would not be safe; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, {"welt": max(given["leather"] or 0.0, given["spine"] or 0.0)})
    _check_blade(m)
    s = _past_tip(_sizes(m), m["clearance"])
    h = hang.sizes(m, s.handle)
    _check(m, s)
    hang.check(m, h)
    edge = _edge(s)
    line = stitch_line(_stitch_path(s, edge), m["pitch"], "edge")
    lines = {**_edges(line), **hang.rows(h, m["pitch"])}
    seams = _seams(m, lines)
    pieces = (_sheath(s, edge, lines), _welt(s, edge, lines["edge-welt"]), hang.hanger(h, lines), hang.strap(h))
    sentences = words.sentences(given, m, s, h, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(m, s, h, seams), sentences, _dimensions(s, edge, h))


def _sizes(m: Mapping[str, float]) -> Sizes:
    dev = words.development(m)
    blade = m["blade-width"] + dev + m["clearance"]
    drop = m["blade-width"] - m["tip-drop"]
    curve = (drop * drop + m["belly"] ** 2) / (2.0 * drop) + m["clearance"]
    inside = words.handle_half(m) if m["handle-in"] else blade
    return Sizes(
        blade=blade,
        handle=inside,
        stop=m["handle-in"],
        belly=m["handle-in"] + m["blade-length"] - m["belly"],
        curve=max(curve, blade),
        tip=(m["tip-drop"] + dev, m["handle-in"] + m["blade-length"]),
        welt=m["welt-width"],
        margin=m["edge-margin"],
        drain=m["drain"] / 2.0,
    )


def _past_tip(s: Sizes, clearance: float) -> Sizes:
    """Lower the toe until the tip keeps the clearance: the round toe would else cut the corner the tip lies in."""
    for _ in range(40):
        toe = s.cavity_toe()
        points = toe.flatten(0.01)
        short = clearance - float(np.hypot(points[:, 0] - s.tip[0], points[:, 1] - s.tip[1]).min())
        below = s.tip[1] + clearance - float(toe.end[1])
        move = max(short, below)
        if move <= 1e-3:
            return s
        s = replace(s, belly=s.belly + max(move, 0.05))
    return s


# ---- what cannot be made


def _check_blade(m: Mapping[str, float]) -> None:
    if m["tip-drop"] > m["blade-width"] - 3.0:
        what = f"A tip {m['tip-drop']:.4g} mm below the spine leaves no belly on a blade {m['blade-width']:.4g} mm wide"
        raise Refusal(f"{what}; {max(m['blade-width'] - 3, 0):.4g} mm is the most.", field="tip-drop")
    least, most = m["blade-width"] - m["tip-drop"], 0.9 * m["blade-length"]
    if not least <= m["belly"] <= most:
        what = f"A belly {m['belly']:.4g} mm long does not suit this blade"
        raise Refusal(f"{what}; {least:.4g} to {most:.4g} mm does.", field="belly")
    if m["spine"] > 0.6 * m["blade-width"]:
        what = f"A spine of {m['spine']:.4g} mm is too thick for a blade {m['blade-width']:.4g} mm wide"
        raise Refusal(f"{what}; {0.6 * m['blade-width']:.4g} mm is the most.", field="spine")
    if m["welt"] < m["leather"]:
        what = f"A welt of {m['welt']:.3g} mm is thinner than the sheath's {m['leather']:.3g} mm"
        raise Refusal(f"{what}; it must be at least as heavy.", field="welt")


def _check(m: Mapping[str, float], s: Sizes) -> None:
    ledge = s.handle - s.blade
    if s.stop and ledge < words.LEAST_LEDGE:
        what = f"The ledge that stops the blade would be {ledge:.1f} mm, and {words.LEAST_LEDGE:g} mm is the least"
        raise Refusal(
            f"{what}: the handle is too slim for it, so let the guard rest on the mouth (0 mm of handle inside).",
            field="handle-in",
        )
    if s.stop and s.stop < 2.0 * s.margin:
        what = f"{s.stop:.4g} mm of handle in the sheath does not guide it"
        raise Refusal(f"{what}; give 0 or at least {2 * s.margin:.4g} mm.", field="handle-in")
    if s.margin > s.welt - 3.0:
        what = (
            f"A stitch line {s.margin:.4g} mm from the edge comes too near the blade through a welt of {s.welt:.4g} mm"
        )
        raise Refusal(f"{what}; {s.welt - 3:.4g} mm is the most.", field="edge-margin")
    run = s.stop + (_lead(ledge) + _SLOPE * ledge if s.stop else 0.0)
    if s.belly < run + s.margin:
        what = f"A blade {m['blade-length']:.4g} mm long is too short for its belly and the run from the handle"
        raise Refusal(
            f"{what}; {m['blade-length'] + run + s.margin - s.belly:.4g} mm is the least.", field="blade-length"
        )


# ---- the edge


def _edge(s: Sizes) -> Path:
    """The right outer edge from the mouth to the fold at the toe, without corners: a welt's width outside the cavity."""
    low = s.blade + s.welt
    ledge = s.handle - s.blade
    toe = arch(low, s.belly, s.curve + s.welt, TOE + s.welt)
    if ledge <= 0.0:
        return Path((*polyline([(low, 0.0), (low, s.belly)]).segments, *toe))
    turn = math.atan2(1.0, _SLOPE)
    lead = _lead(ledge)  # the curve begins below the ledge, so that the welt keeps its width beside it
    top, end = s.stop + lead, s.stop + lead + _SLOPE * ledge
    hollow = lead / math.tan(turn / 2.0)
    swell = min(lead, 0.95 * (s.belly - end)) / math.tan(turn / 2.0)
    spots = [(s.mouth, 0.0), (s.mouth, top), (low, end), (low, s.belly)]
    side = rounded(spots, [0.0, hollow, swell, 0.0], field="blade-length")
    return Path((*side.segments, *toe))


def _lead(ledge: float) -> float:
    """Length, before and after, that the outer edge takes to turn into its run from handle to blade."""
    return 0.95 * math.hypot(ledge, _SLOPE * ledge) / 2.0


def _stitch_path(s: Sizes, edge: Path) -> Path:
    """The right stitch line, a margin inside the edge, from a margin below the mouth to the drain."""
    tightest = min((one.radius for one in edge.segments if isinstance(one, Arc) and one.half > 0), default=math.inf)
    if tightest <= s.margin:
        what = f"An edge margin of {s.margin:.4g} mm has no room inside a curve of the edge of {tightest:.4g} mm"
        raise Refusal(f"{what}: give less than that.", field="edge-margin")
    inner = edge.grown(-s.margin)
    return between(inner, s.margin, inner.length - _gap(s, TOE + s.welt - s.margin) - s.margin)


def _edges(line: StitchLine) -> dict[str, StitchLine]:
    """The edge seam on all three plies: hole i of each is one hole when the sheath is closed over the welt."""
    back = parts.facing(line.mirrored("edge-back"))
    return {"edge": line, "edge-back": back, "edge-welt": line.carried(Placement(), "edge-welt")}


def _gap(s: Sizes, radius: float) -> float:
    """How much of the small arc at the toe, of that radius, lies within the drain's gap."""
    return radius * math.asin(min(s.drain / radius, 1.0))


def _seams(m: Mapping[str, float], lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    ply = m["leather"]
    found = []
    for name, line in lines.items():
        plies, stack = (3, 2 * ply + m["welt"]) if name.startswith("edge") else (3, 3 * ply)
        found.append(
            parts.seam(line, name, words.seam_title(name), words.piece_of(name), plies, stack, mate=words.mate_of(name))
        )
    return tuple(found)


# ---- pieces


def _sheath(s: Sizes, edge: Path, lines: Mapping[str, StitchLine]) -> Piece:
    own = {name: line for name, line in lines.items() if words.piece_of(name) == "sheath"}
    half = Path((*polyline([(0.0, 0.0), (s.mouth, 0.0)]).segments, *edge.segments))
    cavity = _cavity(s)
    low = edge.end[1]
    drawn = (
        Drawn("cut", unfold(half, closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        Drawn("fold", polyline([(0.0, 0.0), (0.0, low)]), "fold"),
        Drawn("mark", cavity, "cavity"),
        Drawn("mark", cavity.mirrored(), "glue-edge"),
        parts.grain(s.blade * 0.5, s.stop + 8.0, s.stop + 8.0 + 0.4 * (s.belly - s.stop)),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    size = min(5.0, s.blade / 6.0)
    return Piece(
        "sheath", "Sheath", drawn, holes, parts.labels("Sheath", -s.blade * 0.5, (s.stop + s.belly) * 0.55, size)
    )


def _cavity(s: Sizes) -> Path:
    """The right edge of the cavity, from the mouth over the ledge to the fold at the toe."""
    toe = s.cavity_toe()
    if s.handle - s.blade <= 0.0:
        return Path((*polyline([(s.blade, 0.0), (s.blade, s.belly)]).segments, *toe.segments))
    ledge = s.handle - s.blade
    inner, outer = min(3.0, 0.5 * ledge), min(1.5, 0.3 * ledge)
    spots = [(s.handle, 0.0), (s.handle, s.stop), (s.blade, s.stop), (s.blade, s.belly)]
    side = rounded(spots, [0.0, inner, outer, 0.0], field="handle-in")
    return Path((*side.segments, *toe.segments))


def _welt(s: Sizes, edge: Path, line: StitchLine) -> Piece:
    """The welt lies between the edge and the cavity, from the mouth to the drain at the toe; its ledge stops the blade.

    It lies as the right half does, seen from the same side, and carries the same holes.
    """
    cavity = _cavity(s)
    outer = between(edge, 0.0, edge.length - _gap(s, TOE + s.welt))
    inner = between(cavity, 0.0, cavity.length - _gap(s, TOE)).reversed()
    joined = (
        *polyline([inner.end, outer.start]).segments,
        *outer.segments,
        *polyline([outer.end, inner.start]).segments,
        *inner.segments,
    )
    x = s.blade + s.welt / 2.0
    ledge = max(s.handle - s.blade, 0.0)
    run = s.stop + _lead(ledge) + _SLOPE * ledge
    middle, reach = (run + s.belly) / 2.0, 0.3 * (s.belly - run)
    drawn = (
        Drawn("cut", Path(joined, closed=True), "outline"),
        Drawn("stitch", line.path, "edge-welt"),
        parts.grain(x, middle - reach, middle + reach),
    )
    label_y = s.stop * 0.4 if s.stop else s.belly * 0.1
    return Piece(
        "welt", "Welt", drawn, line.holes, parts.labels("Welt", s.handle + s.welt / 2.0, label_y, s.welt / 5.0)
    )


def _dimensions(s: Sizes, edge: Path, h: Hanger) -> tuple[Dimension, ...]:
    low, left = edge.end[1], -s.mouth
    found = [
        parts.dimension("sheath", "overall height", (left, 0.0), (left, low), 14.0, "blade-length"),
        parts.dimension("sheath", "mouth width", (left, 0.0), (-left, 0.0), -12.0),
        parts.dimension("sheath", "fold to cavity", (0.0, s.belly), (s.blade, s.belly), 6.0, "blade-width"),
        parts.dimension("welt", "welt width", (s.blade, s.belly), (s.blade + s.welt, s.belly), -6.0, "welt-width"),
        *hang.dimensions(h),
    ]
    if s.stop:
        found.append(parts.dimension("sheath", "mouth to stop", (s.mouth, 0.0), (s.mouth, s.stop), -12.0, "handle-in"))
    return tuple(found)
