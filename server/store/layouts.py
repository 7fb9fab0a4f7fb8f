"""Layouts and the placements of their pieces in the database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from server.store import rows
from server.store.clock import now
from server.store.records import LayoutRecord, Lie
from server.store.tables import Bench, LaidPiece, Layout, Pattern


@dataclass(frozen=True)
class Laid:
    """What a maker can change on a layout; the fields are those of ``LayoutRecord``."""

    name: str
    leather: str
    leather_mm: float
    step: str | None
    show: Mapping[str, bool]
    placements: Mapping[str, Lie]


def add(session: Session, *, pattern_id: int, bench_id: int, laid: Laid) -> LayoutRecord:
    """Add a layout of a pattern on a bench; refused when either is not there."""
    rows.one(session, Pattern, pattern_id, "pattern")
    rows.one(session, Bench, bench_id, "bench")
    time = now()
    row = Layout(pattern_id=pattern_id, bench_id=bench_id, made_at=time, changed_at=time, revision=0)
    _write(row, laid)
    session.add(row)
    session.flush()
    _place(session, row.id, laid.placements)
    return _record(session, row)


def change(session: Session, number: int, laid: Laid) -> LayoutRecord:
    """Save a layout as it is now; refused when it is not there."""
    row = rows.one(session, Layout, number, "layout")
    _write(row, laid)
    _place(session, number, laid.placements)
    return _record(session, row)


def get(session: Session, number: int) -> LayoutRecord:
    """Return a layout; refused when it is not there."""
    return _record(session, rows.one(session, Layout, number, "layout"))


def every(session: Session) -> list[LayoutRecord]:
    """Return all layouts, the last made first."""
    return [_record(session, row) for row in rows.newest_first(session, Layout)]


def latest_on(session: Session, bench_id: int) -> LayoutRecord | None:
    """Return the layout on this bench that was made or changed last."""
    here = select(Layout).where(Layout.bench_id == bench_id, rows.kept(Layout))
    row = session.scalars(here.order_by(Layout.changed_at.desc(), Layout.id.desc())).first()
    return None if row is None else _record(session, row)


def _write(row: Layout, laid: Laid) -> None:
    row.name, row.leather, row.leather_mm = laid.name, laid.leather, laid.leather_mm
    row.step, row.show = laid.step, dict(laid.show)
    row.changed_at, row.revision = now(), row.revision + 1


def _place(session: Session, number: int, placements: Mapping[str, Lie]) -> None:
    for piece, lie in placements.items():
        session.merge(LaidPiece(layout_id=number, piece=piece, x=lie.x, y=lie.y, turn=lie.turn, mirror=lie.mirror))
    session.flush()


def _record(session: Session, row: Layout) -> LayoutRecord:
    found = session.scalars(select(LaidPiece).where(LaidPiece.layout_id == row.id).order_by(LaidPiece.piece))
    return LayoutRecord(
        id=row.id,
        name=row.name,
        pattern_id=row.pattern_id,
        bench_id=row.bench_id,
        leather=row.leather,
        leather_mm=row.leather_mm,
        step=row.step,
        show=dict(row.show),
        placements={laid.piece: Lie(laid.x, laid.y, laid.turn, laid.mirror) for laid in found},
        made_at=row.made_at,
        changed_at=row.changed_at,
        revision=row.revision,
    )
