"""The practice workshop: made with one press, sighted with one press, measured with a drawn rule."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from typing import Any, Literal

import numpy as np

from server.errors import Refusal
from server.practice import workshop
from server.practice.hand import Hand
from server.practice.projector import TRUE
from server.services import check_figure
from server.services.benches import Benches
from server.services.landings import landing, true_corners
from server.services.light import Light
from server.services.things import Things
from server.store import benches, things
from server.store.database import Database
from server.store.records import Document

Way = Literal["marks", "tape", "block"]
WAYS: tuple[Way, ...] = ("marks", "tape", "block")

_KEYS = {"positions": ("cross", "height"), "distances": ("from", "to", "height")}


class Practice:
    """The practice workshop's verbs. ``random`` is the hand's noise."""

    def __init__(
        self, database: Database, found: tuple[Benches, Things], light: Light, random: np.random.Generator
    ) -> None:
        self._database, self._light = database, light
        self._benches, self._things = found
        self._hand = Hand(TRUE, random)
        self._lock = threading.Lock()

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
            record = self._benches.record(bench)
            if not record.practice:
                raise Refusal(
                    f"{record.name} is a real bench: its sightings are taken by hand.", field="bench", status=409
                )
            kept: dict[str, Any] = {"positions": [], "distances": [], "lens": []} if replace else {}
            return self._benches.sight(bench, _merged({**record.sightings, **kept}, self._seen(record.sightings, way)))

    def read(self, size: float) -> dict[str, Any]:
        """Return what the steel rule reads on the check figure in the light, mm.

        Raises:
            Refusal: the light does not show the check figure of that size on the practice bench (409).

        """
        stage = self._light.stage
        corners = true_corners(stage)
        if corners is None or stage.shown.size != size:
            sentence = f"The practice table does not show the check figure of {size:g} mm: show it first."
            raise Refusal(sentence, field="size", status=409)
        with self._lock:
            return {"size": size, "readings": self._hand.rule(check_figure.lengths(corners))}

    def landing_text(self) -> str:
        """Return what is seen on the practice table, as JSON text."""
        return json.dumps(landing(self._light.stage, self._light.frame()), allow_nan=False, separators=(",", ":"))

    def _seen(self, sightings: Document, way: Way) -> dict[str, list[dict[str, Any]]]:
        crosses = sightings["crosses"]
        if way == "marks":
            return {"positions": self._hand.marks(crosses)}
        if way == "tape":
            return {"distances": self._hand.tape(crosses)}
        if sightings["distances"] and not sightings["positions"]:
            return {"distances": self._hand.block_tape(crosses)}
        return {"positions": self._hand.block(crosses)}

    def _add_bench(self) -> int:
        return int(self._benches.add(workshop.BENCH_NAME, TRUE.picture, practice=True)["id"])

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
