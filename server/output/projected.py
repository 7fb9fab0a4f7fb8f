"""A scene through a bench: strokes in device pixels. The only place that knows both the leather and the optics."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calibration.bench import Bench
from calibration.sightings import Pair
from server.geometry.placement import Placement
from server.output.line_styles import STYLES
from server.output.scene import Item, Kind, Scene

Array = NDArray[np.float64]
CROSS_ARM, CROSS_GAP = 22.0, 4.0
"""Device px: reach of a cross's arms, and the free middle of the chosen one."""


SPILL = 64.0
"""Device px: how far beyond the picture a stroke is still drawn, so that its weight and its dashes end naturally."""
LONGEST_STEP = 4096.0
"""Device px: a chord of 10 mm that spans more crosses the horizon."""


@dataclass(frozen=True)
class Stroke:
    """A line in device pixels (pixel edges on whole numbers): its kind gives the style."""

    kind: Kind
    points: Array
    closed: bool = False


@dataclass(frozen=True)
class Caption:
    """Words in the light: centred on (x, y) px, ``size`` px high, turned by ``angle`` degrees clockwise."""

    text: str
    x: float
    y: float
    size: float
    kind: Kind = "mark"
    angle: float = 0.0


@dataclass(frozen=True)
class Picture:
    """All that is drawn in one frame."""

    strokes: tuple[Stroke, ...] = ()
    captions: tuple[Caption, ...] = ()

    def __add__(self, other: Picture) -> Picture:
        """Return both, the other on top."""
        return Picture(self.strokes + other.strokes, self.captions + other.captions)


def project(scene: Scene, bench: Bench, placement: Placement, height: float = 0.0) -> Picture:
    """Return a scene as the projector must draw it for it to lie at ``placement`` on a surface ``height`` mm up.

    Raises:
        Refusal: the surface is not below the lens.

    """
    lit = bench.to_picture(placement.apply(scene.points), height)
    ends = np.cumsum([len(item.points) for item in scene.items])[:-1]
    strokes = [_stroke(item, part) for item, part in zip(scene.items, np.split(lit, ends), strict=False)]
    return Picture(tuple(strokes), _captions(scene, bench, placement, height))


def _stroke(item: Item, lit: Array) -> Stroke:
    return Stroke(item.kind, lit, item.closed)


def _captions(scene: Scene, bench: Bench, placement: Placement, height: float) -> tuple[Caption, ...]:
    """Words keep their size in mm and lie along the piece's x, upright letters even where the mount mirrors the picture."""
    captions = []
    for words in scene.words:
        middle = [words.x, words.y]
        ends = placement.apply([middle, [words.x + words.size, words.y]])
        lit = bench.to_picture(ends, height)
        along = lit[1] - lit[0]
        angle = float(np.degrees(np.arctan2(along[1], along[0])))
        x, y = lit[0].tolist()
        captions.append(Caption(words.text, x, y, float(np.hypot(*along)), words.kind, angle))
    return tuple(captions)


def crosses(places: dict[str, Pair], chosen: str | None = None) -> Picture:
    """Return lettered crosses at picture px; the chosen one bold and ringed."""
    strokes = [stroke for name, at in places.items() for stroke in _cross(at, "chosen" if name == chosen else "cross")]
    captions = [
        Caption(name, x + 14.0, y - 16.0, 20.0, "chosen" if name == chosen else "cross")
        for name, (x, y) in places.items()
    ]
    return Picture(tuple(strokes), tuple(captions))


def _cross(at: Pair, kind: Kind) -> Iterable[Stroke]:
    x, y = at
    gap = CROSS_GAP if kind == "chosen" else 0.0
    arms = [(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)] if gap else [(1.0, 0.0), (0.0, 1.0)]
    for dx, dy in arms:
        near = gap if gap else -CROSS_ARM
        yield Stroke(kind, np.array([[x + dx * near, y + dy * near], [x + dx * CROSS_ARM, y + dy * CROSS_ARM]]))
    if gap:
        turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
        yield Stroke(kind, np.column_stack([x + 34 * np.cos(turn), y + 34 * np.sin(turn)]), closed=True)


def picture_frame(picture: tuple[int, int]) -> Picture:
    """Return the one-pixel frame round the whole picture: all four sides must show, or the projector crops it."""
    width, height = picture
    corners = np.array([[0.5, 0.5], [width - 0.5, 0.5], [width - 0.5, height - 0.5], [0.5, height - 0.5]])
    return Picture((Stroke("frame", corners, closed=True),))


def picture_json(picture: Picture) -> dict[str, list[dict[str, Any]]]:
    """Return strokes and texts as the windows draw them: px to 0.001, each with its style."""
    return {
        "strokes": [_stroke_json(s) for s in picture.strokes],
        "texts": [_caption_json(c) for c in picture.captions],
    }


def _stroke_json(stroke: Stroke) -> dict[str, Any]:
    style = STYLES[stroke.kind]
    return {
        "kind": stroke.kind,
        "colour": style.colour,
        "width": style.width,
        "dash": list(style.dash),
        "closed": stroke.closed,
        "points": np.round(stroke.points, 3).ravel().tolist(),
    }


def _caption_json(caption: Caption) -> dict[str, Any]:
    return {
        "text": caption.text,
        "x": round(caption.x, 2),
        "y": round(caption.y, 2),
        "size": round(caption.size, 2),
        "angle": round(caption.angle, 2),
        "align": "center",
        "colour": STYLES[caption.kind].colour,
    }


def clipped(picture: Picture, size: tuple[int, int]) -> Picture:
    """Return the strokes' parts that come near a picture of ``size`` px; what lies beyond never leaves the projector.

    A stroke that is cut becomes open ones. Places on the horizon, which have no pixel, go with what lies beyond.
    """
    strokes = [part for stroke in picture.strokes for part in _near(stroke, np.array(size, dtype=np.float64))]
    captions = [c for c in picture.captions if -SPILL <= c.x <= size[0] + SPILL and -SPILL <= c.y <= size[1] + SPILL]
    return Picture(tuple(strokes), tuple(captions))


def _near(stroke: Stroke, size: Array) -> list[Stroke]:
    ring = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    with np.errstate(invalid="ignore"):
        low, high = np.minimum(ring[:-1], ring[1:]), np.maximum(ring[:-1], ring[1:])
        kept = ((high >= -SPILL) & (low <= size + SPILL) & (high - low <= LONGEST_STEP)).all(axis=1)
    if kept.all():
        return [stroke]
    ends = np.flatnonzero(np.diff(np.concatenate([[False], kept, [False]]).astype(int)))
    return [Stroke(stroke.kind, ring[a : b + 1]) for a, b in zip(ends[::2], ends[1::2], strict=True)]


def outside(picture: Picture, size: tuple[int, int]) -> float:
    """Return the share of the strokes' points that fall outside a picture of ``size`` px: that part of the work stays dark."""
    points: Sequence[Array] = [stroke.points for stroke in picture.strokes]
    if not points:
        return 0.0
    every = np.concatenate(points)
    inside = ((every >= 0) & (every <= np.array(size))).all(axis=1)
    return float(1.0 - inside.mean())
