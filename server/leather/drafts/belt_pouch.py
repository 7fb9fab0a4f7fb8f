"""The belt pouch: a two-ply pocket with a wing each side and a belt slot in each wing.

The half to the right of the centre line is drafted and mirrored. Everything hangs on the pocket's stitch line, so the
edge margin moves the edge and never the seam:

    half seam = W / 2 + a      floor = (height - stands-out) + bottom allowance      wing = half seam + 2 gap + slot width
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from calibration.refusal import Refusal
from server.geometry.build import chain, polyline, rounded_rectangle, unfold
from server.geometry.offset import grow_half
from server.geometry.path import Arc, Path, Point
from server.leather import norms
from server.leather.drafts import belt_pouch_words as words
from server.leather.drafts import held, moulded, parts, stepping
from server.leather.drafts.belt_pouch_sizes import Sizes
from server.leather.fit import Section, easy_allowance, seam_to_seam, side_allowance
from server.leather.measure import Given, chosen, complete
from server.leather.pattern import Dimension, Measure, Pattern
from server.leather.piece import Drawn, Label, Piece
from server.leather.ring import ring_line
from server.leather.stitch import StitchLine
from server.leather.things import Preset

NAME = "belt-pouch"
TITLE = "Belt pouch"
SUMMARY = "A two-ply pocket for a thing carried on the belt, with a wing each side and a belt slot in each wing."
MEASURES: tuple[Measure, ...] = words.MEASURES
PRESETS: tuple[Preset, ...] = ()
PLIES = 2
_LEAST_WING = 3.0
"""mm a wing must stand out from the body."""
_BLEND = 1.5
"""Radius of the arcs that lead the wing into the body side, in steps: each arc turns 48 degrees, an easy cut."""


def draft(values: Mapping[str, Given]) -> Pattern:
    """Draft a belt pouch from measures in mm; a measure that is left out or None takes its default or is derived.

    Raises:
        Refusal: a measure out of range, or measures that cannot go together; the field is the measure to change.

    """
    given = complete(values, MEASURES)
    measures = _derived(given)
    sizes = _sizes(measures)
    section = parts.section_of(MEASURES, measures)
    _check(measures, sizes, section)
    lines = _stitch_lines(measures, sizes)
    pieces = (_blank(sizes), _lined(sizes, lines)) if sizes.moulded else (_lined(sizes, lines), _back(sizes))
    stack, master = PLIES * measures["leather"], words.master(sizes)
    seams = tuple(parts.seam(line, name, words.SEAM_TITLES[name], master, PLIES, stack) for name, line in lines.items())
    sentences = words.sentences(given, measures, sizes, section, seams)
    sentences += stepping.said(MEASURES, measures, seams[0], lines["pocket"])
    return Pattern(
        NAME, TITLE, measures, pieces, seams, words.steps(measures, sizes, seams), sentences, _dimensions(sizes)
    )


def _derived(given: Mapping[str, float | None]) -> dict[str, float]:
    """Fill in the allowances that were left empty: an easy fit (close where the thing is too thin), or a moulded front's room."""
    m = {name: value for name, value in given.items() if value is not None}
    easy = {
        "side-allowance": side_allowance(m["thickness"], m["leather"]),
        "bottom-allowance": easy_allowance(m["thickness"]),
    }
    return parts.filled(given, moulded.allowances(m["leather"]) if m["front"] else easy)


def _sizes(m: Mapping[str, float]) -> Sizes:
    flat = _flat_sizes(m)
    if chosen(MEASURES, m, "front") != "moulded":
        return flat
    rim = (flat.wing - flat.half_seam + flat.back_margin, flat.margin + flat.back_margin)
    return replace(flat, blank=moulded.blank(m, rim))


def _flat_sizes(m: Mapping[str, float]) -> Sizes:
    return Sizes(
        half_seam=seam_to_seam(m["width"], m["side-allowance"]) / 2.0,
        floor=m["height"] - m["stands-out"] + m["bottom-allowance"],
        top=m["slot-gap"] / 2.0,
        corner=m["corner-radius"],
        margin=m["edge-margin"],
        gap=m["slot-gap"],
        slot_width=m["slot-width"],
        slot_height=m["belt"],
        pitch=m["pitch"],
        back_margin=m["back-margin"],
        blank=(0.0, 0.0),
        thing=(m["width"] / 2.0, m["height"] - m["stands-out"]),
    )


# ---- what cannot be made


