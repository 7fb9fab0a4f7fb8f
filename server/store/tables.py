"""The tables. Lengths are mm, times are UTC in ISO 8601 text (it sorts), whole documents are JSON.

Every table that a maker changes carries ``revision``, counted up by each change, so that a history of changes can
later point at "this row, as of this revision" without touching these tables. ``bin_id`` says in which bag of the bin a row
lies, None where it lies in none.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import JSON, CheckConstraint, Dialect, Double, ForeignKey, MetaData, TypeDecorator, text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NEVER_AGAIN = {"sqlite_autoincrement": True}
"""A number once given to a row is never given to another, so that old references stay true."""

NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, because a migration can only change what it can name."""


class Damaged(ValueError):
    """A stored value is not what was ever written there."""


class Kept(TypeDecorator[Any]):
    """A whole document as JSON, which must come back as the kind of value that went in.

    Raises:
        Damaged: on reading, where it is JSON but of another kind.

    """

    impl = JSON
    cache_ok = True

    def __init__(self, kind: type[dict[Any, Any]] | type[list[Any]]) -> None:
        super().__init__(none_as_null=True)
        self.kind = kind

    def process_result_value(self, value: Any, dialect: Dialect) -> Any:  # noqa: ARG002  (SQLAlchemy's way)
        """Return the document; nothing is a document only where there may be none."""
        if isinstance(value, self.kind) or (value is None and self.kind is dict):
            return value
        raise Damaged(f"a stored document is no {'list' if self.kind is list else 'object'}")


