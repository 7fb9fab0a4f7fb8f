"""A new session on a calibrated bench: the marks it is judged by, the decision, and the history."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calibration.sightings import Pair
from calibration.witness import resume
from server.services.bench import history, witness
from server.services.bench.bench_view import renewed_report, whole
from server.services.bench.optics import optics
from server.services.bench.typed_sightings import set_aside
from server.services.light.light import Light
from server.services.practice.truth import PracticeTruth
from server.store import benches
from server.store.clock import now
from server.store.database import Database
from server.store.records import BenchRecord, Document


class Sessions:
    """The maker's verbs about witness marks and sessions."""

    def __init__(self, database: Database, light: Light, truth: PracticeTruth) -> None:
        self._database, self._light, self._truth = database, light, truth

    def mark_own(self, number: int, names: Sequence[str]) -> dict[str, Any]:
        """Take the crosses of these letters, as they lie now, for witness marks.

        Raises:
            Refusal: the bench is not calibrated (409), there is no such cross, or there are too few or too many.

        """
        record = self._record(number)
        marks = witness.own(record, names)
        if record.practice:
            self._truth.draw({mark["name"]: mark["pixel"] for mark in marks})
        return self._mark(number, marks)

    def mark_known(self, number: int, places: Mapping[str, Pair]) -> dict[str, Any]:
        """Take places of the table, mm, for witness marks.

        Raises:
            Refusal: the bench is not calibrated (409), a place is not lit, or there are too few or too many.

        """
        record = self._record(number)
        marks = witness.known(record, places)
        if record.practice and record.calibration is not None:
            self._lay(record.calibration, marks)
        return self._mark(number, marks)

    def decide(self, number: int, seen: Mapping[str, Pair]) -> dict[str, Any]:
        """Decide whether the bench still holds, given where (px) its witness crosses lie on their marks.

        A small shift is corrected and saved; the calibration from before stays in the history, and the sightings that it
        rests on are set aside: they were taken of a projector that hung otherwise.

        Raises:
            Refusal: no usable marks (409), fewer than two, or a place outside the picture.

        """
        with self._database.writing() as session:
            record = benches.get(session, number)
            witness.check_inside(record, seen, "seen")
            found = resume(optics(record), witness.sighted(record, seen))
            history.note_session(session, record, found)
            if found.decision == "shifted":
                report = renewed_report(record.report, found.bench)
                marks = witness.corrected(record, found.bench)
                calibration = found.bench.to_json()
                kept = set_aside(record.sightings, now())
                record = benches.correct(
                    session, number, calibration=calibration, report=report, witness=marks, sightings=kept
                )
            shown = whole(session, record)
        self._light.settle()
        off = {name: round(mm, 3) for name, mm in found.off_mm.items()}
        return found.to_json() | {"off_mm": off, "bench": shown}

    def history(self, number: int) -> list[dict[str, Any]]:
        """Return the history of a bench, newest first; refused when it is not there."""
        with self._database.reading() as session:
            benches.get(session, number)
            return history.every(session, number)

    def _record(self, number: int) -> BenchRecord:
        with self._database.reading() as session:
            return benches.get(session, number)

    def _mark(self, number: int, marks: Sequence[Document]) -> dict[str, Any]:
        with self._database.writing() as session:
            shown = whole(session, benches.mark(session, number, marks))
        self._light.settle()
        return shown

    def _lay(self, calibration: Document, marks: Sequence[Document]) -> None:
        """Put known marks on the practice table: where the table has them, or where a frame of its own crosses shows them."""
        if calibration["frame"] == "positions":
            self._truth.lay({mark["name"]: mark["place"] for mark in marks})
        else:
            self._truth.draw({mark["name"]: mark["pixel"] for mark in marks})
