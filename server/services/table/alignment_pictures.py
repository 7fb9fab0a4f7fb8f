"""What the hand's things look like in the light: cross-hair, outline to push against, crosses of a span, over a dim layout."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.sightings import Pair
from server.errors import Refusal
from server.geometry.placement import Placement
from server.geometry.region import inside
from server.geometry.segment import Arc, Line, Segment
from server.leather.piece import Piece
from server.output.line_styles import DIM, SKY, WHITE, YELLOW, Style
from server.output.projected import Caption, Picture, Stroke
from server.output.scene import dense
from server.services.light import pictures
from server.services.light.stage import BenchInUse, Stage
from server.services.table.alignment_features import SIDE_MM, Feature, features
from server.services.table.alignment_over import Aim, Marks, Push, Span

GHOST = Style(DIM, 1.0)
HAIR = Style(YELLOW, 1.5)
TAKEN = Style(SKY, 1.5)
RING = Style(WHITE, 1.5, (6.0, 6.0))
EDGE = Style(WHITE, 6.0)
TICK = Style(YELLOW, 4.0)
CROSS = Style(WHITE, 2.0)
MET = Style(YELLOW, 2.0)

HAIR_PX, FREE_PX = 60.0, 4.0
"""Reach of the cross-hair's arms and its free middle, through which the leather is seen, device px."""
RING_MM, CROSS_MM, WORDS_MM = 7.0, 5.0, 7.0
"""Radius of the ring about the place asked for, reach of a witness cross, height of words, mm."""
WORDS_OFF_MM = 52.0
"""Words stand this far from the cross-hair, clear of its arms, mm."""
TICK_MM = (4.0, 30.0)
"""A tick begins so far beyond the end of its side, and ends so far beyond the corner, mm."""


def over(stage: Stage, bench: BenchInUse, picture: Picture) -> Picture:
    """Return the picture of a layout with what a hand has over it."""
    if isinstance(stage.over, Aim):
        return _aim(stage, bench, stage.over)
    if isinstance(stage.over, Push):
        return _ghost(picture) + _push(stage, bench, stage.over)
    return picture + _span(stage, bench, stage.over) if isinstance(stage.over, Span) else picture


def _ghost(picture: Picture) -> Picture:
    """Return the lines alone, dim and thin."""
    return Picture(tuple(replace(stroke, chosen=GHOST) for stroke in picture.strokes))


def placed(stage: Stage, piece: str) -> Placement:
    """Return where a piece lies now in the light."""
    return pictures.placement(stage.lies()[piece])


def _piece(stage: Stage, name: str) -> Piece:
    if stage.laid is None:
        raise Refusal("The light shows no layout now: show it first.", field="layout", status=409)
    return stage.laid.drafted.piece(name)


def _aim(stage: Stage, bench: BenchInUse, aim: Aim) -> Picture:
    """Return the layout dim, lying as it was found, the place asked for ringed, and the cross-hair."""
    lying = stage if aim.found is None else stage.moved(aim.piece, aim.found)
    ghost = _ghost(pictures.layout(lying, bench)) + _edge(lying, bench.optics, aim.piece)
    asked = next((f for f in features(_piece(stage, aim.piece), aim.marks) if f.name == aim.asked), None)
    ring = _asked(lying, bench.optics, aim, asked) if asked else Picture()
    taken = [stroke for at in aim.points.values() for stroke in _saltire(at)]
    return ghost + ring + Picture(tuple(taken)) + Picture(tuple(_hair(aim.pixel)))


def _edge(stage: Stage, optics: Bench, piece: str) -> Picture:
    """Return the dim outline of a piece, whatever its present step shows: the hand looks for its edge."""
    outline = dense(_piece(stage, piece).outline.flatten(), True)
    return Picture((Stroke("cut", optics.to_picture(placed(stage, piece).apply(outline), stage.height), True, GHOST),))


def _asked(stage: Stage, optics: Bench, aim: Aim, asked: Feature) -> Picture:
    """Return a ring where the place asked for is believed to be, and its name beyond the cross-hair's arms."""
    turn = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    at = placed(stage, aim.piece).apply([asked.at])[0]
    ring = at + RING_MM * np.column_stack([np.cos(turn), np.sin(turn)])
    stroke = Stroke("chosen", optics.to_picture(ring, stage.height), True, RING)
    believed = optics.to_table([aim.pixel], stage.height)[0]
    return Picture(
        (stroke,), (_words(asked.title, believed + np.array([0.0, -WORDS_OFF_MM]), optics, stage.height, YELLOW),)
    )


