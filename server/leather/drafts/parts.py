"""What every family is made of: measures that recur, seams with their numbers, marks, labels and dimension lines."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import cast

from calibration.refusal import Refusal
from server.geometry.build import polyline, unfold
from server.geometry.fillet import rounded
from server.geometry.path import Arc, Path, Point
from server.geometry.placement import wrap_degrees
from server.leather import norms
from server.leather.fit import Section, Shape
from server.leather.measure import chosen
from server.leather.pattern import Dimension, Measure, Seam, Unit
from server.leather.piece import Drawn, Hole, Label
from server.leather.stitch import StitchLine, stitch_line
from server.leather.strike import irons_used, plan
from server.leather.thread import saddle_stitch

PRACTICE = "common practice, no source"
EXAMPLE = "the practice workshop's own thing"
_LIP = 3.0
_GIVES = "How much the leather gives in use, measured on a strip: the fit is also told for when it has. 0 until one was measured."

_ROUND = 0.02
"""A section counts as round when width and thickness differ by no more than this share."""

Asker = Callable[..., Measure]


def measure(
    family: str,
    name: str,
    title: str,
    meaning: str,
    bounds: tuple[float, float],
    default: float | None,
    reference: str = PRACTICE,
    unit: Unit = "length",
) -> Measure:
    """Return a measure of a family; its figure is called after both."""
    return Measure(name, title, meaning, unit, bounds[0], bounds[1], default, reference, f"{family}/{name}")


def asker(family: str) -> Asker:
    """Return `measure` for one family."""
    return partial(measure, family)


def choice(
    family: str, name: str, title: str, meaning: str, choices: tuple[tuple[str, str], ...], default: int = 0
) -> Measure:
    """Return a measure that is one of several; choices are (name, title)."""
    last = float(len(choices) - 1)
    return Measure(name, title, meaning, "choice", 0.0, last, float(default), PRACTICE, f"{family}/{name}", choices)


def leather(
    family: str, default: float, bounds: tuple[float, float] = (0.4, 6.0), reference: str = PRACTICE
) -> Measure:
    """Return the thickness of the leather."""
    meaning = "Thickness of one ply, in mm, in or oz."
    return measure(family, "leather", "Leather", meaning, bounds, default, reference, "leather")


def edge_margin(family: str, default: float, bounds: tuple[float, float] = (2.0, 25.0)) -> Measure:
    """Return the leather outside the stitch line."""
    meaning = "From the stitch line out to the edge; it moves the edge and never the stitch line."
    return measure(family, "edge-margin", "Edge margin", meaning, bounds, default)


def pitch(family: str, default: float) -> Measure:
    """Return the wished-for distance between stitch holes."""
    meaning = "From one stitch hole to the next; eased so that a whole number fits."
    return measure(family, "pitch", "Pitch", meaning, (1.5, 12.0), default)


def neutral(family: str) -> Measure:
    """Return K, the neutral axis."""
    meaning = "K, where in the ply a bend keeps its length: 0 inside, 1 outside. Measured on a bent strip; one half until then."
    norm = norms.NEUTRAL_AXIS
    return measure(family, "neutral", "Neutral axis K", meaning, (0.0, 1.0), norm.value, norm.reference, "ratio")


def stretch(family: str, meaning: str = _GIVES) -> Measure:
    """Return how much the leather stretches, as a strip of it showed."""
    reference = "none until a strip has been measured; " + PRACTICE
    return measure(family, "stretch", "Stretch", meaning, (0.0, 30.0), 0.0, reference, "percent")


def section(family: str, radius: float = 3.0, default: int = 0, thing: str = "thing") -> tuple[Measure, Measure]:
    """Return the shape of the thing's section and the radius of its corners; `default` is a place in the shapes."""
    shapes = (
        ("rectangle", "Rectangle"),
        ("rounded", "Rounded rectangle"),
        ("ellipse", "Ellipse"),
        ("round", "Round"),
    )
    corners = f"Radius of the {thing}'s corners, where its section is a rounded rectangle."
    return (
        choice(
            family, "section", "Section", f"The shape of the {thing} cut across: it sets the girth.", shapes, default
        ),
        measure(family, "section-radius", "Section radius", corners, (0.0, 60.0), radius),
    )


def section_of(
    measures: Sequence[Measure], m: Mapping[str, float], across: str = "width", deep: str = "thickness"
) -> Section:
    """Return the thing's section from the completed measures of a family that asks for it, under these two names.

    Raises:
        Refusal: a round thing that is not as thick as wide, or corners rounder than the section.

    """
    shape, width, thickness = chosen(measures, m, "section"), m[across], m[deep]
    if shape == "round" and abs(width - thickness) > _ROUND * width:
        what = f"A round thing is as thick as it is wide, but it is {width:.4g} wide and {thickness:.4g} mm thick"
        raise Refusal(f"{what}; give its diameter for both, or call it an ellipse.", field="section")
    most = min(width, thickness) / 2.0
    if shape == "rounded" and m["section-radius"] > most:
        what = f"Corners of {m['section-radius']:.4g} mm do not fit a section {width:.4g} x {thickness:.4g} mm"
        raise Refusal(f"{what}; {most:.4g} mm is the most.", field="section-radius")
    return Section(cast(Shape, shape), width, thickness, m["section-radius"])


def over_size(family: str, default: float, meaning: str) -> Measure:
    """Return how much a ply is cut over-size, to be trimmed to the other."""
    return measure(family, "back-margin", "Back margin", meaning, (3.0, 25.0), default, norms.BACK_MARGIN.reference)


# ---- lines


def lip(margin: float) -> float:
    """Return the radius, mm, of an outer corner at a mouth, so that it does not curl (3 mm, common practice, no source).

    Never more than the margin: the first hole, a margin from both edges, then keeps its margin at the corner too.
    """
    return min(_LIP, margin)


