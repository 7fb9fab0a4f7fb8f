"""Sessions: table size, tolerance, witness marks, warm-up and answers of a bench, and its history."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

NEW = ("table_width", "table_depth", "tolerance", "witness", "warm_since", "guard")
"""The new columns of benches. They are added, not rebuilt, so that no row is touched; their defaults fill the old rows."""


def upgrade() -> None:
    """Add the columns and the table."""
    json = sa.JSON(none_as_null=True)
    op.add_column("benches", sa.Column("table_width", sa.Double(), nullable=True))
    op.add_column("benches", sa.Column("table_depth", sa.Double(), nullable=True))
    op.add_column("benches", sa.Column("tolerance", sa.Double(), server_default=sa.text("0.5"), nullable=False))
    op.add_column("benches", sa.Column("witness", json, server_default=sa.text("'[]'"), nullable=False))
    op.add_column("benches", sa.Column("warm_since", sa.String(), nullable=True))
    op.add_column("benches", sa.Column("guard", json, server_default=sa.text("'{}'"), nullable=False))
    op.create_table(
        "sessions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bench_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("decision", sa.String(), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("drift_mm", sa.Double(), nullable=True),
        sa.Column("sigma0", sa.Double(), nullable=True),
        sa.Column("still_chance", sa.Double(), nullable=True),
        sa.Column("shift_chance", sa.Double(), nullable=True),
        sa.Column("off_mm", json, nullable=False),
        sa.Column("calibration_before", json, nullable=True),
        sa.ForeignKeyConstraint(
            ["bench_id"], ["benches.id"], name=op.f("fk_sessions_bench_id_benches"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sessions")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_sessions_bench_id"), "sessions", ["bench_id"], unique=False)


def downgrade() -> None:
    """Take them away again."""
    op.drop_index(op.f("ix_sessions_bench_id"), table_name="sessions")
    op.drop_table("sessions")
    for name in reversed(NEW):
        op.drop_column("benches", name)
