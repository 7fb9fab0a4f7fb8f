"""The pouch with a flap: a two-ply pocket whose back goes on over the top and down the front, where it closes.

The front is flat, or moulded over the thing: then the seam runs round the thing's foot and the front's blank is larger.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Path
from server.leather import norms
from server.leather.drafts import flap_pouch_words as words
from server.leather.drafts import held, moulded, parts, stepping
from server.leather.drafts.flap import KEYHOLE, bent, keyhole
from server.leather.drafts.flap_pouch_sizes import Sizes
from server.leather.fit import Section
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern, Seam
from server.leather.piece import Drawn, Piece
from server.leather.stitch import StitchLine, stitch_line
from server.leather.things import Preset

NAME = words.NAME
TITLE = "Pouch with flap"
SUMMARY = "A two-ply pocket, flat or moulded, with a flap that closes with a snap, a stud or a tucked tongue."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = words.PRESETS
PLIES = 2
_PLAY = 3.0
"""mm beside the tongue under its bridge; common practice, no source."""
_BEYOND = 12.0
"""mm a tongue goes on beyond its bridge; common practice, no source."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a flap pouch from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    m = parts.filled(given, words.derived(given))
    section, closure = parts.section_of(MEASURES, m), chosen(MEASURES, m, "closure")
    s = _sizes(m, closure)
    _check(m, s, section, closure)
    pocket = stepping.stepped(MEASURES, m, s.u(0.0, s.margin), "pocket")
    rows = _rows(s, m) if closure == "tuck" else {}
    pieces = (_front(s, closure, pocket, rows), _back(s, closure, pocket), *_bridge(s, m, rows))
    seams = _seams(m, s, pocket, rows)
    sentences = (*words.sentences(given, m, s, section, seams), *stepping.said(MEASURES, m, seams[0], pocket))
    return Pattern(NAME, TITLE, m, pieces, seams, words.steps(m, s, closure, seams), sentences, _dimensions(s, closure))


def _sizes(m: Mapping[str, float], closure: str) -> Sizes:
    ply, margin = m["leather"], m["edge-margin"]
    half = m["width"] / 2.0 + m["side-allowance"] + margin
    flap = bent(
        half, half - m["flap-taper"], m["flap"], m["flap-corner"], m["stands-out"], m["thickness"] + ply, m["bend-radius"], ply,
        m["neutral"],
    )  # fmt: skip
    inset = m["closure-inset"]
    if closure == "tuck":
        inset = _BEYOND + m["bridge"] / 2.0
        flap = replace(flap, tongue=m["tongue"] / 2.0, shoulder=_BEYOND + m["bridge"] + _PLAY)
    return Sizes(
        half_seam=half - margin,
        floor=m["height"] - m["stands-out"] + m["bottom-allowance"],
        corner=m["corner-radius"],
        margin=margin,
        flap=flap,
        closure=m["flap"] - inset,
        hole=m["closure-hole"],
        bridge=m["bridge"] / 2.0,
        row=m["tongue"] / 2.0 + _PLAY,
        blank=moulded.blank(m, (margin + m["trim"],) * 2) if chosen(MEASURES, m, "front") == "moulded" else (0.0, 0.0),
        thing=(m["width"] / 2.0, m["height"] - m["stands-out"]),
    )


# ---- what cannot be made


def _check(m: Mapping[str, float], s: Sizes, section: Section, closure: str) -> None:
    held.check_stands_out(m, 0.5, "pocket")
    _check_room(m, s, section)
    held.check_corner(s.corner, min(s.half_seam, s.floor - s.margin))
    _check_flap(s, closure)
    if closure == "tuck":
        _check_tongue(m, s)


def _check_room(m: Mapping[str, float], s: Sizes, section: Section) -> None:
    if s.moulded:
        moulded.check_room(m)
        return
    held.check_girth(m, section, 2.0 * s.half_seam)


