"""The maker's verbs for a piece longer than the light: plan its spans, go from one to the next, meet the crosses."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from typing import Any, Literal, TypeAlias

import numpy as np

from server.errors import Refusal
from server.services.light.light import Light
from server.services.table.alignment import Alignment
from server.services.table.alignment_fit import lie_json
from server.services.table.alignment_over import Marks, Span
from server.services.table.alignment_scene import Scene
from server.services.table.layouts import LayoutChange, Layouts
from server.services.table.lies import Lie
from server.services.table.spans_marks import Ground
from server.services.table.spans_plan import HANDS, Plan, plan, reaches
from server.store import settings as remembered
from server.store.database import Database
from server.store.records import Document

Way: TypeAlias = Literal["aim", "push"]
WAYS: tuple[Way, ...] = ("aim", "push")
"""Meet the crosses by bringing the light onto the marks, or by pushing the marks onto the light."""

CRITERION = (
    "Of all numbers of spans and overlaps that were tried, these keep the largest error on the piece least; a shift more, "
    "or turning the piece about, is asked for only where it brings a twentieth."
)
NONE = "This layout has no spans: plan them first."


class Spans:
    """Spans of one piece of a layout; they are kept over a restart."""

    def __init__(self, database: Database, light: Light, layouts: Layouts, alignment: Alignment) -> None:
        self._database, self._light, self._layouts, self._alignment = database, light, layouts, alignment
        self._lock = threading.RLock()

    def told(self, layout: int) -> dict[str, Any]:
        """Return which pieces are longer than the light, and the spans that were planned.

        Raises:
            Refusal: no such layout (404).

        """
        scenes = self._alignment.scenes(layout)
        return {"layout": layout, "pieces": [_reach(scene) for scene in scenes], "work": self._kept(layout)}

    def plan(self, layout: int, piece: str, ground: Ground) -> dict[str, Any]:
        """Plan the spans of a piece, keep them, and lay the first one; the light shows it with its crosses.

        Raises:
            Refusal: no such layout or piece (404), the bench is not calibrated (409), the light reaches the whole piece,
                or the piece cannot be cut into spans.

        """
        with self._lock:
            scene = self._alignment.scene(layout, piece)
            mirror = scene.laid.layout.placements[piece].mirror
            found = plan(scene.bench.optics, scene.height, scene.piece, mirror=mirror, ground=ground)
            if len(found.stretches) == 1:
                raise Refusal(f"The light reaches all of {scene.piece.title}: it needs no spans.", field="piece")
            self._keep(layout, _document(scene, found, ground))
            return self.go(layout, 0)

    def go(self, layout: int, span: int) -> dict[str, Any]:
        """Lay a span, by its number from 0: the piece lies as planned, its crosses are in the light.

        Raises:
            Refusal: there are no spans, or not so many.

        """
        with self._lock:
            work = self._work(layout)
            if not 0 <= span < len(work["spans"]):
                raise Refusal(f"There are {len(work['spans'])} spans: choose one of them.", field="span")
            self._keep(layout, {**work, "at": span})
            lies = Lie(**work["spans"][span]["lie"])
            self._light.lay_over(None)
            self._layouts.change(layout, LayoutChange(placements={work["piece"]: lies}))
        return self.show(layout)

    def show(self, layout: int) -> dict[str, Any]:
        """Show the present span in the light, with the crosses to be met and those to be marked.

        Raises:
            Refusal: there are no spans.

        """
        with self._lock:
            work = self._work(layout)
            over = Span(work["piece"], draw=_marks(work, work["at"]), meet=_marks(work, work["at"] - 1))
            self._alignment.lay_over(layout, over)
        return self.told(layout)

    def meet(self, layout: int, way: Way) -> dict[str, Any]:
        """Begin to meet the crosses that were marked in the span before; return how the alignment stands.

        Raises:
            Refusal: there are no spans, or none lies before this one.

        """
        with self._lock:
            work = self._work(layout)
            if work["at"] == 0:
                raise Refusal("The first span has no crosses to meet: mark its crosses, then go on.", field="span")
            met = _marks(work, work["at"] - 1)
            if way == "aim":
                return self._alignment.begin(layout, work["piece"], met)
            return self._alignment.push(layout, work["piece"], met)

    def end(self, layout: int) -> dict[str, Any]:
        """Forget the spans; the piece stays where it lies."""
        with self._lock:
            self._keep(layout, {})
            self._alignment.end()
        return self.told(layout)

    def _work(self, layout: int) -> Document:
        work = self._kept(layout)
        if work is None:
            raise Refusal(NONE, field="layout", status=409)
        return work

    def _kept(self, layout: int) -> Document | None:
        with self._database.reading() as session:
            kept = remembered.recall(session, f"spans {layout}")
        return kept or None

    def _keep(self, layout: int, work: Document) -> None:
        with self._database.writing() as session:
            remembered.remember(session, f"spans {layout}", work)


def _reach(scene: Scene) -> dict[str, Any]:
    """Return how long a piece is, and whether it is longer than the light."""
    left, top, right, bottom = scene.piece.box()
    return {
        "name": scene.piece.name,
        "title": scene.piece.title,
        "length_mm": round(max(right - left, bottom - top), 1),
        "longer": longer(scene),
    }


def longer(scene: Scene) -> bool:
    """Tell whether the light cannot reach the whole piece, however it is moved without being turned aslant."""
    if not scene.bench.calibrated:
        return False
    left, top, right, bottom = scene.piece.box()
    size = np.ptp(scene.bench.optics.footprint(scene.height), axis=0)
    if max(right - left, bottom - top) < 0.6 * float(size.min()):
        return False
    return not reaches(scene.bench.optics, scene.height, scene.piece)


def _marks(work: Mapping[str, Any], joint: int) -> Marks:
    """Return the crosses of a joint, none before the first span and after the last."""
    if not 0 <= joint < len(work["joints"]):
        return ()
    return tuple((mark["name"], (mark["at"][0], mark["at"][1])) for mark in work["joints"][joint])


def _document(scene: Scene, found: Plan, ground: Ground) -> dict[str, Any]:
    """Return a plan as it is kept, and as the pages know it; lengths in mm, stretches from the piece's own beginning."""
    lengthwise, sideways = found.far_parts
    return {
        "piece": scene.piece.name,
        "title": scene.piece.title,
        "ground": ground,
        "at": 0,
        "height": scene.height,
        "length_mm": round(found.room.length, 1),
        "usable_mm": round(found.room.usable, 1),
        "about": found.about,
        "hands_mm": {"mark": HANDS.mark, "aim": HANDS.aim},
        "spans": [_span(found, index) for index in range(len(found.stretches))],
        "joints": [[{"name": name, "at": list(at)} for name, at in joint] for joint in found.joints],
        "far": {
            "error95_mm": round(found.far_error, 2),
            "lengthwise_mm": round(lengthwise, 2),
            "sideways_mm": round(sideways, 2),
        },
        "criterion": CRITERION,
    }


def _span(found: Plan, index: int) -> dict[str, Any]:
    begin, end = found.stretches[index]
    return {
        "from_mm": round(begin - found.room.start, 1),
        "to_mm": round(end - found.room.start, 1),
        "lie": lie_json(found.carried[index].lies),
        "error95_mm": round(found.errors[index], 2),
        "draw": [name for name, _ in found.joints[index]] if index < len(found.joints) else [],
        "meet": [name for name, _ in found.joints[index - 1]] if index > 0 else [],
    }
