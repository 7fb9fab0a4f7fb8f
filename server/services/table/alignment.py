"""The maker's verbs for bringing the light to the leather, and the leather to the light."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from calibration.sightings import Pair
from server.errors import Refusal
from server.services.light.light import Light
from server.services.light.shown import Shown
from server.services.light.stage import BenchInUse, Laid, Stage
from server.services.streams import Streams
from server.services.table import alignment_fit, alignment_scene
from server.services.table.alignment_features import asked
from server.services.table.alignment_over import Aim, Marks, Over, Push
from server.services.table.layouts import LayoutChange, Layouts
from server.store import benches, patterns
from server.store import layouts as stored
from server.store.database import Database


class Alignment:
    """Bring the light to the leather: place by place with the cross-hair; or the leather to the light."""

    def __init__(self, database: Database, light: Light, layouts: Layouts, streams: Streams) -> None:
        self._database, self._light, self._layouts, self._streams = database, light, layouts, streams
        self._lock = threading.RLock()

    def align(self, layout: int, piece: str, points: Mapping[str, Pair]) -> dict[str, Any]:
        """Return how a piece of a saved layout lies, from the picture px of the cross-hair on places of it; nothing is saved.

        Raises:
            Refusal: no such layout, piece or place (404), the bench is not calibrated (409), or too few places.

        """
        scene = self.scene(layout, piece)
        found = scene.align(points, mirror=scene.laid.layout.placements[piece].mirror)
        return alignment_fit.told(found, scene.piece)

    def scenes(self, layout: int) -> list[alignment_scene.Scene]:
        """Return each piece of a saved layout under its bench, calibrated or not; at the step of a job that leads through it.

        Raises:
            Refusal: no such layout (404).

        """
        stage = self._light.stage
        if stage.laid is not None and stage.bench is not None and stage.laid.layout.id == layout:
            return [alignment_scene.Scene(stage.laid, stage.bench, piece) for piece in stage.laid.drafted.pieces]
        with self._database.reading() as session:
            record = stored.get(session, layout)
            laid = Laid(record, patterns.get(session, record.pattern_id))
            bench = BenchInUse(benches.get(session, record.bench_id))
        return [alignment_scene.Scene(laid, bench, piece) for piece in laid.drafted.pieces]

    def scene(self, layout: int, piece: str) -> alignment_scene.Scene:
        """Return a piece of a saved layout under its bench.

        Raises:
            Refusal: no such layout or piece (404), or the bench is not calibrated (409).

        """
        first = self.scenes(layout)[0]
        return alignment_scene.scene_of(first.laid, first.bench, piece)

    def lay_over(self, layout: int, over: Over | None) -> None:
        """Show a layout, and over it what a hand needs.

        Raises:
            Refusal: no such layout (404), or the bench is not calibrated (409).

        """
        with self._lock:
            self._showing(layout)
            self._light.lay_over(over)
            self._streams.touch("state")

    def begin(self, layout: int, piece: str | None, marks: Marks = ()) -> dict[str, Any]:
        """Put the cross-hair over a piece (of the present step, when None) and ask for the first place.

        Raises:
            Refusal: no such layout or piece (404), the bench is not calibrated (409), or nothing on it can be aimed at.

        """
        with self._lock:
            stage = self._showing(layout)
            scene = alignment_scene.under(stage, piece or alignment_scene.present(stage))
            lies = stage.lies()[scene.piece.name]
            offered = scene.offered(lies, marks)
            if not offered:
                raise Refusal(
                    f"{scene.piece.title} lies where the light does not reach: move it there first.", field="piece"
                )
            first = asked(offered)[0]
            aim = Aim(scene.piece.name, (0.0, 0.0), marks=marks)
            self._put(alignment_scene.asking(scene, aim, lies, first))
        return self.told()

    def told(self) -> dict[str, Any]:
        """Return how far the aiming is: the places, those done with what they leave, and how the piece lies by them."""
        stage = self._light.stage
        if not isinstance(stage.over, Aim):
            return {"live": False, "hand": None if stage.over is None else stage.over.told()}
        return alignment_scene.told(stage, alignment_scene.under(stage, stage.over.piece), stage.over)

    def aim(self, pixel: Pair | None, place: Pair | None) -> dict[str, Any]:
        """Move the cross-hair to a picture px, or to a place on the table at the present height of plies, mm.

        Raises:
            Refusal: it is not in the light (409), or the place lies outside the picture.

        """
        with self._lock:
            stage, aim = self._aiming()
            scene = alignment_scene.under(stage, aim.piece)
            at = pixel if pixel is not None else alignment_scene.pixel_of(scene, place or (0.0, 0.0))
            alignment_scene.refuse_outside(scene, at)
            self._put(replace(aim, pixel=at), quietly=True)
        return {"live": True, "pixel": list(at), "place": alignment_scene.place_of(scene, at)}

    def ask(self, feature: str) -> dict[str, Any]:
        """Ask for another place; the cross-hair goes where it is believed to be.

        Raises:
            Refusal: the piece has no such place (404).

        """
        with self._lock:
            stage, aim = self._aiming()
            scene = alignment_scene.under(stage, aim.piece)
            self._put(alignment_scene.asking(scene, aim, alignment_scene.lie_now(stage, aim), feature))
        return self.told()

    def point(self) -> dict[str, Any]:
        """Take the cross-hair to lie on the place asked for; ask for the next one, and say how the piece lies so far.

        Raises:
            Refusal: the cross-hair is not in the light (409).

        """
        with self._lock:
            stage, aim = self._aiming()
            if aim.asked is None:
                raise Refusal("No place is asked for: choose one.", field="feature")
            self._take(stage, replace(aim, points={**aim.points, aim.asked: aim.pixel}))
        return self.told()

    def drop(self, feature: str) -> dict[str, Any]:
        """Leave a place out again.

        Raises:
            Refusal: it was not aimed at (404).

        """
        with self._lock:
            stage, aim = self._aiming()
            if feature not in aim.points:
                raise Refusal(f"{feature[:60]} was not aimed at.", field="feature", status=404)
            left = {name: pixel for name, pixel in aim.points.items() if name != feature}
            self._take(stage, replace(aim, points=left), then=feature)
        return self.told()

    def lay(self, *, turned_over: bool = False) -> dict[str, Any]:
        """Save how the piece lies; the light follows at once and the cross-hair goes. Return the layout.

        Args:
            turned_over: the piece has been turned over since it was laid.

        Raises:
            Refusal: too few places were aimed at to say.

        """
        with self._lock:
            stage, aim = self._aiming()
            scene = alignment_scene.under(stage, aim.piece)
            mirror = stage.lies()[aim.piece].mirror is not turned_over
            found = scene.align(aim.points, mirror=mirror, marks=aim.marks)
            self._light.lay_over(None)
            change = LayoutChange(placements={aim.piece: alignment_scene.as_lie(found)})
            return self._layouts.change(scene.laid.layout.id, change)

    def push(self, layout: int, piece: str | None, marks: Marks = ()) -> dict[str, Any]:
        """Show a bright outline and ticks at its corners, to push the leather against.

        Raises:
            Refusal: no such layout or piece (404), or the bench is not calibrated (409).

        """
        with self._lock:
            stage = self._showing(layout)
            scene = alignment_scene.under(stage, piece or alignment_scene.present(stage))
            self._light.lay_over(Push(scene.piece.name, marks))
            self._streams.touch("state")
        return self.told()

    def carry(self, start: Pair, end: Pair, turn: float, *, done: bool) -> dict[str, Any]:
        """Carry the bright outline from one picture px to another, and turn it about its middle; saved when ``done``.

        Raises:
            Refusal: no outline to push against is in the light (409).

        """
        with self._lock:
            stage = self._light.stage
            if not isinstance(stage.over, Push):
                raise Refusal("There is no outline to carry in the light: show it first.", field="layout", status=409)
            scene = alignment_scene.under(stage, stage.over.piece)
            lies = alignment_scene.carried(scene, stage.lies()[stage.over.piece], (start, end), turn)
            number = scene.laid.layout.id
            self._light.move(number, stage.over.piece, lies)
            if done:
                self._layouts.change(number, LayoutChange(placements={stage.over.piece: lies}))
        return {"live": True, "lie": asdict(lies)}

    def end(self) -> dict[str, Any]:
        """Take the cross-hair, or the outline to push against, out of the light; nothing is saved."""
        with self._lock:
            self._light.lay_over(None)
            self._streams.touch("state")
        return self.told()

    def _showing(self, layout: int) -> Stage:
        """Return the stage with that layout in the light; a job that leads through it goes on."""
        laid = self._light.stage.laid
        if laid is None or laid.layout.id != layout:
            self._light.show(Shown(mode="layout", layout=layout))
        return self._light.stage

    def _aiming(self) -> tuple[Stage, Aim]:
        stage = self._light.stage
        if not isinstance(stage.over, Aim):
            raise Refusal(alignment_scene.NOT_AIMING, field="layout", status=409)
        return stage, stage.over

    def _take(self, stage: Stage, aim: Aim, then: str | None = None) -> None:
        """Take over places aimed at: how the piece lies by them, and the next place to ask for."""
        scene = alignment_scene.under(stage, aim.piece)
        found = replace(aim, found=alignment_scene.found_lie(scene, aim, stage.lies()[aim.piece].mirror))
        lies = alignment_scene.lie_now(stage, found)
        offered = scene.offered(lies, aim.marks)
        left = [name for name in asked(offered, len(offered)) if name not in aim.points]
        following = then or (left[0] if left else None)
        self._put(
            replace(found, asked=None) if following is None else alignment_scene.asking(scene, found, lies, following)
        )

    def _put(self, aim: Aim, *, quietly: bool = False) -> None:
        self._light.lay_over(aim)
        if not quietly:
            self._streams.touch("state")