def _check_flap(s: Sizes, closure: str) -> None:
    flap = s.flap
    if flap.reach > s.bottom:
        what = f"A flap of {flap.reach:.4g} mm reaches below the pouch"
        raise Refusal(f"{what}; {s.bottom:.4g} mm is the most.", field="flap")
    room = s.hole / 2.0 + s.margin
    if closure != "tuck" and not room <= flap.reach - s.closure <= flap.reach - room - (
        2.0 * s.hole if closure == "stud" else 0.0
    ):
        what = f"A closure {flap.reach - s.closure:.4g} mm from the end of a flap of {flap.reach:.4g} mm lies too near an edge"
        raise Refusal(f"{what}; {room:.4g} mm is the least, and a longer flap gives more room.", field="closure-inset")
    if flap.end_half < 2.0 * s.hole + s.margin:
        what = f"The flap ends {2 * max(flap.end_half, 0.0):.4g} mm wide, too narrow for its closure"
        raise Refusal(f"{what}; taper it less.", field="flap-taper")
    most = 0.9 * min(flap.end_half, flap.reach / 2.0)
    if flap.corner > most and closure != "tuck":
        what = f"A flap corner of {flap.corner:.4g} mm is too round for this flap"
        raise Refusal(f"{what}; {most:.4g} mm is the most.", field="flap-corner")


def _check_tongue(m: Mapping[str, float], s: Sizes) -> None:
    flap = s.flap
    widest = 2.0 * (min(m["width"] / 2.0, flap.end_half + _PLAY) - _PLAY - m["leather"] - s.margin)
    if m["tongue"] > widest:
        what = f"A tongue {m['tongue']:.4g} mm wide leaves no room for its bridge"
        raise Refusal(f"{what}; {max(widest, 0.0):.4g} mm is the most.", field="tongue")
    if 2.0 * s.bridge < 2.0 * s.margin + m["pitch"]:
        what = f"A bridge {2 * s.bridge:.4g} mm high has no room for a row of stitches"
        raise Refusal(f"{what}; {2 * s.margin + m['pitch']:.4g} mm is the least.", field="bridge")
    least = flap.shoulder + 1.3 * (flap.end_half - flap.tongue) + 2.0 * _PLAY
    if flap.reach < least:
        what = f"A flap of {flap.reach:.4g} mm is too short for a tongue and its bridge"
        raise Refusal(f"{what}; {least:.4g} mm is the least.", field="flap")


# ---- lines


def _rows(s: Sizes, m: Mapping[str, float]) -> dict[str, StitchLine]:
    """The rows that hold the bridge, on the front and on the bridge itself, which climbs over the tongue."""
    low, far = s.bridge - s.margin, s.row + m["leather"]
    front = stitch_line(polyline([(s.row, s.closure - low), (s.row, s.closure + low)]), m["pitch"], "bridge-right")
    own = stitch_line(polyline([(far, s.bridge - low), (far, s.bridge + low)]), m["pitch"], "bridge-right-mate")
    return {
        "bridge-right": front,
        "bridge-left": front.mirrored("bridge-left"),
        "bridge-right-mate": own,
        "bridge-left-mate": own.mirrored("bridge-left-mate"),
    }


def _seams(m: Mapping[str, float], s: Sizes, pocket: StitchLine, rows: Mapping[str, StitchLine]) -> tuple[Seam, ...]:
    stack = PLIES * m["leather"]
    found = [parts.seam(pocket, "pocket", "Pocket seam", "back" if s.moulded else "front", PLIES, stack)]
    for name, line in rows.items():
        piece = "bridge" if words.mate_of(name) else "front"
        found.append(parts.seam(line, name, words.ROW_TITLES[name], piece, PLIES, stack, mate=words.mate_of(name)))
    return tuple(found)


# ---- pieces


def _front(s: Sizes, closure: str, pocket: StitchLine, rows: Mapping[str, StitchLine]) -> Piece:
    on_front = {name: line for name, line in rows.items() if not words.mate_of(name)}
    size = parts.label_size(s.half_seam, s.floor)
    drawn = (
        Drawn("cut", _front_outline(s), "outline"),
        *(() if s.moulded else (Drawn("stitch", pocket.path, "pocket"),)),
        *(Drawn("stitch", line.path, name) for name, line in on_front.items()),
        *(() if closure == "tuck" else (Drawn("slot", parts.circle(0.0, s.closure, s.hole), "closure"),)),
        *((Drawn("mark", moulded.face(*s.thing), "thing"),) if s.moulded else ()),
        parts.centre(0.0, s.blank[1] or s.bottom),
        parts.grain(s.half_seam * 0.6, s.floor * 0.35, s.floor * 0.8),
    )
    holes = (*(() if s.moulded else pocket.holes), *(hole for line in on_front.values() for hole in line.holes))
    title = "Front, to mould" if s.moulded else "Front"
    return Piece("front", "Front", drawn, holes, parts.labels(title, -s.half_seam * 0.5, s.floor * 0.78, size))


