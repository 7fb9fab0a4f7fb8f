"""A maker's own pattern files: the drawings brought, and which choices each saved pattern was made with."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    json = sa.JSON(none_as_null=True)
    op.create_table(
        "drawings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("sheet", sa.LargeBinary(), nullable=False),
        sa.Column("choices", json, nullable=False),
        sa.Column("thing_id", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["thing_id"], ["things.id"], name=op.f("fk_drawings_thing_id_things")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drawings")),
        sa.UniqueConstraint("thing_id", name=op.f("uq_drawings_thing_id")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "own_patterns",
        sa.Column("pattern_id", sa.Integer(), nullable=False),
        sa.Column("drawing_id", sa.Integer(), nullable=False),
        sa.Column("choices", json, nullable=False),
        sa.ForeignKeyConstraint(["drawing_id"], ["drawings.id"], name=op.f("fk_own_patterns_drawing_id_drawings")),
        sa.ForeignKeyConstraint(
            ["pattern_id"], ["patterns.id"], name=op.f("fk_own_patterns_pattern_id_patterns"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("pattern_id", name=op.f("pk_own_patterns")),
    )
    op.create_index(op.f("ix_own_patterns_drawing_id"), "own_patterns", ["drawing_id"])


def downgrade() -> None:
    """Take them away again."""
    op.drop_table("own_patterns")
    op.drop_table("drawings")
