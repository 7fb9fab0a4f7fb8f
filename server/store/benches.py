"""Benches in the database."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import BenchRecord, Document
from server.store.tables import Bench

TOLERANCE_MM = 0.5
"""What a maker is content with at 95 % unless another figure is chosen, mm."""


@dataclass(frozen=True)
class Made:
    """How a bench is made: its name, picture (width, height) px, table (width, depth) mm or None, tolerance mm."""

    name: str
    picture: tuple[int, int]
    table: tuple[float | None, float | None] = (None, None)
    tolerance: float = TOLERANCE_MM


def add(session: Session, made: Made, *, sightings: Document, practice: bool = False) -> BenchRecord:
    """Add a bench without calibration and return its record."""
    time = now()
    row = Bench(name=made.name, practice=practice, width=made.picture[0], height=made.picture[1])
    row.sightings, row.tolerance, (row.table_width, row.table_depth) = dict(sightings), made.tolerance, made.table
    row.calibration, row.report, row.calibrated_at = None, None, None
    row.made_at, row.changed_at, row.revision = time, time, 1
    row.witness, row.guard = [], {}
    session.add(row)
    session.flush()
    return _record(row)


def change(session: Session, number: int, made: Made) -> BenchRecord:
    """Give a bench another name, picture, table or tolerance; refused when it is not there."""
    row = rows.one(session, Bench, number, "bench")
    row.name, (row.width, row.height) = made.name, made.picture
    (row.table_width, row.table_depth), row.tolerance = made.table, made.tolerance
    _changed(row)
    return _record(row)


def correct(
    session: Session,
    number: int,
    *,
    calibration: Document,
    report: Document | None,
    witness: Sequence[Document],
    sightings: Document | None = None,
) -> BenchRecord:
    """Save a calibration that a session check corrected, or one that came from a file; None leaves the sightings."""
    row = rows.one(session, Bench, number, "bench")
    row.sightings = row.sightings if sightings is None else dict(sightings)
    row.calibration, row.report = dict(calibration), None if report is None else dict(report)
    row.witness = [dict(mark) for mark in witness]
    row.calibrated_at = row.calibrated_at or now()
    _changed(row)
    return _record(row)


def mark(session: Session, number: int, witness: Sequence[Document]) -> BenchRecord:
    """Save the witness marks of a bench in place of those before."""
    row = rows.one(session, Bench, number, "bench")
    row.witness = [dict(one) for one in witness]
    row.changed_at = now()
    return _record(row)


def answer(session: Session, number: int, guard: Document, warm_since: str | None) -> BenchRecord:
    """Save what was answered about the picture of a bench, and since when its lamp is lit."""
    row = rows.one(session, Bench, number, "bench")
    row.guard, row.warm_since = dict(guard), warm_since
    row.changed_at = now()
    return _record(row)


def sight(
    session: Session, number: int, *, sightings: Document, calibration: Document | None, report: Document | None
) -> BenchRecord:
    """Save the sightings of a bench together with what the adjustment made of them; None where it was refused."""
    row = rows.one(session, Bench, number, "bench")
    time = now()
    row.sightings = dict(sightings)
    row.calibration = None if calibration is None else dict(calibration)
    row.report = None if report is None else dict(report)
    row.calibrated_at = None if calibration is None else time
    _changed(row)
    return _record(row)


def keep(session: Session, number: int, sightings: Document) -> BenchRecord:
    """Save the sightings of a bench and leave its calibration as it is."""
    row = rows.one(session, Bench, number, "bench")
    row.sightings = dict(sightings)
    _changed(row)
    return _record(row)


def get(session: Session, number: int) -> BenchRecord:
    """Return a bench; refused when it is not there."""
    return _record(rows.one(session, Bench, number, "bench"))


def every(session: Session) -> list[BenchRecord]:
    """Return all benches, the last made first."""
    return [_record(row) for row in rows.newest_first(session, Bench)]


def of_practice(session: Session) -> BenchRecord | None:
    """Return the practice workshop's bench, if it was made."""
    row = rows.of_practice(session, Bench)
    return None if row is None else _record(row)


def latest(session: Session) -> BenchRecord | None:
    """Return the bench that was made or changed last."""
    row = rows.last_changed(session, Bench)
    return None if row is None else _record(row)


def _changed(row: Bench) -> None:
    row.changed_at, row.revision = now(), row.revision + 1


def _record(row: Bench) -> BenchRecord:
    return BenchRecord(
        id=row.id,
        name=row.name,
        practice=row.practice,
        picture=(row.width, row.height),
        sightings=row.sightings,
        calibration=row.calibration,
        report=row.report,
        calibrated_at=row.calibrated_at,
        made_at=row.made_at,
        changed_at=row.changed_at,
        revision=row.revision,
        table=(row.table_width, row.table_depth),
        tolerance=row.tolerance,
        witness=tuple(row.witness),
        warm_since=row.warm_since,
        guard=row.guard,
    )
