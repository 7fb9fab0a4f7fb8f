"""The history of a bench in the database."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import Entry, SessionRecord
from server.store.tables import Bench, BenchSession


def add(session: Session, bench_id: int, entry: Entry) -> SessionRecord:
    """Add an entry to the history of a bench; refused when there is no such bench."""
    rows.one(session, Bench, bench_id, "bench")
    row = BenchSession(bench_id=bench_id)
    _write(row, entry)
    row.calibration_before = None if entry.calibration_before is None else dict(entry.calibration_before)
    session.add(row)
    session.flush()
    return _record(row)


def renew(session: Session, number: int, entry: Entry) -> SessionRecord:
    """Bring an entry up to date; the calibration from before it stays the one it began from."""
    row = rows.one(session, BenchSession, number, "session")
    _write(row, entry)
    session.flush()
    return _record(row)


def every(session: Session, bench_id: int) -> list[SessionRecord]:
    """Return the history of a bench, newest first."""
    found = session.scalars(
        select(BenchSession).where(BenchSession.bench_id == bench_id).order_by(BenchSession.id.desc())
    )
    return [_record(row) for row in found]


def latest(session: Session, bench_id: int, *kinds: str, decision: str | None = None) -> SessionRecord | None:
    """Return the newest entry of these kinds (of any kind when none is named), of that decision if one is named."""
    here = select(BenchSession).where(BenchSession.bench_id == bench_id)
    if kinds:
        here = here.where(BenchSession.kind.in_(kinds))
    if decision is not None:
        here = here.where(BenchSession.decision == decision)
    row = session.scalars(here.order_by(BenchSession.id.desc()).limit(1)).first()
    return None if row is None else _record(row)


def _write(row: BenchSession, entry: Entry) -> None:
    row.at, row.kind, row.decision, row.sentence = now(), entry.kind, entry.decision, entry.sentence
    row.drift_mm, row.sigma0 = entry.drift_mm, entry.sigma0
    row.still_chance, row.shift_chance = entry.still_chance, entry.shift_chance
    row.off_mm = dict(entry.off_mm)


def _record(row: BenchSession) -> SessionRecord:
    entry = Entry(
        kind=row.kind,
        decision=row.decision,
        sentence=row.sentence,
        drift_mm=row.drift_mm,
        sigma0=row.sigma0,
        still_chance=row.still_chance,
        shift_chance=row.shift_chance,
        off_mm=dict(row.off_mm),
        calibration_before=row.calibration_before,
    )
    return SessionRecord(row.id, row.bench_id, row.at, entry)
