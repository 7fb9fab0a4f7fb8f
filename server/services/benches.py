"""Benches: made, sighted, calibrated; and how sure each place of the table is."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from calibration.adjust import Adjustment, adjust
from calibration.sightings import read
from calibration.targets import propose_distance
from server.errors import Refusal
from server.services import typed_sightings
from server.services.light import Light
from server.services.optics import optics
from server.store import benches as stored
from server.store.database import Database
from server.store.records import BenchRecord, Document

MAP_COLUMNS, MAP_ROWS = 33, 19
"""How finely the expected error is shown over the table."""


@dataclass(frozen=True)
class Fit:
    """What the adjustment says of some sightings: an adjustment, or the refusal that says what is still wanted."""

    adjustment: Adjustment | None
    refusal: Refusal | None
    rows: tuple[tuple[str, int], ...] = ()
    propose: tuple[str, str] | None = None


def fit(kept: Document, picture: tuple[int, int]) -> Fit:
    """Adjust the complete rows of what was typed; never raises for what a maker may type."""
    rows: tuple[tuple[str, int], ...] = ()
    propose = None
    try:
        complete = typed_sightings.complete(kept, picture)
        sightings, rows = read(complete.document), complete.rows
        propose = propose_distance(sightings)
        return Fit(adjust(sightings), None, rows, propose)
    except Refusal as refusal:
        return Fit(None, refusal, rows, propose)


def report_json(found: Fit) -> dict[str, Any] | None:
    """Return the report, each of its sightings with the list and the row it was typed in; None without adjustment."""
    if found.adjustment is None:
        return None
    report = found.adjustment.report.to_json()
    rows = zip(report["sightings"], found.rows, strict=True)
    return report | {"sightings": [judged | {"list": name, "row": row} for judged, (name, row) in rows]}


def summary(record: BenchRecord) -> dict[str, Any]:
    """Return a bench as lists and the state show it."""
    error = record.report["error"] if record.report else None
    return {
        "id": record.id,
        "name": record.name,
        "practice": record.practice,
        "picture": list(record.picture),
        "calibrated": record.calibration is not None,
        "calibrated_at": record.calibrated_at,
        "error_mm": None if error is None else {"median": error["median_mm"], "worst": error["worst_mm"]},
        "made_at": record.made_at,
        "changed_at": record.changed_at,
    }


def whole(record: BenchRecord) -> dict[str, Any]:
    """Return a bench with its sightings and what the adjustment says of them."""
    found = fit(record.sightings, record.picture)
    return summary(record) | {"sightings": record.sightings, "report": record.report} | _wanted(found)


def _wanted(found: Fit) -> dict[str, Any]:
    """Return what is still wanted: the refusal, and the two crosses whose distance is worth measuring next."""
    refusal = found.refusal
    return {
        "refusal": None if refusal is None else {"sentence": refusal.sentence, "field": refusal.field},
        "propose": None if found.propose is None else list(found.propose),
    }


class Benches:
    """The maker's verbs about benches."""

    def __init__(self, database: Database, light: Light) -> None:
        self._database, self._light = database, light
        self._sighting = threading.Lock()

    def every(self) -> list[dict[str, Any]]:
        """Return all benches, the last made first."""
        with self._database.reading() as session:
            return [summary(record) for record in stored.every(session)]

    def get(self, number: int) -> dict[str, Any]:
        """Return a bench with its sightings; refused when it is not there."""
        return whole(self.record(number))

    def record(self, number: int) -> BenchRecord:
        """Return a bench's record; refused when it is not there."""
        with self._database.reading() as session:
            return stored.get(session, number)

    def add(self, name: str, picture: tuple[int, int], *, practice: bool = False) -> dict[str, Any]:
        """Make a bench for a picture of this size, px, and work on it from now on."""
        sightings = typed_sightings.empty(picture)
        with self._database.writing() as session:
            record = stored.add(session, name=name, picture=picture, sightings=sightings, practice=practice)
        self._light.use(record.id)
        return whole(record)

    def change(self, number: int, name: str, picture: tuple[int, int]) -> dict[str, Any]:
        """Rename a bench, or change its picture while nothing is sighted.

        Raises:
            Refusal: sightings were taken on the present picture (409).

        """
        with self._database.writing() as session:
            record = stored.get(session, number)
            if picture != record.picture:
                _refuse_sighted(record)
                empty = typed_sightings.empty(picture)
                stored.sight(session, number, sightings=empty, calibration=None, report=None)
            record = stored.change(session, number, name=name, picture=picture)
        self._light.refresh()
        return whole(record)

    def sight(self, number: int, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Save sightings, finished or not, and calibrate the bench by them if they suffice.

        Returns:
            The sightings as kept; the report, or the refusal that says what is still wanted; the distance to tape next.

        Raises:
            Refusal: sightings that cannot even be kept.

        """
        with self._sighting:
            record, found = self._renew(number, typed)
        self._light.refresh()
        return {"saved": True, "sightings": record.sightings, "report": record.report} | _wanted(found)

    def _renew(self, number: int, typed: Mapping[str, Any]) -> tuple[BenchRecord, Fit]:
        record = self.record(number)
        kept = typed_sightings.renew(record.sightings, typed, record.picture)
        found = fit(kept, record.picture)
        bench = None if found.adjustment is None else found.adjustment.bench.to_json()
        with self._database.writing() as session:
            record = stored.sight(session, number, sightings=kept, calibration=bench, report=report_json(found))
        return record, found

    def map(self, number: int, height: float) -> dict[str, Any]:
        """Return the picture's outline and the expected error over it, at ``height`` mm above the table.

        Raises:
            Refusal: the bench is not calibrated (409).

        """
        record = self.record(number)
        if record.calibration is None:
            raise Refusal(f"{record.name} is not calibrated yet: take sightings first.", field="bench", status=409)
        bench = optics(record)
        points = bench.grid(MAP_COLUMNS, MAP_ROWS, height)
        error = bench.error95(points, height)
        return {
            "footprint": _rounded(bench.footprint(height)),
            "columns": MAP_COLUMNS,
            "rows": MAP_ROWS,
            "points": _rounded(points),
            "error_mm": np.round(error, 4).tolist(),
            "pixel_mm": float(bench.pixel(points[len(points) // 2][None], height)[0]),
            "worst_mm": float(error.max()),
            "median_mm": float(np.median(error)),
        }


def _refuse_sighted(record: BenchRecord) -> None:
    if any(record.sightings[name] for name in typed_sightings.KINDS):
        sentence = (
            f"{record.name} was sighted on a picture of {record.picture[0]} x {record.picture[1]} pixels: "
            "make another bench for another picture."
        )
        raise Refusal(sentence, field="width", status=409)


def _rounded(points: Any) -> Any:
    return np.round(points, 3).tolist()