def _words(text: str, at: Array, optics: Bench, height: float, colour: str) -> Caption:
    """Return words that read from left to right for the maker, centred on a table place (2,) mm."""
    here, on = optics.to_picture(at + np.array([[0.0, 0.0], [WORDS_MM, 0.0]]), height)
    along = on - here
    angle = float(np.degrees(np.arctan2(along[1], along[0])))
    return Caption(text, float(here[0]), float(here[1]), float(np.hypot(*along)), "chosen", angle, colour)


def _hair(at: Pair) -> Iterator[Stroke]:
    for way in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
        ends = np.array(at) + np.outer([FREE_PX, HAIR_PX], way)
        yield Stroke("chosen", ends, False, HAIR)


def _saltire(at: Pair, reach: float = 9.0) -> Iterator[Stroke]:
    """Return the two strokes of a small x, which nobody takes for a cross."""
    for way in ((1.0, 1.0), (1.0, -1.0)):
        yield Stroke("cross", np.array(at) + np.outer([-reach, reach], way), False, TAKEN)


def _push(stage: Stage, bench: BenchInUse, push: Push) -> Picture:
    """Return the outline bright and thick, and its straight sides led on beyond the corners, outside the leather."""
    piece, lies = _piece(stage, push.piece), placed(stage, push.piece)
    lines = [(dense(piece.outline.flatten(), True), True, EDGE), *[(tick, False, TICK) for tick in ticks(piece)]]
    strokes = [
        Stroke("cut", bench.optics.to_picture(lies.apply(points), stage.height), closed, style)
        for points, closed, style in lines
    ]
    return Picture(tuple(strokes)) + _crosses(stage, bench.optics, push.piece, push.marks, MET)


def ticks(piece: Piece) -> list[Array]:
    """Return the ticks (2, 2) mm of a piece: each straight side led on beyond its ends, where that is not on the leather."""
    found: list[Array] = []
    segments = piece.outline.segments
    for index, segment in enumerate(segments):
        if not isinstance(segment, Line) or segment.length < SIDE_MM / 2.0:
            continue
        start, end = np.array(segment.start), np.array(segment.end)
        way = (end - start) / segment.length
        found.append(end + np.outer(_reach(segments[(index + 1) % len(segments)]), way))
        found.append(start - np.outer(_reach(segments[index - 1]), way))
    ring = piece.outline.flatten(0.5)
    return [tick for tick in found if not inside(ring, tick).any()]


def _reach(beyond: Segment) -> tuple[float, float]:
    """Return where a tick begins and ends, mm from the end of its side, when this segment follows: past a rounded corner."""
    rounded = beyond.radius * math.tan(min(abs(beyond.half), 1.0)) if isinstance(beyond, Arc) else 0.0
    return TICK_MM[0], TICK_MM[1] + rounded


def _span(stage: Stage, bench: BenchInUse, span: Span) -> Picture:
    """Return the crosses of a span: bold white ones to be marked, yellow ones to be met."""
    drawn = _crosses(stage, bench.optics, span.piece, span.draw, CROSS)
    return drawn + _crosses(stage, bench.optics, span.piece, span.meet, MET)


def _crosses(stage: Stage, optics: Bench, piece: str, marks: Marks, style: Style) -> Picture:
    """Return lettered crosses on a piece, upright on the table, each with a free middle for the awl."""
    lies, strokes, captions = placed(stage, piece), list[Stroke](), list[Caption]()
    for name, place in marks:
        at = lies.apply([place])[0]
        for way in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
            ends = at + np.outer([0.8, CROSS_MM], way)
            strokes.append(Stroke("cross", optics.to_picture(ends, stage.height), False, style))
        captions.append(
            _words(name, at + np.array([CROSS_MM + 4.0, -CROSS_MM - 4.0]), optics, stage.height, style.colour)
        )
    return Picture(tuple(strokes), tuple(captions))
