"""What the light draws in each of its modes, in device pixels."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from calibration.bench import Bench
from calibration.sightings import Pair
from server.errors import Refusal
from server.geometry.placement import Placement
from server.output import projected
from server.output.projected import Caption, Picture
from server.output.scene import Scene, of_piece
from server.output.scene import check_figure as check_scene
from server.services.bench import check_figure
from server.services.light import seen_light, strike_light
from server.services.light.latest import Latest
from server.services.light.stage import BenchInUse, Laid, Stage
from server.services.work import guided, step_card
from server.store.records import Lie

NOT_CALIBRATED = "not calibrated: sizes mean nothing yet"

Draw = Callable[[Stage, BenchInUse], Picture]


def crosses(stage: Stage, bench: BenchInUse) -> Picture:
    """Return the bench's lettered crosses, the selected one marked out."""
    given: Mapping[str, list[float]] = bench.record.sightings["crosses"]
    places: dict[str, Pair] = {name: (at[0], at[1]) for name, at in given.items()}
    return projected.crosses(places, stage.shown.selected)


def witnesses(stage: Stage, _bench: BenchInUse) -> Picture:
    """Return the witness crosses where they belong, or where a hand has moved them, the selected one marked out.

    Raises:
        Refusal: the bench has no marks that can be used (409).

    """
    return projected.crosses(stage.witnesses(), stage.shown.selected)


def edge(_stage: Stage, bench: BenchInUse) -> Picture:
    """Return the edge of the picture."""
    return projected.picture_frame(bench.record.picture)


def check(stage: Stage, bench: BenchInUse) -> Picture:
    """Return the check figure in the middle of the picture; without calibration with a caption that says so.

    Raises:
        Refusal: the figure is larger than the picture.

    """
    optics, shown = bench.optics, stage.shown
    check_figure.corner_places(optics, shown.size, shown.height)
    x, y = check_figure.middle(optics, shown.height).tolist()
    picture = projected.project(check_scene(shown.size), optics, Placement(x, y), shown.height)
    return picture if bench.calibrated else picture + _caveat(optics)


def layout(stage: Stage, bench: BenchInUse) -> Picture:
    """Return the pieces where they lie, on the height of the present step.

    Raises:
        Refusal: the bench is not calibrated, or not checked where a job asks for it (409), or the leather is not below
            the lens.

    """
    if stage.laid is None or not bench.calibrated:
        sentence = f"{bench.record.name} is not calibrated yet: calibrate it, then the light can show a pattern."
        raise Refusal(sentence, field="bench", status=409)
    guided.allow(stage)
    lies = stage.lies()
    parts = [
        seen_light.piece_light(stage, bench.optics, name, scene, placement(lies[name]))
        for name, scene in scenes(stage.laid).items()
        if not guided.over(stage)
    ]
    return sum(parts, Picture()) + step_card.picture(stage, bench)


def scenes(laid: Laid) -> dict[str, Scene]:
    """Return what is lit of each piece, in its own mm: of every piece, or of the step's piece only."""
    return _SCENES.get("scenes", (laid,), (), lambda: _scenes(laid))


_SCENES: Latest[dict[str, Scene]] = Latest()


def _scenes(laid: Laid) -> dict[str, Scene]:
    step = laid.step
    pieces = [piece for piece in laid.drafted.pieces if step is None or piece.name == step.piece]
    if step is not None and laid.blow is not None:
        return {piece.name: strike_light.scene(piece, step, laid.blows, laid.blow) for piece in pieces}
    return {piece.name: of_piece(piece, laid.roles(), step) for piece in pieces}


def placement(lie: Lie) -> Placement:
    """Return a saved placement as the geometry takes it."""
    return Placement(lie.x, lie.y, lie.turn, lie.mirror)


def _caveat(optics: Bench) -> Picture:
    width, height = optics.picture
    size = height / 30.0
    return Picture(captions=(Caption(NOT_CALIBRATED, width / 2, height - 2 * size, size, "chosen"),))


MODES: Mapping[str, Draw] = {
    "crosses": crosses,
    "frame": edge,
    "check": check,
    "layout": layout,
    "witness": witnesses,
}
"""The modes that are drawn in lines; single pixels are not (see ``chequer``)."""