def box_half(
    half_width: float, top: float, bottom: float, upper: float, lower: float, field: str = "corner-radius"
) -> Path:
    """Return the right half of an upright box's outline, clockwise from the top centre: corners `upper` and `lower`."""
    spots = [(0.0, top), (half_width, top), (half_width, bottom), (0.0, bottom)]
    return rounded(spots, [0.0, upper, lower, 0.0], field=field)


def u_half(half_width: float, floor: float, top: float, corner: float) -> Path:
    """Return the right half of a U from the bottom centre up to `top`; corners of `corner` mm or, at 0, sharp."""
    radius = max(corner, 0.0)
    return rounded([(0.0, floor), (half_width, floor), (half_width, top)], [0.0, radius, 0.0], field="corner-radius")


def circle(x: float, y: float, diameter: float) -> Path:
    """Return a round hole; on the centre line x = 0 its halves are exact mirrors."""
    half = Path((Arc.of((0.0, y), diameter / 2.0, -90.0, 180.0),))
    if x == 0.0:
        return unfold(half, closed=True)
    return Path(tuple(Arc.of((x, y), diameter / 2.0, start, 180.0) for start in (-90.0, 90.0)), closed=True)


def oblong(y: float, width: float, length: float) -> Path:
    """Return an upright slot with round ends on the centre line, its middle at y."""
    radius = width / 2.0
    return unfold(box_half(radius, y - length / 2.0, y + length / 2.0, radius, radius), closed=True)


def symmetric_ring(half: Path, pitch_mm: float, name: str) -> StitchLine:
    """Step holes off along the right half of a closed line, from top centre to bottom centre, and mirror them.

    A hole lies on the centre line at both ends of the half; the ring starts at its bottom centre.
    """
    right = stitch_line(half, pitch_mm, name)
    left = [Hole(-h.x, h.y, wrap_degrees(-h.angle), name) for h in reversed(right.holes[1:-1])]
    last, first = right.holes[-1], right.holes[0]
    bottom, top = Hole(0.0, last.y, 180.0, name), Hole(0.0, first.y, 0.0, name)
    length = half.length
    positions = [length - s for s in reversed(right.positions[1:])] + [length + s for s in right.positions[:-1]]
    whole = unfold(half, closed=False)
    return StitchLine(
        Path(whole.segments, closed=True),
        (bottom, *left, top, *right.holes[1:-1]),
        tuple(positions),
        tuple(reversed(right.chords)) + right.chords,
    )


def moved(line: StitchLine, holes: Sequence[Hole], path: Path, name: str) -> StitchLine:
    """Return a mate of a stitch line: other places, the same count; `positions` must still measure along `path`."""
    renamed = tuple(Hole(h.x, h.y, h.angle, name, h.slant) for h in holes)
    return StitchLine(path, renamed, line.positions, line.chords)


def facing(line: StitchLine) -> StitchLine:
    """Return a mate as it is pricked from its own outside where both plies meet back to back: the slits slant the other way."""
    holes = tuple(replace(hole, slant=-hole.slant) for hole in line.holes)
    return StitchLine(line.path, holes, line.positions, line.chords)


# ---- seams


def seam(
    line: StitchLine, name: str, title: str, piece: str, plies: int, stack: float, *, mate: str = "", eased: float = 0.0
) -> Seam:
    """Return the numbers of a seam through `stack` mm of `plies` plies; a mate takes no thread, and may be `eased` mm longer."""
    closed = line.path.closed
    back = int(norms.BACK_STITCHES.value) * (1 if closed else 2)
    thread = 0.0 if mate else saddle_stitch(line.stitches, line.pitch, stack, back, norms.THREAD_TAIL.value)
    strikes = plan(line)
    return Seam(
        name, title, piece, closed, len(line.holes), line.stitches, line.pitch, line.path.length, plies, thread,
        len(strikes), irons_used(strikes), mate, stack, eased,
    )  # fmt: skip


# ---- marks, labels, dimensions


def centre(top: float, bottom: float) -> Drawn:
    """Return the centre line."""
    return Drawn("mark", polyline([(0.0, top), (0.0, bottom)]), "centre")


def grain(x: float, top: float, bottom: float) -> Drawn:
    """Return the grain arrow, pointing up along the back of the hide from `bottom` to `top`."""
    barb = min((bottom - top) * 0.08, 4.0)
    return Drawn(
        "mark",
        polyline([(x, bottom), (x, top), (x - barb, top + 2 * barb), (x, top), (x + barb, top + 2 * barb)]),
        "grain",
        -90.0,
    )


def labels(title: str, x: float, y: float, size: float, count: int = 1, more: str = "") -> tuple[Label, ...]:
    """Return the words of a piece: its title, how often it is cut, and more where there is more to say."""
    lines = (Label(title, x, y, size), Label(f"cut {count}", x, y + 1.6 * size, 0.7 * size))
    return lines if not more else (*lines, Label(more, x, y + 2.8 * size, 0.7 * size))


def label_size(width: float, height: float) -> float:
    """Return a letter height, mm, that suits a free space."""
    return max(1.2, min(7.0, width / 10.0, height / 6.0))


def dimension(
    piece: str, label: str, start: Point, end: Point, offset: float, measure_name: str | None = None
) -> Dimension:
    """Return a dimension line between two points."""
    return Dimension(label, piece, start, end, offset, measure_name, math.dist(start, end))


def filled(given: Mapping[str, float | None], empty: Mapping[str, float]) -> dict[str, float]:
    """Return the measures with those that were left empty taken from `empty`."""
    return {name: empty[name] if value is None else value for name, value in given.items()}
