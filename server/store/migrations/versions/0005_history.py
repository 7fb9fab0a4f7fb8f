"""What was changed, and what was put in the bin."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

WITH_A_BIN = ("benches", "things", "patterns", "layouts", "drawings")
"""The tables whose rows can lie in the bin."""


def upgrade() -> None:
    """Make the tables, and add the column that says what lies in the bin."""
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.Column("turned_at", sa.String(), nullable=True),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("rows", sa.JSON(none_as_null=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_changes")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_changes_kind_number", "changes", ["kind", "number"])
    for column in ("at", "turned_at", "size"):
        op.create_index(op.f(f"ix_changes_{column}"), "changes", [column])
    op.create_table(
        "bins",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bins")),
        sqlite_autoincrement=True,
    )
    for table in WITH_A_BIN:
        op.add_column(table, sa.Column("bin_id", sa.Integer(), nullable=True))


def downgrade() -> None:
    """Take them away again."""
    for table in reversed(WITH_A_BIN):
        op.drop_column(table, "bin_id")
    op.drop_table("bins")
    op.drop_table("changes")
