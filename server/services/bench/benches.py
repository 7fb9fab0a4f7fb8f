"""Benches: made, sighted, calibrated; and how sure each place of the table is."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from calibration.bench import Bench
from server.errors import Refusal
from server.services.bench import bench_file, history, typed_sightings
from server.services.bench.bench_view import renewed_report, summary, whole
from server.services.bench.fitting import Fit, fit, report_json, wanted
from server.services.bench.optics import expected_error, optics
from server.services.bench.witness import refuse_uncalibrated
from server.services.light.light import Light
from server.store import benches as stored
from server.store.benches import TOLERANCE_MM, Made
from server.store.database import Database, Session
from server.store.records import BenchRecord, Document

__all__ = ["TOLERANCE_MM", "BenchChange", "Benches", "Made"]

MAP_COLUMNS, MAP_ROWS = 33, 19
"""How finely the expected error is shown over the table."""


@dataclass(frozen=True)
class BenchChange:
    """What to change on a bench; None leaves it as it is. A side of the table of 0 mm forgets it."""

    name: str | None = None
    width: int | None = None
    height: int | None = None
    table_width: float | None = None
    table_depth: float | None = None
    tolerance: float | None = None


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
        with self._database.reading() as session:
            return whole(session, stored.get(session, number))

    def record(self, number: int) -> BenchRecord:
        """Return a bench's record; refused when it is not there."""
        with self._database.reading() as session:
            return stored.get(session, number)

    def add(self, made: Made, *, practice: bool = False) -> dict[str, Any]:
        """Make a bench and work on it from now on."""
        sightings = typed_sightings.empty(made.picture)
        with self._database.writing() as session:
            record = stored.add(session, made, sightings=sightings, practice=practice)
        self._light.use(record.id)
        return self.get(record.id)

    def bring(self, name: str, document: Document) -> dict[str, Any]:
        """Make a bench from a bench file and work on it from now on.

        Raises:
            Refusal: the file is not one, is damaged, or is of a bench that was not calibrated.

        """
        bench, made, marks = bench_file.read(name, document)
        report = renewed_report(bench_file.report(document), bench)
        with self._database.writing() as session:
            record = stored.add(session, made, sightings=typed_sightings.empty(bench.picture))
            stored.correct(session, record.id, calibration=bench.to_json(), report=report, witness=())
            record = stored.get(session, record.id)
            stored.mark(session, record.id, [dict(mark) | {"of": record.calibrated_at} for mark in marks])
            history.note_import(session, record.id, bench)
        self._light.use(record.id)
        return self.get(record.id)

    def file(self, number: int) -> tuple[str, dict[str, Any]]:
        """Return the name and the content of a bench's file; refused (409) while it is not calibrated."""
        record = self.record(number)
        refuse_uncalibrated(record)
        return bench_file.name_of(record), bench_file.write(record)

    def change(self, number: int, change: BenchChange) -> dict[str, Any]:
        """Change a bench; its picture only while nothing is sighted.

        Raises:
            Refusal: sightings were taken on the present picture (409).

        """
        with self._database.writing() as session:
            record = stored.get(session, number)
            made = _changed(record, change)
            if made.picture != record.picture:
                _refuse_sighted(record)
                empty = typed_sightings.empty(made.picture)
                stored.sight(session, number, sightings=empty, calibration=None, report=None)
                stored.mark(session, number, ())
            stored.change(session, number, made)
        self._light.refresh()
        return self.get(number)

    def sight(self, number: int, typed: Mapping[str, Any]) -> dict[str, Any]:
        """Save sightings, finished or not, and calibrate the bench by them if they suffice.

        Returns:
            The sightings as kept; the report, or the refusal that says what is still wanted; the distance to tape next.

        Raises:
            Refusal: sightings that cannot even be kept.

        """
        with self._sighting:
            found = self._renew(number, typed)
        self._light.refresh()
        shown = self.get(number)
        answered = {name: shown[name] for name in ("sightings", "report", "stale")}
        return {"saved": True} | answered | wanted(found)

    def _renew(self, number: int, typed: Mapping[str, Any]) -> Fit:
        """Save what was typed. What changes nothing leaves the calibration alone, as corrected by sessions."""
        record = self.record(number)
        kept = typed_sightings.renew(record.sightings, typed, record.picture)
        found = fit(kept, record.picture)
        if kept != record.sightings:
            with self._database.writing() as session:
                _save(session, record, kept, found)
        return found

    def map(self, number: int, height: float) -> dict[str, Any]:
        """Return the picture's outline and the expected error over it, at ``height`` mm above the table.

        Raises:
            Refusal: the bench is not calibrated (409).

        """
        record = self.record(number)
        refuse_uncalibrated(record)
        bench = optics(record)
        points = bench.grid(MAP_COLUMNS, MAP_ROWS, height)
        error = expected_error(bench, points, height)
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


def _save(session: Session, before: BenchRecord, kept: Document, found: Fit) -> None:
    """Save sightings with what they give. A calibration that came from a file stands until they give another."""
    if found.adjustment is None and before.calibration is not None and _from_elsewhere(before):
        stored.keep(session, before.id, kept)
        return
    bench: Bench | None = None if found.adjustment is None else found.adjustment.bench
    report = report_json(found)
    calibration = None if bench is None else bench.to_json()
    stored.sight(session, before.id, sightings=kept, calibration=calibration, report=report)
    if bench is not None and report is not None:
        history.note_calibration(session, before, bench, report)


def _from_elsewhere(record: BenchRecord) -> bool:
    """Tell whether the calibration does not rest on the sightings that are kept."""
    return fit(record.sightings, record.picture).adjustment is None


def _changed(record: BenchRecord, change: BenchChange) -> Made:
    made = Made(record.name, record.picture, record.table, record.tolerance)
    width, height = record.picture
    sides = ((change.table_width, record.table[0]), (change.table_depth, record.table[1]))
    table_width, table_depth = (now if side is None else side or None for side, now in sides)
    return replace(
        made,
        name=change.name or made.name,
        picture=(change.width or width, change.height or height),
        table=(table_width, table_depth),
        tolerance=made.tolerance if change.tolerance is None else change.tolerance,
    )


def _refuse_sighted(record: BenchRecord) -> None:
    if record.calibration is not None or any(record.sightings[name] for name in typed_sightings.KINDS):
        sentence = (
            f"{record.name} was sighted on a picture of {record.picture[0]} x {record.picture[1]} pixels: "
            "make another bench for another picture."
        )
        raise Refusal(sentence, field="width", status=409)


def _rounded(points: Any) -> Any:
    return np.round(points, 3).tolist()