class Table(DeclarativeBase):
    """What all tables share: the metadata, and JSON for documents."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {  # noqa: RUF012  (SQLAlchemy's way)
        dict[str, Any]: Kept(dict),
        list[dict[str, Any]]: Kept(list),
        float: Double(),
    }


class Bench(Table):
    """A projector over a bench: its picture, the sightings taken, and what the adjustment made of them.

    ``tolerance`` is the error at 95 % that its maker is content with; ``witness`` the marks on the table that tell
    whether it moved; ``warm_since`` when the lamp was lit; ``guard`` what the maker answered about the picture, by name.
    """

    __tablename__ = "benches"
    __table_args__ = (CheckConstraint("width > 0 AND height > 0", name="picture"), NEVER_AGAIN)

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    practice: Mapped[bool]
    width: Mapped[int]
    height: Mapped[int]
    sightings: Mapped[dict[str, Any]]
    calibration: Mapped[dict[str, Any] | None]
    report: Mapped[dict[str, Any] | None]
    calibrated_at: Mapped[str | None]
    made_at: Mapped[str]
    changed_at: Mapped[str]
    revision: Mapped[int]
    table_width: Mapped[float | None]
    table_depth: Mapped[float | None]
    tolerance: Mapped[float] = mapped_column(server_default=text("0.5"))
    witness: Mapped[list[dict[str, Any]]] = mapped_column(server_default=text("'[]'"))
    warm_since: Mapped[str | None]
    guard: Mapped[dict[str, Any]] = mapped_column(server_default=text("'{}'"))
    bin_id: Mapped[int | None]


class Thing(Table):
    """A thing to be carried: its family of pattern and the measures as the maker typed them.

    ``made_of`` names the leather, thread and irons chosen from the rack; ``costing`` the copies and the hardware, as typed.
    """

    __tablename__ = "things"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    practice: Mapped[bool]
    family: Mapped[str]
    measures: Mapped[dict[str, Any]]
    made_at: Mapped[str]
    changed_at: Mapped[str]
    revision: Mapped[int]
    bin_id: Mapped[int | None]
    made_of: Mapped[dict[str, Any]] = mapped_column(server_default=text("'{}'"))
    costing: Mapped[dict[str, Any]] = mapped_column(server_default=text("'{}'"))


class Pattern(Table):
    """A drafted pattern, as it was when it was saved; never changed afterwards.

    ``made_of`` holds the leather, thread and irons themselves, as they then hung on the rack.
    """

    __tablename__ = "patterns"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    thing_id: Mapped[int] = mapped_column(ForeignKey("things.id"), index=True)
    family: Mapped[str]
    title: Mapped[str]
    measures_mm: Mapped[dict[str, Any]]
    document: Mapped[dict[str, Any]]
    svg: Mapped[str]
    made_at: Mapped[str]
    bin_id: Mapped[int | None]
    made_of: Mapped[dict[str, Any]] = mapped_column(server_default=text("'{}'"))


class Layout(Table):
    """A pattern laid on a bench: thickness of one ply, the step of the work, and which kinds of line show."""

    __tablename__ = "layouts"
    __table_args__ = (CheckConstraint("leather_mm > 0", name="leather"), NEVER_AGAIN)

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    pattern_id: Mapped[int] = mapped_column(ForeignKey("patterns.id"), index=True)
    bench_id: Mapped[int] = mapped_column(ForeignKey("benches.id"), index=True)
    leather: Mapped[str]
    leather_mm: Mapped[float]
    step: Mapped[str | None]
    show: Mapped[dict[str, Any]]
    made_at: Mapped[str]
    changed_at: Mapped[str]
    revision: Mapped[int]
    bin_id: Mapped[int | None]


class LaidPiece(Table):
    """Where one piece of a layout lies: mirrored first, then turned (degrees), then moved (mm on the table)."""

    __tablename__ = "placements"

    layout_id: Mapped[int] = mapped_column(ForeignKey("layouts.id", ondelete="CASCADE"), primary_key=True)
    piece: Mapped[str] = mapped_column(primary_key=True)
    x: Mapped[float]
    y: Mapped[float]
    turn: Mapped[float]
    mirror: Mapped[bool]


class Setting(Table):
    """One remembered choice of the workshop, such as what the light showed last."""

    __tablename__ = "settings"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[dict[str, Any]]


class Rack(Table):
    """The maker's rack: lists of what hangs on it, the rates and the waiting times, each value as it was typed."""

    __tablename__ = "racks"

    id: Mapped[int] = mapped_column(primary_key=True)
    leathers: Mapped[list[dict[str, Any]]]
    threads: Mapped[list[dict[str, Any]]]
    chisels: Mapped[list[dict[str, Any]]]
    punches: Mapped[list[dict[str, Any]]]
    needles: Mapped[list[dict[str, Any]]]
    arm_span: Mapped[str]
    rates: Mapped[dict[str, Any]]
    changed_at: Mapped[str]
    revision: Mapped[int]
    hardware: Mapped[list[dict[str, Any]]] = mapped_column(server_default=text("'[]'"))
    waiting: Mapped[dict[str, Any]] = mapped_column(server_default=text("'{}'"))
    currency: Mapped[str] = mapped_column(server_default=text("''"))


class Check(Table):
    """One reading of the check figure and the verdict on it; never changed afterwards."""

    __tablename__ = "checks"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    bench_id: Mapped[int] = mapped_column(ForeignKey("benches.id"), index=True)
    bench_revision: Mapped[int]
    size: Mapped[float]
    height: Mapped[float]
    readings: Mapped[dict[str, Any]]
    verdict: Mapped[str]
    sentence: Mapped[str]
    made_at: Mapped[str]


class BenchSession(Table):
    """One entry in the history of a bench: a session check, a calibration, or a reading of the check figure.

    ``calibration_before`` is the calibration that was in use when it was made.
    """

    __tablename__ = "sessions"
    __table_args__ = NEVER_AGAIN

    id: Mapped[int] = mapped_column(primary_key=True)
    bench_id: Mapped[int] = mapped_column(ForeignKey("benches.id", ondelete="CASCADE"), index=True)
    at: Mapped[str]
    kind: Mapped[str]
    decision: Mapped[str]
    sentence: Mapped[str]
    drift_mm: Mapped[float | None]
    sigma0: Mapped[float | None]
    still_chance: Mapped[float | None]
    shift_chance: Mapped[float | None]
    off_mm: Mapped[dict[str, Any]]
    calibration_before: Mapped[dict[str, Any] | None]
