"""Checks in the database: added, never changed."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import CheckRecord
from server.store.tables import Bench, Check


def add(
    session: Session,
    *,
    bench_id: int,
    size: float,
    height: float,
    readings: Mapping[str, float],
    verdict: str,
    sentence: str,
) -> CheckRecord:
    """Add a check of a bench as it is calibrated now; refused when there is no such bench."""
    bench = rows.one(session, Bench, bench_id, "bench")
    row = Check(bench_id=bench_id, bench_revision=bench.revision, size=size, height=height, made_at=now())
    row.readings, row.verdict, row.sentence = dict(readings), verdict, sentence
    session.add(row)
    session.flush()
    return _record(row)


def latest(session: Session, bench_id: int) -> CheckRecord | None:
    """Return the last check of a bench."""
    row = session.scalars(select(Check).where(Check.bench_id == bench_id).order_by(Check.id.desc())).first()
    return None if row is None else _record(row)


def _record(row: Check) -> CheckRecord:
    return CheckRecord(
        id=row.id,
        bench_id=row.bench_id,
        bench_revision=row.bench_revision,
        size=row.size,
        height=row.height,
        readings=dict(row.readings),
        verdict=row.verdict,
        sentence=row.sentence,
        made_at=row.made_at,
    )
