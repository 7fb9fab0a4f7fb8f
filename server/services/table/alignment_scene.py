"""A piece under the light, and how far the aiming at it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from calibration.arrays import Array
from calibration.sightings import Pair
from server.errors import Refusal
from server.leather.piece import Piece
from server.services.light.pictures import placement
from server.services.light.stage import BenchInUse, Laid, Stage
from server.services.table import alignment_fit
from server.services.table.alignment_features import Feature, features, made
from server.services.table.alignment_fit import AIM_MM, HAND_MM, MARK_MM, Aiming, Aligned
from server.services.table.alignment_over import Aim, Marks
from server.services.table.lies import FARTHEST_MM, Lie, lie

NOT_AIMING = "The cross-hair is not in the light: begin to bring the light to the leather first."
AROUND = 0.25
"""Places are offered that are believed to lie at most this share of the picture beyond its edge: the piece has moved."""
MARKED_MM = float(np.hypot(AIM_MM, MARK_MM))
"""A hand's error where witness crosses were marked and are met again, mm in x and in y."""


@dataclass(frozen=True)
class Scene:
    """A piece under the light."""

    laid: Laid
    bench: BenchInUse
    piece: Piece

    @property
    def height(self) -> float:
        """Return how high the lit surface is, mm."""
        return self.laid.height

    def offered(self, lies: Lie, marks: Marks = ()) -> list[Feature]:
        """Return the places of the piece that are there by now and that the light may reach."""
        found = features(self.piece, marks)
        done = made(found, self.laid.drafted.steps, self.laid.step, self.piece.name)
        if not done:
            return []
        at = self.bench.optics.to_picture(placement(lies).apply([feature.at for feature in done]), self.height)
        size = np.array(self.bench.record.picture)
        reach = np.all((at >= -AROUND * size) & (at <= (1.0 + AROUND) * size), axis=1)
        return [feature for feature, near in zip(done, reach.tolist(), strict=True) if near]

    def align(self, points: Mapping[str, Pair], *, mirror: bool, marks: Marks = ()) -> Aligned:
        """Return how the piece lies, from the px of the cross-hair on places of it, by name.

        Raises:
            Refusal: a place the piece does not have (404), or too few to say.

        """
        known = {feature.name: feature for feature in features(self.piece, marks)}
        unknown = next((name for name in points if name not in known), None)
        if unknown is not None:
            raise Refusal(f"{self.piece.title} has no place {unknown[:60]!r}.", field="points", status=404)
        hand = MARKED_MM if points and all(known[name].sort == "mark" for name in points) else HAND_MM
        aimed = [(known[name], pixel) for name, pixel in points.items()]
        return alignment_fit.align(Aiming(self.bench.optics, self.height, self.piece, aimed, hand), mirror=mirror)


def scene_of(laid: Laid, bench: BenchInUse, piece: str) -> Scene:
    """Return a piece of a layout under its bench; refused when it is not there (404) or the bench is not calibrated (409)."""
    if not bench.calibrated:
        sentence = f"{bench.record.name} is not calibrated yet: calibrate it, then the light can find the leather."
        raise Refusal(sentence, field="bench", status=409)
    found = next((one for one in laid.drafted.pieces if one.name == piece), None)
    if found is None:
        raise Refusal(f"The layout has no piece {piece[:40]!r}.", field="piece", status=404)
    return Scene(laid, bench, found)


def under(stage: Stage, piece: str) -> Scene:
    """Return a piece of the layout that is in the light; refused (409) when none is."""
    if stage.laid is None or stage.bench is None:
        raise Refusal(NOT_AIMING, field="layout", status=409)
    return scene_of(stage.laid, stage.bench, piece)


def present(stage: Stage) -> str:
    """Return the piece of the present step, or the first."""
    if stage.laid is None:
        raise Refusal(NOT_AIMING, field="layout", status=409)
    step = stage.laid.step
    return stage.laid.drafted.pieces[0].name if step is None else step.piece


def asking(scene: Scene, aim: Aim, lies: Lie, feature: str) -> Aim:
    """Return the aim with another place asked for, the cross-hair where it is believed to be, within the picture."""
    known = {one.name: one for one in features(scene.piece, aim.marks)}
    if feature not in known:
        raise Refusal(f"{scene.piece.title} has no place {feature[:60]!r}.", field="feature", status=404)
    believed = scene.bench.optics.to_picture(placement(lies).apply([known[feature].at]), scene.height)[0]
    width, height = scene.bench.record.picture
    at = np.clip(believed, [0.02 * width, 0.02 * height], [0.98 * width, 0.98 * height])
    return replace(aim, asked=feature, pixel=(round(float(at[0]), 1), round(float(at[1]), 1)))


