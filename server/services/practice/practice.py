"""The practice workshop: made with one press, sighted with one press, measured with a drawn rule."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from server.errors import Refusal
from server.practice import workshop
from server.practice.knock import HOWS, How
from server.practice.projector import TRUE
from server.services.bench import check_figure, witness
from server.services.bench.benches import Benches
from server.services.bench.optics import optics
from server.services.light.light import Light
from server.services.pattern.things import Things
from server.services.practice.landings import landing_or_say, true_corners
from server.services.practice.truth import PracticeTruth, Truth
from server.store import benches, things
from server.store.benches import Made
from server.store.database import Database
from server.store.records import BenchRecord, Document

__all__ = ["HOWS", "WAYS", "How", "Practice", "Way"]

Way = Literal["marks", "tape", "block"]
WAYS: tuple[Way, ...] = ("marks", "tape", "block")

_KEYS = {"positions": ("cross", "height"), "distances": ("from", "to", "height")}


PRACTICE_BENCH = Made(workshop.BENCH_NAME, TRUE.picture, (workshop.TABLE.width, workshop.TABLE.height))

KNOCKED: Mapping[How, str] = {
    "a little": "Somebody has brushed against the projector: check the bench by its witness marks.",
    "a lot": "Somebody has hit the projector with a ladder: check the bench by its witness marks.",
    "back": "The projector hangs as it first did: check the bench by its witness marks.",
}


NO_CROSSES = "There is no cross in the picture to sight: put the grid of crosses back first."


@dataclass(frozen=True)
class _Traced:
    """What is seen on the practice table as JSON, of one version of the light and one truth."""

    version: int
    truth: Truth
    text: str


class Practice:
    """The practice workshop's verbs; ``truth`` is what is really so there."""

    def __init__(self, database: Database, found: tuple[Benches, Things], light: Light, truth: PracticeTruth) -> None:
        self._database, self._light = database, light
        self._benches, self._things = found
        self._truth = truth
        self._lock = threading.Lock()
        self._tracing = threading.Lock()
        self._traced: _Traced | None = None

    def start(self) -> dict[str, Any]:
        """Make the practice bench and thing where they are missing, and work on that bench."""
        with self._lock:
            with self._database.reading() as session:
                bench, thing = benches.of_practice(session), things.of_practice(session)
            bench_id = bench.id if bench else self._add_bench()
            thing_id = thing.id if thing else self._add_thing()
        self._light.use(bench_id)
        return {"bench": bench_id, "thing": thing_id}

    def sight(self, bench: int, way: Way, replace: bool) -> dict[str, Any]:
        """Take sightings of the practice bench with a hand's noise, and save them.

        Args:
            bench: its number.
            way: where every cross lies; distances by tape; or four crosses on a block of 100 mm.
            replace: whether sightings taken before are thrown away first.

        Raises:
            Refusal: it is a real bench (409): its sightings can only be taken at the bench.

        """
        with self._lock:
            record = self._record(bench)
            kept: dict[str, Any] = {"positions": [], "distances": [], "lens": []} if replace else {}
            return self._benches.sight(bench, _merged({**record.sightings, **kept}, self._seen(record.sightings, way)))

    def read(self, size: float) -> dict[str, Any]:
        """Return what the steel rule reads on the check figure in the light, mm.

        Raises:
            Refusal: the light does not show the check figure of that size on the practice bench (409).

        """
        stage = self._light.stage
        corners = true_corners(stage, self._truth.now.projector)
        if corners is None or stage.shown.size != size:
            sentence = f"The practice table does not show the check figure of {size:g} mm: show it first."
            raise Refusal(sentence, field="size", status=409)
        with self._lock:
            return {"size": size, "readings": self._truth.hand().rule(check_figure.lengths(corners))}

    def knock(self, how: How) -> dict[str, Any]:
        """Knock the practice projector, or hang it back as it was: the light lands elsewhere, and nobody says by how much."""
        with self._lock:
            self._truth.knock(how)
        self._light.refresh()
        return {"how": how, "sentence": KNOCKED[how]}

    def witness(self, bench: int) -> dict[str, Any]:
        """Move each witness cross onto its mark by whole pixels, with a hand's noise; the light follows where it shows them.

        Raises:
            Refusal: it is a real bench, or its marks cannot be used (409).

        """
        with self._lock:
            record = self._record(bench)
            start = witness.predicted(witness.usable(record), optics(record))
            dots = {name: place for name, place in self._truth.now.dots.items() if name in start}
            if dots.keys() != start.keys():
                raise Refusal(
                    "The dots are not on the practice table: draw the marks again.", field="bench", status=409
                )
            seen = self._truth.hand().nudges(dots, start)
        if self._light.shown.bench == bench:
            self._light.nudge({name: (at[0], at[1]) for name, at in seen.items()})
        moved = {name: [round(at[0] - start[name][0]), round(at[1] - start[name][1])] for name, at in seen.items()}
        return {"seen": seen, "moved": moved}

    def landing_text(self) -> str:
        """Return what is seen on the practice table, as JSON text: traced once for all windows."""
        with self._tracing:
            (stage, frame), truth = self._light.scene(), self._truth.now
            if self._traced is None or self._traced.version != frame.version or self._traced.truth is not truth:
                seen = landing_or_say(stage, frame, truth)
                text = json.dumps(seen, allow_nan=False, separators=(",", ":"))
                self._traced = _Traced(frame.version, truth, text)
            return self._traced.text

    def _record(self, bench: int) -> BenchRecord:
        record = self._benches.record(bench)
        if not record.practice:
            sentence = f"{record.name} is a real bench: its sightings are taken by hand."
            raise Refusal(sentence, field="bench", status=409)
        return record

    def _seen(self, sightings: Document, way: Way) -> dict[str, list[dict[str, Any]]]:
        crosses, hand = sightings["crosses"], self._truth.hand()
        if not crosses:
            raise Refusal(NO_CROSSES, field="crosses", status=409)
        if way == "marks":
            return {"positions": hand.marks(crosses)}
        if way == "tape":
            return {"distances": hand.tape(crosses)}
        if sightings["distances"] and not sightings["positions"]:
            return {"distances": hand.block_tape(crosses)}
        return {"positions": hand.block(crosses)}

    def _add_bench(self) -> int:
        return int(self._benches.add(PRACTICE_BENCH, practice=True)["id"])

    def _add_thing(self) -> int:
        added = self._things.add(workshop.THING_NAME, workshop.FAMILY, workshop.MEASURES, practice=True)
        return int(added["id"])


def _merged(kept: Mapping[str, Any], seen: Mapping[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """Return the sightings with what was seen now in place of older rows of the same crosses at the same height."""
    merged = dict(kept) | {"unit": "mm"}
    for name, rows in seen.items():
        fresh = {_key(name, row) for row in rows}
        merged[name] = [row for row in kept[name] if _key(name, row) not in fresh] + rows
    return merged


def _key(name: str, row: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(row.get(key) or 0.0 for key in _KEYS[name])
