"""The first tables: benches, things, patterns, layouts with their placements, settings, checks."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "benches",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("practice", sa.Boolean(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("sightings", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("calibration", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("report", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("calibrated_at", sa.String(), nullable=True),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("width > 0 AND height > 0", name=op.f("ck_benches_picture")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_benches")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "settings",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.JSON(none_as_null=True), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_settings")),
    )
    op.create_table(
        "things",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("practice", sa.Boolean(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("measures", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_things")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "checks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bench_id", sa.Integer(), nullable=False),
        sa.Column("bench_revision", sa.Integer(), nullable=False),
        sa.Column("size", sa.Double(), nullable=False),
        sa.Column("height", sa.Double(), nullable=False),
        sa.Column("readings", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("sentence", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["bench_id"], ["benches.id"], name=op.f("fk_checks_bench_id_benches")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_checks")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_checks_bench_id"), "checks", ["bench_id"], unique=False)
    op.create_table(
        "patterns",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("thing_id", sa.Integer(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("measures_mm", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("document", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("svg", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["thing_id"], ["things.id"], name=op.f("fk_patterns_thing_id_things")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_patterns")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_patterns_thing_id"), "patterns", ["thing_id"], unique=False)
    op.create_table(
        "layouts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("pattern_id", sa.Integer(), nullable=False),
        sa.Column("bench_id", sa.Integer(), nullable=False),
        sa.Column("leather", sa.String(), nullable=False),
        sa.Column("leather_mm", sa.Double(), nullable=False),
        sa.Column("step", sa.String(), nullable=True),
        sa.Column("show", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("changed_at", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("leather_mm > 0", name=op.f("ck_layouts_leather")),
        sa.ForeignKeyConstraint(["bench_id"], ["benches.id"], name=op.f("fk_layouts_bench_id_benches")),
        sa.ForeignKeyConstraint(["pattern_id"], ["patterns.id"], name=op.f("fk_layouts_pattern_id_patterns")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_layouts")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_layouts_bench_id"), "layouts", ["bench_id"], unique=False)
    op.create_index(op.f("ix_layouts_pattern_id"), "layouts", ["pattern_id"], unique=False)
    op.create_table(
        "placements",
        sa.Column("layout_id", sa.Integer(), nullable=False),
        sa.Column("piece", sa.String(), nullable=False),
        sa.Column("x", sa.Double(), nullable=False),
        sa.Column("y", sa.Double(), nullable=False),
        sa.Column("turn", sa.Double(), nullable=False),
        sa.Column("mirror", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["layout_id"], ["layouts.id"], name=op.f("fk_placements_layout_id_layouts"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("layout_id", "piece", name=op.f("pk_placements")),
    )


def downgrade() -> None:
    """Take them away again."""
    op.drop_table("placements")
    op.drop_index(op.f("ix_layouts_pattern_id"), table_name="layouts")
    op.drop_index(op.f("ix_layouts_bench_id"), table_name="layouts")
    op.drop_table("layouts")
    op.drop_index(op.f("ix_patterns_thing_id"), table_name="patterns")
    op.drop_table("patterns")
    op.drop_index(op.f("ix_checks_bench_id"), table_name="checks")
    op.drop_table("checks")
    op.drop_table("things")
    op.drop_table("settings")
    op.drop_table("benches")
