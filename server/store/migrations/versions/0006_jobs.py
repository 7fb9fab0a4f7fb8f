"""Jobs at the table."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("layout_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("copies", sa.Integer(), nullable=False),
        sa.Column("order", sa.String(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("strike", sa.Integer(), nullable=True),
        sa.Column("by_strike", sa.Boolean(), nullable=False),
        sa.Column("side", sa.String(), nullable=False),
        sa.Column("rate", sa.Double(), nullable=False),
        sa.Column("unchecked_at", sa.String(), nullable=True),
        sa.Column("done_at", sa.String(), nullable=True),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("copies > 0 AND copy > 0 AND copy <= copies", name=op.f("ck_jobs_copies")),
        sa.CheckConstraint("rate > 0", name=op.f("ck_jobs_rate")),
        sa.ForeignKeyConstraint(
            ["layout_id"], ["layouts.id"], name=op.f("fk_jobs_layout_id_layouts"), ondelete="SET NULL"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_jobs_layout_id"), "jobs", ["layout_id"])


def downgrade() -> None:
    """Take it away again."""
    op.drop_index(op.f("ix_jobs_layout_id"), "jobs")
    op.drop_table("jobs")
