"""The maker's rack: leathers, threads, irons, punches, needles and rates."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    json = sa.JSON(none_as_null=True)
    op.create_table(
        "racks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("leathers", json, nullable=False),
        sa.Column("threads", json, nullable=False),
        sa.Column("chisels", json, nullable=False),
        sa.Column("punches", json, nullable=False),
        sa.Column("needles", json, nullable=False),
        sa.Column("arm_span", sa.String(), nullable=False),
        sa.Column("rates", json, nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_racks")),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("racks")
