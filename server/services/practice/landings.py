"""Where the light really lands on the practice table: the frame's strokes, each point along its true ray."""

from __future__ import annotations

import logging
import math
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from calibration.arrays import Array
from server.errors import Refusal
from server.output.clipping import area_within, within
from server.output.projected import Area, Caption, Stroke
from server.output.scene import dense
from server.practice.projector import TrueProjector
from server.practice.workshop import PANEL, RULE_LENGTH, RULE_PARKED, RULE_WIDTH, TABLE, Oblong
from server.services.bench import check_figure
from server.services.light.chequer import Patch
from server.services.light.frames import OUR_BUG, Frame
from server.services.light.stage import Stage
from server.services.practice.alignment_seen import cut_pieces
from server.services.practice.truth import Truth

STEP_PX = 12.0
"""Strokes are cut into chords no longer than this before they are traced, so that a leather edge shows as a step, px."""

ELSEWHERE = "The light is on another bench: show something on the practice bench."

_log = logging.getLogger(__name__)

Mask: TypeAlias = NDArray[np.bool_]
Run: TypeAlias = tuple[Array, bool]


@dataclass(frozen=True)
class Table:
    """The practice table: how the projector over it really hangs, and how high its lit surface is, mm."""

    projector: TrueProjector
    height: float


def landing(stage: Stage, frame: Frame, truth: Truth) -> dict[str, Any]:
    """Return what is seen on the practice table, mm: the light that lands, the leather, the rule, its readings, the dots."""
    practice = stage.bench is not None and stage.bench.record.practice
    sentence = frame.sentence if practice or frame.mode == "dark" else ELSEWHERE
    leather = PANEL if stage.height > 0 else None
    lit = practice and sentence is None
    under = Table(truth.projector, stage.height)
    return {
        "version": frame.version,
        "mode": frame.mode,
        "sentence": sentence,
        "table": asdict(TABLE),
        "leather": None if leather is None else asdict(leather) | {"thickness": stage.height},
        "rule": _rule(true_corners(stage, truth.projector) if lit else None),
        "areas": [_area(area, under) for area in frame.picture.areas] if lit else [],
        "strokes": [run for s in frame.picture.strokes for run in _stroke(s, under)] if lit else [],
        "texts": [_text(caption, under) for caption in frame.picture.captions if _shines(caption, under)]
        if lit
        else [],
        "patches": [_patch(patch, under) for patch in frame.chequer] if lit else [],
        "marks": [{"name": name, "x": place[0], "y": place[1]} for name, place in truth.dots.items()],
        "pieces": cut_pieces(stage, truth) if practice else [],
        "footprint": _flat(truth.projector.land(_edge(truth.projector), 0.0)),
        "readings": true_lengths(stage, truth.projector) if lit and frame.mode == "check" else None,
    }


def landing_or_say(stage: Stage, frame: Frame, truth: Truth) -> dict[str, Any]:
    """Return what is seen on the practice table, or the bare table and a sentence that says why there is no light."""
    try:
        return landing(stage, frame, truth)
    except Refusal as refusal:
        return _bare(frame, refusal.sentence)
    except Exception:
        _log.exception("the practice table could not be drawn")
        return _bare(frame, OUR_BUG)


def _bare(frame: Frame, sentence: str) -> dict[str, Any]:
    """Return the practice table without leather or light, and a sentence."""
    head = {"version": frame.version, "mode": frame.mode, "sentence": sentence, "table": asdict(TABLE)}
    nothing: dict[str, Any] = {
        name: [] for name in ("areas", "strokes", "texts", "patches", "marks", "pieces", "footprint")
    }
    return head | nothing | {"leather": None, "rule": _rule(None), "readings": None}


def true_lengths(stage: Stage, projector: TrueProjector) -> dict[str, float] | None:
    """Return how long the lines of the check figure really are on the practice table, mm; None where none is shown."""
    corners = true_corners(stage, projector)
    return None if corners is None else {name: round(long, 2) for name, long in check_figure.lengths(corners).items()}


def true_corners(stage: Stage, projector: TrueProjector) -> Array | None:
    """Return where the check figure's corners really land, (4, 2) mm; None unless the practice bench shows it."""
    if stage.bench is None or not stage.bench.record.practice or stage.shown.mode != "check":
        return None
    optics, shown = stage.bench.optics, stage.shown
    places = check_figure.corner_places(optics, shown.size, shown.height)
    return projector.land(optics.to_picture(places, shown.height), shown.height)


