"""Jobs in the database: a layout worked through at the table, copy after copy, and where the maker has got to."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import CheckConstraint, ForeignKey, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from server.store import rows
from server.store.clock import now
from server.store.tables import NEVER_AGAIN, Layout, Table


class Job(Table):
    """A job. ``layout_id`` is null once its layout is gone; ``done_at`` is null while there is work left."""

    __tablename__ = "jobs"
    __table_args__ = (
        CheckConstraint("copies > 0 AND copy > 0 AND copy <= copies", name="copies"),
        CheckConstraint("rate > 0", name="rate"),
        NEVER_AGAIN,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    layout_id: Mapped[int | None] = mapped_column(ForeignKey("layouts.id", ondelete="SET NULL"), index=True)
    name: Mapped[str]
    copies: Mapped[int]
    order: Mapped[str]
    copy: Mapped[int]
    step: Mapped[str]
    strike: Mapped[int | None]
    by_strike: Mapped[bool]
    side: Mapped[str]
    rate: Mapped[float]
    unchecked_at: Mapped[str | None]
    done_at: Mapped[str | None]
    made_at: Mapped[str]
    changed_at: Mapped[str]
    revision: Mapped[int]


@dataclass(frozen=True)
class JobState:
    """What changes on a job while it is worked on.

    Args:
        name: what the maker calls it.
        copies: how many are made.
        order: "copy" to finish one copy before the next, "step" to take each step through all copies.
        copy: the present copy, from 1.
        step: name of the present step.
        strike: the present blow of the step, from 0; None where the step is shown whole.
        by_strike: whether pricking goes blow by blow.
        side: the edge of the table at which the maker stands.
        rate: blows a minute when they follow by themselves.
        unchecked_at: when the maker chose to go on without a bench check; None when not.
        done_at: when the job was finished; None while it is under way.

    """

    name: str
    copies: int
    order: str
    copy: int
    step: str
    strike: int | None
    by_strike: bool
    side: str
    rate: float
    unchecked_at: str | None = None
    done_at: str | None = None


@dataclass(frozen=True)
class JobRecord:
    """A job as it is kept; ``revision`` counts its changes."""

    id: int
    layout_id: int | None
    state: JobState
    made_at: str
    changed_at: str
    revision: int

    @property
    def name(self) -> str:
        """Return what the maker calls it."""
        return self.state.name


def add(session: Session, *, layout_id: int, state: JobState) -> JobRecord:
    """Add a job; ``layout_id`` must be there."""
    time = now()
    row = Job(layout_id=layout_id, made_at=time, changed_at=time, revision=1)
    _write(row, state)
    session.add(row)
    session.flush()
    return _record(row)


def change(session: Session, number: int, state: JobState) -> JobRecord:
    """Save where a job has got to; refused when it is not there."""
    row = rows.one(session, Job, number, "job")
    _write(row, state)
    row.changed_at, row.revision = now(), row.revision + 1
    session.flush()
    return _record(row)


def get(session: Session, number: int) -> JobRecord:
    """Return a job; refused when it is not there."""
    return _record(rows.one(session, Job, number, "job"))


def every(session: Session) -> list[JobRecord]:
    """Return all jobs, the one worked on last first."""
    return [_record(row) for row in session.scalars(select(Job).order_by(Job.changed_at.desc(), Job.id.desc()))]


def latest_under_way(session: Session) -> JobRecord | None:
    """Return the unfinished job that was worked on last."""
    open_ones = select(Job).where(Job.done_at.is_(None)).order_by(Job.changed_at.desc(), Job.id.desc())
    row = session.scalars(open_ones).first()
    return None if row is None else _record(row)


def latest_side(session: Session, bench_id: int) -> str | None:
    """Return the side at which the maker stood in the job on this bench that was worked on last."""
    here = select(Job.side).join(Layout, Layout.id == Job.layout_id).where(Layout.bench_id == bench_id)
    return session.scalars(here.order_by(Job.changed_at.desc(), Job.id.desc())).first()


def _write(row: Job, state: JobState) -> None:
    for name, value in vars(state).items():
        setattr(row, name, value)


def _record(row: Job) -> JobRecord:
    state = JobState(**{name: getattr(row, name) for name in JobState.__dataclass_fields__})
    return JobRecord(row.id, row.layout_id, state, row.made_at, row.changed_at, row.revision)
