"""One piece in the light, as the maker chose to see it on the leather: its lines, or the whole piece lit."""

from __future__ import annotations

from calibration.bench import Bench
from server.geometry.placement import Placement
from server.output import filled
from server.output.projected import Picture, project
from server.output.scene import Scene
from server.services.light.latest import Latest
from server.services.light.stage import Stage


def piece_light(stage: Stage, optics: Bench, piece: str, scene: Scene, placement: Placement) -> Picture:
    """Return the light of a scene of one piece where it lies, on the height of the present step.

    While blows are shown one by one, the piece is drawn in lines: bright holes would be lost on a lit piece.

    Raises:
        Refusal: the leather is not below the lens.

    """
    made_of = (placement, stage.height, stage.seeing)
    return _KEPT.get(piece, (scene, optics), made_of, lambda: _drawn(stage, optics, piece, scene, placement))


_KEPT: Latest[Picture] = Latest()


def _drawn(stage: Stage, optics: Bench, piece: str, scene: Scene, placement: Placement) -> Picture:
    look, laid = stage.seeing.look, stage.laid
    if not stage.seeing.fill or laid is None or laid.blow is not None:
        return project(scene, optics, placement, stage.height, look)
    whole = next(part for part in laid.drafted.pieces if part.name == piece)
    bounds = project(filled.area_scene(whole), optics, placement, stage.height, look)
    inner = project(filled.inner_scene(whole, scene), optics, placement, stage.height, look)
    return filled.lit(bounds, inner, look.style("cut").colour)
