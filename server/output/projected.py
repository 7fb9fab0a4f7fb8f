"""A scene through a bench: strokes in device pixels. The only place that knows both the leather and the optics."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calibration.bench import Bench
from calibration.sightings import Pair
from server.geometry.placement import Placement
from server.output.clipping import area_within, within
from server.output.line_styles import STYLES, Look, Style
from server.output.scene import Item, Kind, Scene

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
CROSS_ARM, CROSS_GAP = 22.0, 4.0
"""Device px: reach of a cross's arms, and the free middle of the chosen one."""


SPILL = 64.0
"""Device px: how far beyond the picture a stroke is still drawn, so that its weight and its dashes end naturally."""
LONGEST_STEP = 4096.0
"""Device px: a chord of 10 mm that spans more crosses the horizon."""


@dataclass(frozen=True)
class Stroke:
    """A line in device pixels (pixel edges on whole numbers): its kind gives the style, where none was chosen."""

    kind: Kind
    points: Array
    closed: bool = False
    chosen: Style | None = None

    @property
    def style(self) -> Style:
        """Return how it is drawn."""
        return self.chosen or STYLES[self.kind]


@dataclass(frozen=True)
class Caption:
    """Words in the light: centred on (x, y) px, ``size`` px high, turned by ``angle`` degrees clockwise."""

    text: str
    x: float
    y: float
    size: float
    kind: Kind = "mark"
    angle: float = 0.0
    chosen: str | None = None

    @property
    def colour(self) -> str:
        """Return the colour it is written in, #rrggbb: its kind's, where none was chosen."""
        return self.chosen or STYLES[self.kind].colour


@dataclass(frozen=True)
class Area:
    """A lit area in device pixels: closed rings (n, 2); what lies inside two of them is dark again (even and odd)."""

    colour: str
    rings: tuple[Array, ...]


@dataclass(frozen=True)
class Picture:
    """All that is drawn in one frame: the areas below, the strokes on them, the words on top."""

    strokes: tuple[Stroke, ...] = ()
    captions: tuple[Caption, ...] = ()
    areas: tuple[Area, ...] = ()

    def __add__(self, other: Picture) -> Picture:
        """Return both, the other on top."""
        return Picture(self.strokes + other.strokes, self.captions + other.captions, self.areas + other.areas)


OWN_LOOK = Look()
"""Every kind as its own style says."""