def _check(m: Mapping[str, float], s: Sizes, section: Section) -> None:
    if m["stands-out"] >= m["height"]:
        what = f"The mouth would be above the thing: {m['stands-out']:.4g} mm is to stand out of a height of {m['height']:.4g} mm"
        raise Refusal(f"{what}; let less stand out.", field="stands-out")
    if s.moulded:
        moulded.check_room(m)
    else:
        held.check_girth(m, section, 2.0 * s.half_seam)
    if s.corner > s.half_seam:
        what = f"A corner radius of {s.corner:.4g} mm is larger than half the bottom seam, {s.half_seam:.4g} mm"
        raise Refusal(f"{what}; make it smaller.", field="corner-radius")
    _check_wing(s)
    ring = _ring_right(s).length
    most = ring / norms.LEAST_RING_HOLES.value
    if s.pitch > most:
        what = f"A pitch of {s.pitch:.4g} mm is too long for the {ring:.4g} mm ring round a slot"
        raise Refusal(f"{what}; {most:.3g} mm is the most.", field="pitch")


def _check_wing(s: Sizes) -> None:
    if s.slot_width > s.slot_height:
        what = f"The slots would be wider ({s.slot_width:.4g} mm) than they are tall ({s.slot_height:.4g} mm)"
        raise Refusal(f"{what}; make them narrower than the belt.", field="slot-width")
    if s.wing - s.half < _LEAST_WING:
        what = f"The slots are wider than the wings: an edge margin of {s.margin:.4g} mm leaves {max(s.wing - s.half, 0):.3g} mm"
        raise Refusal(
            f"{what} of wing; make the edge margin at most {s.wing - s.half_seam - _LEAST_WING:.4g} mm.",
            field="edge-margin",
        )
    if s.corner > s.floor - s.top:
        what = f"A corner radius of {s.corner:.4g} mm is larger than the side seam, {s.floor - s.top:.4g} mm"
        raise Refusal(f"{what}; make it smaller.", field="corner-radius")
    short = _least_blend(s) - _blend_room(s)
    if short > 0.0:
        what = f"The slots are too tall for the pouch: {s.slot_height:.4g} mm of belt leave the wings {short:.1f} mm short of the"
        raise Refusal(f"{what} bottom corners; take a smaller corner radius or let less stand out.", field="belt")


# ---- the outline


def _blend_room(s: Sizes) -> float:
    """Height there is for the two arcs that lead from the wing into the body side."""
    return s.floor - s.corner - (s.slot_bottom - s.slot_radius)


def _least_blend(s: Sizes) -> float:
    """Least height of those arcs: two arcs of radius R that step in by d are sqrt(4 R d - d^2) high."""
    step = s.wing - s.half
    return math.sqrt(4.0 * max(step / 2.0, s.reach) * step - step * step)


def _blend_radius(s: Sizes) -> float:
    """Radius of both arcs: one and a half times the step in, less where there is no room, never nearer the slot than the gap."""
    step, room = s.wing - s.half, _blend_room(s)
    return min(max(_BLEND * step, s.reach), (room * room + step * step) / (4.0 * step))


def _outline_half(s: Sizes) -> Path:
    """The right half of the outline, clockwise: mouth, wing corner, wing edge, blend, body side, bottom corner, bottom."""
    radius, step = _blend_radius(s), s.wing - s.half
    turn = math.degrees(math.acos(max(-1.0, 1.0 - step / (2.0 * radius))))
    high = s.slot_bottom - s.slot_radius
    low = high + 2.0 * radius * math.sin(math.radians(turn))
    outer = s.corner + s.margin
    arcs = (
        Arc.of((s.wing - s.reach, s.reach), s.reach, -90.0, 90.0),
        Arc.of((s.wing - radius, high), radius, 0.0, turn),
        Arc.of((s.half + radius, low), radius, 180.0 + turn, -turn),
        Arc.of((s.half_seam - s.corner, s.floor - s.corner), outer, 0.0, 90.0),
    )
    return chain((0.0, 0.0), arcs, (0.0, s.bottom))


def _slot_right(s: Sizes) -> Path:
    return rounded_rectangle(s.slot_in, s.gap, s.slot_out, s.slot_bottom, s.slot_radius)


def _ring_right(s: Sizes) -> Path:
    """The stitch ring, half the gap outside the slot, starting beside the pocket seam."""
    off = s.gap / 2.0
    return rounded_rectangle(s.slot_in - off, s.gap - off, s.slot_out + off, s.slot_bottom + off, s.slot_radius + off)


def _stitch_lines(m: Mapping[str, float], s: Sizes) -> dict[str, StitchLine]:
    pocket = stepping.stepped(MEASURES, m, s.u(0.0, s.top), "pocket")
    ring = ring_line(_ring_right(s), s.pitch, "ring-right", pocket.points)
    if ring.sentence is not None:
        what = f"Holes of a slot ring come within {ring.nearest:.1f} mm of the pocket seam's at a pitch of {s.pitch:.4g} mm"
        least = 2.0 * norms.LEAST_HOLE_DISTANCE.value * s.pitch
        raise Refusal(f"{what}; a slot gap of {least:.1f} mm is enough.", field="slot-gap")
    return {"pocket": pocket, "ring-left": ring.line.mirrored("ring-left"), "ring-right": ring.line}