def found_lie(scene: Scene, aim: Aim, mirror: bool) -> Lie | None:
    """Return how the piece lies by the places aimed at, or None while they do not say."""
    try:
        return as_lie(scene.align(aim.points, mirror=mirror, marks=aim.marks))
    except Refusal:
        return None


def lie_now(stage: Stage, aim: Aim) -> Lie:
    """Return how the piece lies: by the places aimed at, or as the layout says."""
    return aim.found or stage.lies()[aim.piece]


def as_lie(found: Aligned) -> Lie:
    """Return what was found as a layout keeps it; refused when it lies far off the table."""
    at = found.placement
    if max(abs(at.x), abs(at.y)) > FARTHEST_MM:
        raise Refusal("The piece would lie far off the table: look at the places again.", field="points")
    return Lie(round(at.x, 4), round(at.y, 4), round(at.turn_degrees, 6), at.mirror)


def pixel_of(scene: Scene, place: Pair) -> Pair:
    """Return the picture px that lights a table place, mm, at the height of the plies."""
    at = scene.bench.optics.to_picture([place], scene.height)[0]
    return float(at[0]), float(at[1])


def place_of(scene: Scene, pixel: Pair) -> list[float]:
    """Return the table place, mm to 0.001, that a picture px lights at the height of the plies."""
    at: Array = scene.bench.optics.to_table([pixel], scene.height)[0]
    return [round(float(at[0]), 3), round(float(at[1]), 3)]


def refuse_outside(scene: Scene, pixel: Pair) -> None:
    """Refuse a px outside the picture."""
    width, height = scene.bench.record.picture
    if not (0.0 <= pixel[0] <= width and 0.0 <= pixel[1] <= height):
        raise Refusal("The cross-hair stays inside the picture: bring the leather further in.", field="pixel")


def carried(scene: Scene, lies: Lie, way: tuple[Pair, Pair], turn: float) -> Lie:
    """Return where a piece lies once it was carried from one px to another, and turned (degrees) about its middle."""
    start, end = scene.bench.optics.to_table(way, scene.height)
    left, top, right, bottom = scene.piece.box()
    middle = [(left + right) / 2.0, (top + bottom) / 2.0]
    goal = placement(lies).apply([middle])[0] + end - start
    turned = lie(lies.x, lies.y, lies.turn + turn, mirror=lies.mirror)
    x, y = goal - placement(turned).apply([middle])[0] + [turned.x, turned.y]
    return lie(round(float(x), 4), round(float(y), 4), turned.turn, mirror=lies.mirror)


def told(stage: Stage, scene: Scene, aim: Aim) -> dict[str, Any]:
    """Return how far the aiming is, as the pages know it."""
    lies = lie_now(stage, aim)
    offered = scene.offered(lies, aim.marks)
    places = placement(lies).apply([feature.at for feature in offered])
    listed = [
        {"name": f.name, "title": f.title, "sort": f.sort, "edge": f.normal is not None, "at": np.round(at, 2).tolist()}
        for f, at in zip(offered, places, strict=True)
    ]
    return {
        "live": True,
        "hand": aim.told(),
        "layout": scene.laid.layout.id,
        "piece": aim.piece,
        "title": scene.piece.title,
        "asked": aim.asked,
        "pixel": list(aim.pixel),
        "place": place_of(scene, aim.pixel),
        "features": listed,
        "points": [{"name": name, "pixel": list(at), "place": place_of(scene, at)} for name, at in aim.points.items()],
        "height": scene.height,
    } | _result(stage, scene, aim)


def _result(stage: Stage, scene: Scene, aim: Aim) -> dict[str, Any]:
    """Return how the piece lies by the places so far, or the sentence that says what is still wanted."""
    try:
        found = scene.align(aim.points, mirror=stage.lies()[aim.piece].mirror, marks=aim.marks)
    except Refusal as refusal:
        return {"result": None, "sentence": refusal.sentence}
    return {"result": alignment_fit.told(found, scene.piece), "sentence": None}
