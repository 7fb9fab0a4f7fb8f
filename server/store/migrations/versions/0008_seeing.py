"""How the light is to be seen on a layout, or on every layout of a leather of that colour."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the choices."""
    op.create_table(
        "seeings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("layout_id", sa.Integer(), nullable=True),
        sa.Column("leather", sa.String(), nullable=True),
        sa.Column("choices", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("(layout_id IS NULL) <> (leather IS NULL)", name=op.f("ck_seeings_scope")),
        sa.ForeignKeyConstraint(
            ["layout_id"], ["layouts.id"], name=op.f("fk_seeings_layout_id_layouts"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_seeings")),
        sa.UniqueConstraint("layout_id", name=op.f("uq_seeings_layout_id")),
        sa.UniqueConstraint("leather", name=op.f("uq_seeings_leather")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    """Drop them."""
    op.drop_table("seeings")