def _front_outline(s: Sizes) -> Path:
    lip = parts.lip(s.margin)
    if s.moulded:
        half, bottom = s.blank
        return unfold(parts.box_half(half, 0.0, bottom, lip, min(s.corner + s.margin, half)), closed=True)
    return unfold(parts.box_half(s.half, 0.0, s.bottom, lip, s.corner + s.margin), closed=True)


def _back(s: Sizes, closure: str, pocket: StitchLine) -> Piece:
    side = s.flap.side()
    low = rounded([side.end, (s.half, s.bottom), (0.0, s.bottom)], [0.0, s.corner + s.margin, 0.0])
    glue = s.u(norms.GLUE_REACH.value, 0.0)
    size = parts.label_size(s.half_seam, s.floor)
    drawn = (
        Drawn("cut", unfold(Path((*side.segments, *low.segments)), closed=True), "outline"),
        *((Drawn("stitch", pocket.path, "pocket"),) if s.moulded else ()),
        *_flap_hole(s, closure),
        *s.flap.fold_lines(),
        Drawn("mark", polyline([(-s.half, 0.0), (s.half, 0.0)]), "mouth"),
        Drawn("mark", unfold(glue), "glue-edge"),
        parts.centre(-s.flap.rise, s.bottom),
        parts.grain(s.half_seam * 0.5, s.floor * 0.3, s.floor * 0.75),
    )
    holes = pocket.holes if s.moulded else ()
    return Piece(
        "back", "Back and flap", drawn, holes, parts.labels("Back and flap", -s.half_seam * 0.5, s.floor * 0.5, size)
    )


def _flap_hole(s: Sizes, closure: str) -> tuple[Drawn, ...]:
    y = s.flap.at(s.closure)
    if closure == "snap":
        return (Drawn("slot", parts.circle(0.0, y, s.hole), "closure"),)
    return (Drawn("slot", keyhole(y, s.hole + KEYHOLE), "closure"),) if closure == "stud" else ()


def _bridge(s: Sizes, m: Mapping[str, float], rows: Mapping[str, StitchLine]) -> tuple[Piece, ...]:
    own = {name: line for name, line in rows.items() if words.mate_of(name)}
    if not own:
        return ()
    half, high = s.row + m["leather"] + s.margin, 2.0 * s.bridge
    lip = parts.lip(s.margin)
    drawn = (
        Drawn("cut", unfold(parts.box_half(half, 0.0, high, lip, lip), closed=True), "outline"),
        *(Drawn("stitch", line.path, name) for name, line in own.items()),
        parts.centre(0.0, high),
        parts.grain(half * 0.35, high * 0.25, high * 0.75),
    )
    holes = tuple(hole for line in own.values() for hole in line.holes)
    return (Piece("bridge", "Bridge", drawn, holes, parts.labels("Bridge", -half * 0.35, high * 0.45, high / 8.0)),)


def _dimensions(s: Sizes, closure: str) -> tuple[Dimension, ...]:
    back, far = "back", s.half
    found = [
        parts.dimension(back, "width", (-far, s.bottom), (far, s.bottom), 12.0),
        parts.dimension(back, "whole height", (-far, -s.flap.rise), (-far, s.bottom), 24.0),
        parts.dimension(back, "pocket", (-far, 0.0), (-far, s.bottom), 12.0),
        parts.dimension(back, "over the top", (far, -s.flap.over), (far, 0.0), -12.0, "thickness"),
        parts.dimension(back, "flap", (far, -s.flap.rise), (far, -s.flap.over), -12.0, "flap"),
        parts.dimension("front", "mouth to closure", (0.0, 0.0), (0.0, s.closure), -far - 12.0, "closure-inset"),
    ]
    piece = "back" if s.moulded else "front"
    ends = (-s.half_seam, s.margin), (s.half_seam, s.margin)
    found.append(parts.dimension(piece, "seam to seam", *ends, -12.0 - s.margin, "side-allowance"))
    if closure == "tuck":
        found.append(
            parts.dimension(
                back, "tongue", (-s.flap.tongue, -s.flap.rise), (s.flap.tongue, -s.flap.rise), -10.0, "tongue"
            )
        )
    return tuple(found)