# ---- the pieces


def _lined(s: Sizes, lines: Mapping[str, StitchLine]) -> Piece:
    """The piece that carries slots, seams and the edge: the front, or behind a moulded front the back."""
    slot = _slot_right(s)
    title = words.master(s).capitalize()
    drawn = (
        Drawn("cut", unfold(_outline_half(s), closed=True), "outline"),
        Drawn("slot", slot.mirrored(), "slot-left"),
        Drawn("slot", slot, "slot-right"),
        *(Drawn("stitch", line.path, name) for name, line in lines.items()),
        *((Drawn("mark", unfold(s.u(norms.GLUE_REACH.value, 0.0)), "glue-edge"),) if s.moulded else ()),
        *_marks(s),
    )
    holes = tuple(hole for line in lines.values() for hole in line.holes)
    return Piece(words.master(s), title, drawn, holes, _labels(s, title))


def _blank(s: Sizes) -> Piece:
    """The front that is moulded: a plain blank, its mouth finished and flush, wide enough for the wings."""
    half, bottom = s.blank
    outline = parts.box_half(half, 0.0, bottom, parts.lip(s.margin), min(s.corner + s.margin, half))
    drawn = (
        Drawn("cut", unfold(outline, closed=True), "outline"),
        Drawn("mark", moulded.face(*s.thing), "thing"),
        *_marks(s),
    )
    return Piece("front", "Front", drawn, (), _labels(s, "Front, to mould"))


def _back(s: Sizes) -> Piece:
    half = _outline_half(s)
    drawn = (
        Drawn("cut", grow_half(half, s.back_margin), "outline"),
        Drawn("mark", unfold(half, closed=True), "trim"),
        Drawn("mark", unfold(s.u(norms.GLUE_REACH.value, 0.0)), "glue-edge"),
        *_marks(s),
    )
    return Piece("back", "Back", drawn, (), _labels(s, "Back"))


def _marks(s: Sizes) -> tuple[Drawn, Drawn]:
    """The centre line, and a grain arrow half-way to the side seam: the back of the hide runs up and down."""
    x, tip, tail = s.half_seam / 2.0, s.floor * 0.25, s.floor * 0.65
    barb = (tail - tip) * 0.08
    arrow = polyline([(x, tail), (x, tip), (x - barb, tip + 2 * barb), (x, tip), (x + barb, tip + 2 * barb)])
    centre = polyline([(0.0, 0.0), (0.0, s.bottom)])
    return Drawn("mark", centre, "centre"), Drawn("mark", arrow, "grain", -90.0)


def _labels(s: Sizes, title: str) -> tuple[Label, Label]:
    size = min(7.0, s.half_seam / 8.0, s.floor / 12.0)
    x, y = -s.half_seam / 2.0, s.floor * 0.45
    return Label(title, x, y, size), Label("cut 1", x, y + 1.6 * size, 0.7 * size)


def _dimensions(s: Sizes) -> tuple[Dimension, ...]:
    def line(label: str, start: Point, end: Point, offset: float, measure: str | None = None) -> Dimension:
        return Dimension(label, words.master(s), start, end, offset, measure, math.dist(start, end))

    above, turn = -s.gap - 6.0, s.half_seam - s.corner
    return (
        line("overall width", (-s.wing, 0.0), (s.wing, 0.0), -22.0),
        line("seam to seam", (-s.half_seam, s.top), (s.half_seam, s.top), -12.0 - s.top, "side-allowance"),
        line("overall height", (-s.wing, 0.0), (-s.wing, s.bottom), 14.0),
        line(
            "floor of the pocket",
            (s.half_seam, 0.0),
            (s.half_seam, s.floor),
            s.half_seam - s.wing - 14.0,
            "bottom-allowance",
        ),
        line("body width", (-s.half, s.bottom), (s.half, s.bottom), 12.0),
        line("slot height", (s.slot_out, s.gap), (s.slot_out, s.slot_bottom), s.slot_out - s.wing - 6.0, "belt"),
        line("slot width", (-s.slot_out, s.gap), (-s.slot_in, s.gap), above, "slot-width"),
        line("slot gap", (s.slot_out, s.gap), (s.wing, s.gap), above, "slot-gap"),
        line("edge margin", (turn, s.floor), (turn, s.bottom), turn - s.half - 8.0, "edge-margin"),
    )
