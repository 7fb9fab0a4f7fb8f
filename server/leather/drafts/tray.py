"""The tray: one flat piece, its walls folded up and its corners pinched along the diagonal and fixed.

blank = W - 2 R + 2 (pi / 2) (R + K t) + 2 (h - R), each way. The two points of a corner that meet lie at (u, v) and (v, u)
from the corner of the folds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.path import Path, Point
from server.geometry.placement import wrap_degrees
from server.leather import bend
from server.leather.drafts import parts
from server.leather.drafts import tray_words as words
from server.leather.drafts.tips import flipped
from server.leather.drafts.tray_sizes import Sizes
from server.leather.measure import Given, chosen, complete
from server.leather.norms_sewing import LEAST_SLOT_MARGIN
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Hole, Piece
from server.leather.stitch import StitchLine, stitch_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Tray"
SUMMARY = "A flat piece with its walls folded up and its corners pinched, held by snaps, rivets or stitches."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = words.PRESETS
_CLEAR = 2.0
"""mm of leather between a fixing's hole and the fold of the corner."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a tray from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, {"ear": words.ear(given["hole"] or 0.0)})
    s, fixing = _sizes(m), chosen(MEASURES, m, "fixing")
    _check(m, s, fixing)
    lines = _corner_lines(s, m["pitch"]) if fixing == "stitched" else {}
    seams = _seams(m, lines)
    pieces = (_tray(s, fixing, lines),)
    sentences = words.sentences(given, m, s, seams)
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(s, fixing, seams), sentences, _dimensions(m, s))


def _sizes(m: Mapping[str, float]) -> Sizes:
    turn = bend.allowance(math.pi / 2.0, m["bend-radius"], m["leather"], m["neutral"])
    wall = m["wall"] - m["bend-radius"] + turn / 2.0
    width, length = (words.inside(m, name) - 2.0 * m["bend-radius"] + turn for name in ("width", "length"))
    stitched = chosen(MEASURES, m, "fixing") == "stitched"
    return Sizes(
        half=width / 2.0 + wall,
        height=length + 2.0 * wall,
        fold=width / 2.0,
        fold_top=wall,
        bend=turn,
        corner=m["corner-radius"],
        up=wall - m["ear"],
        ear=m["edge-margin"] if stitched else m["ear"],
        hole=m["hole"],
        margin=m["edge-margin"],
    )


def _check(m: Mapping[str, float], s: Sizes, fixing: str) -> None:
    if s.corner > s.wall:
        what = f"A corner radius of {s.corner:.4g} mm is larger than the wall"
        raise Refusal(f"{what}; {s.wall:.4g} mm is the most.", field="corner-radius")
    if min(s.fold, s.height / 2.0 - s.fold_top) < s.bend:
        raise Refusal(
            f"The base is smaller than its folds, which take {2 * s.bend:.3g} mm; make the bend radius smaller.",
            field="bend-radius",
        )
    if m["ear"] < m["hole"] / 2.0 + LEAST_SLOT_MARGIN.value:
        what = f"A fixing {m['ear']:.4g} mm from the edge leaves too little leather beside its hole"
        raise Refusal(f"{what}; {m['hole'] / 2 + LEAST_SLOT_MARGIN.value:.4g} mm is the least.", field="ear")
    if fixing == "stitched":
        if s.wall - 3.0 * s.margin < m["pitch"]:
            what = f"Walls of {m['wall']:.4g} mm are too low for a row of stitches"
            raise Refusal(f"{what}; make them {m['pitch'] + 3 * s.margin - s.wall:.3g} mm higher.", field="wall")
        if s.corner > s.wall - s.margin:
            what = f"A corner radius of {s.corner:.4g} mm reaches the stitches"
            raise Refusal(f"{what}; {s.wall - s.margin:.4g} mm is the most.", field="corner-radius")
        return
    short = (s.hole / 2.0 + _CLEAR) * math.sqrt(2.0) - (s.up - s.ear)
    if short > 0.0:
        what = f"Walls of {m['wall']:.4g} mm are too low for a fixing {s.ear:.4g} mm from edge and corner"
        raise Refusal(f"{what}; make them {short:.3g} mm higher or the ear smaller.", field="wall")
    if s.corner > s.wall - s.ear:
        what = f"A corner radius of {s.corner:.4g} mm comes near the fixings"
        raise Refusal(f"{what}; {s.wall - s.ear:.4g} mm is the most.", field="corner-radius")


# ---- corners: drafted at the lower right, then turned over


def _pair(s: Sizes) -> tuple[Point, Point]:
    """The two points of the lower right corner that meet."""
    y = s.height - s.fold_top
    return (s.fold + s.up, y + s.ear), (s.fold + s.ear, y + s.up)