def surface(points: Array, under: Table, panel: Oblong = PANEL) -> tuple[Array, Mask]:
    """Return where the light of picture px (n, 2) lands, and which of it lands on the leather.

    Args:
        points: picture px.
        under: the table; its height is that of the top of the leather, 0 for no leather.
        panel: the leather.

    Returns:
        Places (n, 2) mm, and a mask (n,) that is true on the leather.

    """
    table = under.projector.land(points, 0.0)
    if under.height <= 0:
        return table, np.zeros(len(table), dtype=bool)
    top = under.projector.land(points, under.height)
    low, high = np.array([panel.x, panel.y]), np.array([panel.x + panel.width, panel.y + panel.height])
    on = np.asarray(((top >= low) & (top <= high)).all(axis=1))
    return np.where(on[:, None], top, table), on


def _area(area: Area, under: Table) -> dict[str, Any]:
    """Return a lit area as it lands, what of it lies in the picture; its rings step where the leather ends."""
    rings = [area_within(ring, under.projector.picture, 0.0, np.inf) for ring in area.rings]
    landed = [
        surface(dense(ring, closed=True, longest=STEP_PX), under)[0] for ring in rings if ring is not None and len(ring)
    ]
    return {"colour": area.colour, "rings": [np.round(ring, 3).ravel().tolist() for ring in landed]}


def _stroke(stroke: Stroke, under: Table) -> list[dict[str, Any]]:
    """Return a stroke as it lands, what of it lies in the picture: one piece for each run on the same surface."""
    lit = within(stroke.points, stroke.closed, under.projector.picture)
    return [
        landed for points, closed in lit for landed in _landed(stroke, dense(points, closed, STEP_PX), closed, under)
    ]


def _landed(stroke: Stroke, points: Array, closed: bool, under: Table) -> list[dict[str, Any]]:
    """Return the light of a dense line of picture px (n, 2) as it lands."""
    style, pixel = stroke.style, _pixel(points, under)
    look = {
        "kind": stroke.kind,
        "colour": style.colour,
        "width_mm": round(style.width * pixel, 3),
        "dash_mm": [round(part * pixel, 3) for part in style.dash],
    }
    return [
        look | {"closed": whole, "points": np.round(places, 3).ravel().tolist()}
        for places, whole in _runs(points, closed, under)
    ]


def _runs(points: Array, closed: bool, under: Table) -> list[Run]:
    places, on = surface(points, under)
    if on.all() or not on.any():
        return [(places, closed)]
    if closed:
        start = int(np.flatnonzero(on != np.roll(on, 1))[0])
        places, on = np.roll(places, -start, axis=0), np.roll(on, -start)
    cuts = np.flatnonzero(on[1:] != on[:-1]) + 1
    return [(part, False) for part in np.split(places, cuts) if len(part) > 1]


def _shines(caption: Caption, under: Table) -> bool:
    """Tell whether the middle of the words lies in the picture: beyond it no light leaves the projector."""
    width, height = under.projector.picture
    finite = math.isfinite(caption.size) and math.isfinite(caption.angle)
    return finite and 0.0 <= caption.x <= width and 0.0 <= caption.y <= height


def _text(caption: Caption, under: Table) -> dict[str, Any]:
    along = np.radians(caption.angle)
    reach = np.array([np.cos(along), np.sin(along)]) * caption.size
    start = np.array([caption.x, caption.y])
    ends, _ = surface(np.stack([start, start + reach]), under)
    way = ends[1] - ends[0]
    return {
        "text": caption.text,
        "x": round(float(ends[0, 0]), 2),
        "y": round(float(ends[0, 1]), 2),
        "size_mm": round(float(np.hypot(*way)), 2),
        "angle": round(float(np.degrees(np.arctan2(way[1], way[0]))), 2),
        "align": "center",
        "colour": caption.colour,
    }


def _patch(patch: Patch, under: Table) -> list[float]:
    """Return the outline of a patch of single pixels as it lands, mm: x, y in turn."""
    x, y, width, height = patch
    corners = np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]], dtype=np.float64)
    return list(np.round(under.projector.land(dense(corners, closed=True, longest=STEP_PX)), 3).ravel().tolist())


def _pixel(points: Array, under: Table) -> float:
    """Return the width of a pixel where the stroke begins, mm."""
    pair = under.projector.land(points[:1] + np.array([[-0.5, 0.0], [0.5, 0.0]]), under.height)
    return float(np.hypot(*(pair[1] - pair[0])))


def _rule(corners: Array | None) -> dict[str, float]:
    """Return where the rule lies: along the top line of the figure with these corners, its zero at the first, or parked."""
    (x, y), turn = RULE_PARKED, 0.0
    if corners is not None:
        (x, y), way = corners[0].tolist(), corners[1] - corners[0]
        turn = float(np.degrees(np.arctan2(way[1], way[0])))
    return {"x": round(x, 3), "y": round(y, 3), "turn": round(turn, 4), "length": RULE_LENGTH, "width": RULE_WIDTH}


def _edge(projector: TrueProjector) -> Array:
    width, height = projector.picture
    return dense(np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]), closed=True, longest=120.0)


def _flat(places: Array) -> list[list[float]]:
    rounded: list[list[float]] = np.round(places, 3).tolist()
    return rounded
