"""Where things stand, in one look, and what to do next."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Any

from server.services.benches import summary
from server.services.light import Light
from server.services.next_step import Standing, next_step
from server.store import benches, checks, layouts, things
from server.store.database import Database, Session
from server.store.records import BenchRecord, LayoutRecord

NO_WINDOW = "No projector window is open."


@dataclass(frozen=True)
class Current:
    """The bench and the layout in use, by number."""

    bench: int | None
    layout: int | None


class State:
    """Reads where things stand from the store and the light."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light

    def current(self) -> Current:
        """Return what is in use: what the light works on, else what was changed last."""
        now = self._standing()
        return Current(bench=now.bench.id if now.bench else None, layout=now.layout.id if now.layout else None)

    def read(self) -> dict[str, Any]:
        """Return where things stand, as GET /api/state answers it."""
        now = self._standing()
        return {
            "window": self._window(now),
            "bench": summary(now.bench) if now.bench else None,
            "thing": {"id": now.thing.id, "name": now.thing.name, "family": now.thing.family} if now.thing else None,
            "layout": {"id": now.layout.id, "name": now.layout.name} if now.layout else None,
            "next": asdict(next_step(now)),
            "light": self._light.shown.to_json() | {"sentence": self._light.frame().sentence},
            "check": _check(now),
            "first_start": now.thing is None and now.bench is None,
        }

    def text(self) -> str:
        """Return ``read`` as JSON text, for the event stream."""
        return json.dumps(self.read(), allow_nan=False)

    def _standing(self) -> Standing:
        light = self._light
        with self._database.reading() as session:
            bench = benches.get(session, light.shown.bench) if light.shown.bench else benches.latest(session)
            return Standing(
                thing=things.latest(session),
                bench=bench,
                layout=self._layout(session, bench),
                check=checks.latest(session, bench.id) if bench else None,
                window_open=light.windows.open,
                misfit=light.misfit(),
            )

    def _layout(self, session: Session, bench: BenchRecord | None) -> LayoutRecord | None:
        shown = self._light.shown.layout
        if shown is not None:
            return layouts.get(session, shown)
        return layouts.latest_on(session, bench.id) if bench else None

    def _window(self, now: Standing) -> dict[str, Any]:
        size = self._light.windows.size()
        known = {"width": None, "height": None, "ratio": None, "fullscreen": False} if size is None else asdict(size)
        sentence = now.misfit if now.window_open else NO_WINDOW
        fits = size is not None and now.misfit is None
        return {"open": now.window_open, **known, "fits": fits, "sentence": sentence}


def _check(now: Standing) -> dict[str, Any] | None:
    if now.check is None or now.bench is None:
        return None
    valid = now.check.made_at >= (now.bench.calibrated_at or "") and now.bench.calibration is not None
    return {"verdict": now.check.verdict, "sentence": now.check.sentence, "made_at": now.check.made_at, "valid": valid}