def _corner_lines(s: Sizes, pitch: float) -> dict[str, StitchLine]:
    x, y = s.fold, s.height - s.fold_top
    near, far = 2.0 * s.margin, s.wall - s.margin
    walls = {
        "": stitch_line(polyline([(x + near, y + s.margin), (x + far, y + s.margin)]), pitch, "x"),
        "-mate": parts.facing(stitch_line(polyline([(x + s.margin, y + near), (x + s.margin, y + far)]), pitch, "x")),
    }
    found: dict[str, StitchLine] = {}
    for end, line in walls.items():
        low_right, low_left = f"corner-1{end}", f"corner-2{end}"
        found[low_right] = parts.moved(line, line.holes, line.path, low_right)
        found[low_left] = line.mirrored(low_left)
        found[f"corner-3{end}"] = _over(found[low_left], s.height, f"corner-3{end}")
        found[f"corner-4{end}"] = _over(found[low_right], s.height, f"corner-4{end}")
    return dict(sorted(found.items()))


def _over(line: StitchLine, height: float, name: str) -> StitchLine:
    """The line turned upside down."""
    holes = [Hole(h.x, height - h.y, wrap_degrees(-h.angle), name, h.slant) for h in line.holes]
    return parts.moved(line, holes, flipped(line.path, height / 2.0), name)


def _seams(m: Mapping[str, float], lines: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    stack = 2.0 * m["leather"]
    return tuple(
        parts.seam(line, name, words.corner_title(name), "tray", 2, stack, mate=words.mate_of(name))
        for name, line in lines.items()
    )


def _tray(s: Sizes, fixing: str, lines: Mapping[str, StitchLine]) -> Piece:
    folds = {
        **_both_sides("fold-side", polyline([(s.fold, s.fold_top), (s.fold, s.height - s.fold_top)])),
        "fold-top": polyline([(-s.fold, s.fold_top), (s.fold, s.fold_top)]),
        "fold-bottom": polyline([(-s.fold, s.height - s.fold_top), (s.fold, s.height - s.fold_top)]),
    }
    reach = s.wall - s.corner * (1.0 - math.sqrt(0.5))
    low = polyline([(s.fold, s.height - s.fold_top), (s.fold + reach, s.height - s.fold_top + reach)])
    ears = {**_both_sides("ear-bottom", low), **_both_sides("ear-top", flipped(low, s.height / 2.0))}
    holes = [] if fixing == "stitched" else _fixings(s)
    drawn = (
        Drawn("cut", unfold(parts.box_half(s.half, 0.0, s.height, s.corner, s.corner), closed=True), "outline"),
        *(Drawn("slot", path, name) for name, path in holes),
        *(Drawn("stitch", line.path, name) for name, line in lines.items()),
        *(Drawn("fold", path, name) for name, path in {**folds, **ears}.items()),
        parts.centre(0.0, s.height),
        parts.grain(s.fold * 0.5, s.height * 0.38, s.height * 0.62),
    )
    all_holes = tuple(hole for line in lines.values() for hole in line.holes)
    size = parts.label_size(s.fold, s.height / 2.0 - s.fold_top)
    return Piece("tray", "Tray", drawn, all_holes, parts.labels("Tray", -s.fold * 0.5, s.height / 2.0 - size, size))


def _both_sides(name: str, path: Path) -> dict[str, Path]:
    return {f"{name}-right": path, f"{name}-left": path.mirrored()}


def _fixings(s: Sizes) -> list[tuple[str, Path]]:
    found: list[tuple[str, Path]] = []
    for number, (x, y) in enumerate(_pair(s), 1):
        right = parts.circle(x, y, s.hole), parts.circle(x, s.height - y, s.hole)
        for row, path in zip(("bottom", "top"), right, strict=True):
            found.append((f"{row}-right-{number}", path))
            found.append((f"{row}-left-{number}", path.mirrored()))
    return found


def _dimensions(m: Mapping[str, float], s: Sizes) -> tuple[Dimension, ...]:
    low = s.height - s.fold_top
    found = [
        parts.dimension("tray", "cut width", (-s.half, s.height), (s.half, s.height), 12.0),
        parts.dimension("tray", "cut height", (-s.half, 0.0), (-s.half, s.height), 14.0),
        parts.dimension("tray", "fold to fold", (-s.fold, low), (s.fold, low), s.fold_top + 4.0 - s.wall, "width"),
        parts.dimension("tray", "fold to edge", (s.fold, low), (s.half, low), -s.height / 4.0, "wall"),
    ]
    if chosen(MEASURES, m, "fixing") != "stitched":
        (x, y), _ = _pair(s)
        found.append(parts.dimension("tray", "fixing to edge", (x, y), (s.half, y), 8.0, "ear"))
    return tuple(found)
