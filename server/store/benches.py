"""Benches in the database."""

from __future__ import annotations

from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import BenchRecord, Document
from server.store.tables import Bench


def add(
    session: Session, *, name: str, picture: tuple[int, int], sightings: Document, practice: bool = False
) -> BenchRecord:
    """Add a bench without calibration and return its record; ``picture`` is (width, height) px."""
    time = now()
    row = Bench(name=name, practice=practice, width=picture[0], height=picture[1], sightings=dict(sightings))
    row.calibration, row.report, row.calibrated_at = None, None, None
    row.made_at, row.changed_at, row.revision = time, time, 1
    session.add(row)
    session.flush()
    return _record(row)


def change(session: Session, number: int, *, name: str, picture: tuple[int, int]) -> BenchRecord:
    """Rename a bench or give it another picture size; refused when it is not there."""
    row = rows.one(session, Bench, number, "bench")
    row.name, row.width, row.height = name, picture[0], picture[1]
    row.changed_at, row.revision = now(), row.revision + 1
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
    row.changed_at, row.revision = time, row.revision + 1
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
    )