def project(scene: Scene, bench: Bench, placement: Placement, height: float = 0.0, look: Look = OWN_LOOK) -> Picture:
    """Return a scene as the projector must draw it for it to lie at ``placement`` on a surface ``height`` mm up.

    Raises:
        Refusal: the surface is not below the lens.

    """
    placed, ends = placement.apply(scene.points), scene.ends
    starts = [0, *ends][: len(ends)]
    middles = [(start + end) // 2 for start, end in zip(starts, ends, strict=True)]
    styles = _styles(scene.items, placed[middles], bench, height, look)
    lit = bench.to_picture(placed, height)
    strokes = [
        Stroke(item.kind, lit[start:end], item.closed, style)
        for item, style, start, end in zip(scene.items, styles, starts, ends, strict=True)
    ]
    return Picture(tuple(strokes), _captions(scene, bench, placement, height, look))


def _styles(items: Sequence[Item], middles: Array, bench: Bench, height: float, look: Look) -> list[Style]:
    """Return how each line looks; a weight in mm becomes pixels by how wide a pixel is at the line's middle (n, 2) mm."""
    if look.unit == "mm" and items:
        return [look.style(i.kind, mm) for i, mm in zip(items, bench.pixel(middles, height).tolist(), strict=True)]
    known = {kind: look.style(kind) for kind in {item.kind for item in items}}
    return [known[item.kind] for item in items]


def _captions(scene: Scene, bench: Bench, placement: Placement, height: float, look: Look) -> tuple[Caption, ...]:
    """Words keep their size in mm and lie along the piece's x, upright letters even where the mount mirrors the picture."""
    captions = []
    for words in scene.words:
        middle = [words.x, words.y]
        ends = placement.apply([middle, [words.x + words.size, words.y]])
        lit = bench.to_picture(ends, height)
        along = lit[1] - lit[0]
        angle = float(np.degrees(np.arctan2(along[1], along[0])))
        x, y = lit[0].tolist()
        ink = look.style(words.kind).colour
        captions.append(Caption(words.text, x, y, float(np.hypot(*along)), words.kind, angle, ink))
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
    """Return the one-pixel frame round the whole picture: all four sides must show, or the projector crops it.

    Each side is a line of its own from edge to edge, so that every pixel of it, the corners too, is lit whole.
    """
    width, height = picture
    sides = (
        ([0.0, 0.5], [width, 0.5]),
        ([width - 0.5, 0.0], [width - 0.5, height]),
        ([0.0, height - 0.5], [width, height - 0.5]),
        ([0.5, 0.0], [0.5, height]),
    )
    return Picture(tuple(Stroke("frame", np.array(side, dtype=np.float64)) for side in sides))


def picture_json(picture: Picture) -> dict[str, list[dict[str, Any]]]:
    """Return areas, strokes and texts as the windows draw them: px to 0.001, each with its style."""
    return {
        "areas": [{"colour": area.colour, "rings": [_flat(ring) for ring in area.rings]} for area in picture.areas],
        "strokes": _strokes_json(picture.strokes),
        "texts": [_caption_json(c) for c in picture.captions],
    }


def _flat(points: Array) -> list[float]:
    flat: list[float] = np.round(points, 3).ravel().tolist()
    return flat


def _strokes_json(strokes: Sequence[Stroke]) -> list[dict[str, Any]]:
    """Round all points at once: a stitched piece has hundreds of strokes of two points."""
    flat = _flat(np.concatenate([stroke.points for stroke in strokes])) if strokes else []
    ends = np.cumsum([2 * len(stroke.points) for stroke in strokes]).tolist()
    parts = zip(strokes, (stroke.style for stroke in strokes), [0, *ends], ends, strict=False)
    return [
        {
            "kind": stroke.kind,
            "colour": style.colour,
            "width": style.width,
            "dash": style.dash,
            "closed": stroke.closed,
            "points": flat[start:end],
        }
        for stroke, style, start, end in parts
    ]


def _caption_json(caption: Caption) -> dict[str, Any]:
    return {
        "text": caption.text,
        "x": round(caption.x, 2),
        "y": round(caption.y, 2),
        "size": round(caption.size, 2),
        "angle": round(caption.angle, 2),
        "align": "center",
        "colour": caption.colour,
    }


def clipped(picture: Picture, size: tuple[int, int]) -> Picture:
    """Return what comes near a picture of ``size`` px, cut ``SPILL`` beyond its edge; the rest never leaves the projector.

    A stroke that is cut becomes open ones. Places on the horizon, which have no pixel, go with what lies beyond, and
    so does an area that reaches it.
    """
    inside, outside = _lying([stroke.points for stroke in picture.strokes], size)
    if inside.all() and not picture.captions and not picture.areas:
        return picture
    strokes = [
        part
        for stroke, whole, none in zip(picture.strokes, inside, outside, strict=True)
        if not none
        for part in ((stroke,) if whole else _near(stroke, size))
    ]
    captions = [c for c in picture.captions if -SPILL <= c.x <= size[0] + SPILL and -SPILL <= c.y <= size[1] + SPILL]
    areas = [near for area in picture.areas if (near := _area_near(area, size))]
    return Picture(tuple(strokes), tuple(captions), tuple(areas))


def _lying(lines: Sequence[Array], size: tuple[int, int]) -> tuple[Mask, Mask]:
    """Tell of each line whether it lies in the picture and its margin whole, and whether to one side of them.

    One look at all points, not one a line: most lines are one or the other. A line to the horizon is neither.
    """
    if not lines:
        return np.zeros(0, dtype=bool), np.zeros(0, dtype=bool)
    every, starts = np.concatenate(lines), np.cumsum([0, *(len(line) for line in lines[:-1])])
    low, high = np.minimum.reduceat(every, starts), np.maximum.reduceat(every, starts)
    inside: Mask = np.asarray(((low >= -SPILL) & (high <= np.array(size) + SPILL)).all(axis=1))
    beside = ((high < -SPILL) | (low > np.array(size) + SPILL)).any(axis=1)
    return inside, np.asarray(beside & (np.isfinite(low) & np.isfinite(high)).all(axis=1))


def _near(stroke: Stroke, size: tuple[int, int]) -> list[Stroke]:
    runs = within(stroke.points, stroke.closed, size, SPILL, LONGEST_STEP)
    return [replace(stroke, points=points, closed=closed) for points, closed in runs]


def _area_near(area: Area, size: tuple[int, int]) -> Area | None:
    rings = [area_within(ring, size, SPILL, LONGEST_STEP) for ring in area.rings]
    lit = [ring for ring in rings if ring is not None and len(ring)]
    return Area(area.colour, tuple(lit)) if lit and all(ring is not None for ring in rings) else None


def outside(picture: Picture, size: tuple[int, int]) -> float:
    """Return the share of the strokes' points that fall outside a picture of ``size`` px: that part of the work stays dark."""
    points: Sequence[Array] = [stroke.points for stroke in picture.strokes]
    if not points:
        return 0.0
    every = np.concatenate(points)
    inside = ((every >= 0) & (every <= np.array(size))).all(axis=1)
    return float(1.0 - inside.mean())
