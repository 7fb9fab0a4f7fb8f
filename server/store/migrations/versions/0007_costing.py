"""What a thing is made of and what it costs; hardware, waiting times and the sign for money on the rack."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

NEW = (
    ("things", "made_of", "{}"),
    ("things", "costing", "{}"),
    ("patterns", "made_of", "{}"),
    ("racks", "hardware", "[]"),
    ("racks", "waiting", "{}"),
)
"""New columns that hold JSON, and what they start with. They are added, not rebuilt; their defaults fill the old rows."""


def upgrade() -> None:
    """Add the columns."""
    json = sa.JSON(none_as_null=True)
    for table, name, empty in NEW:
        op.add_column(table, sa.Column(name, json, server_default=sa.text(f"'{empty}'"), nullable=False))
    op.add_column("racks", sa.Column("currency", sa.String(), server_default=sa.text("''"), nullable=False))


def downgrade() -> None:
    """Take them away again."""
    op.drop_column("racks", "currency")
    for table, name, _ in reversed(NEW):
        op.drop_column(table, name)
