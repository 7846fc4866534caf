"""Schema 1: cooks with their plan and probes, lines, readings and events."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

APPLICATION_ID = 0x646F6E65
"""Marks the file as ours in its header; later steps need not set it again."""


def upgrade() -> None:
    """Lead from an empty file to schema 1."""
    op.execute(f"PRAGMA application_id={APPLICATION_ID}")
    _cook()
    _probe()
    _line()
    _reading()
    _event()


def _cook() -> None:
    op.create_table(
        "cook",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("started_us", sa.Integer(), nullable=False),
        sa.Column("started_zone", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("mass_unit", sa.String(), nullable=False),
        sa.Column("cut", sa.String(), nullable=False),
        sa.Column("mass_kg", sa.Double(), nullable=False),
        sa.Column("pit_c", sa.Double(), nullable=False),
        sa.Column("pit_low_c", sa.Double(), nullable=True),
        sa.Column("pit_high_c", sa.Double(), nullable=True),
        sa.Column("serve_us", sa.Integer(), nullable=True),
        sa.Column("serve_zone", sa.String(), nullable=True),
        sa.Column("rest_s", sa.Double(), nullable=True),
        sa.Column("shape", sa.String(), nullable=True),
        sa.Column("thickness_m", sa.Double(), nullable=True),
        sa.Column("ended_us", sa.Integer(), nullable=True),
        sa.Column("binned_us", sa.Integer(), nullable=True),
        sa.Column("invented", sa.Boolean(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=True),
        sa.Column("source", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_cook"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_cook_started_us", "cook", ["started_us"])
    op.create_index("ix_cook_fingerprint", "cook", ["fingerprint"])


def _probe() -> None:
    op.create_table(
        "probe",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("target_c", sa.Double(), nullable=False),
        sa.Column("start_c", sa.Double(), nullable=True),
        sa.Column("glaze_c", sa.Double(), nullable=True),
        sa.Column("wrap_c", sa.Double(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_probe"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_probe_cook_id_cook"),
        sa.UniqueConstraint("cook_id", "name", name="uq_probe_cook_id_name"),
    )


def _line() -> None:
    op.create_table(
        "line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("typed_us", sa.Integer(), nullable=False),
        sa.Column("at_us", sa.Integer(), nullable=False),
        sa.Column("deleted", sa.Boolean(), nullable=False),
        sa.Column("replaces_id", sa.Integer(), nullable=True),
        sa.Column("replaced_by_id", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_line"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_line_cook_id_cook"),
        sa.ForeignKeyConstraint(["replaces_id"], ["line.id"], name="fk_line_replaces_id_line"),
        sa.ForeignKeyConstraint(
            ["replaced_by_id"], ["line.id"], name="fk_line_replaced_by_id_line"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_line_cook_id_at_us", "line", ["cook_id", "at_us"])


def _reading() -> None:
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("line_id", sa.Integer(), nullable=False),
        sa.Column("elapsed_s", sa.Double(), nullable=False),
        sa.Column("pit_c", sa.Double(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_reading"),
        sa.ForeignKeyConstraint(["line_id"], ["line.id"], name="fk_reading_line_id_line"),
    )
    op.create_index("ix_reading_line_id", "reading", ["line_id"])
    op.create_table(
        "temp",
        sa.Column("reading_id", sa.Integer(), nullable=False),
        sa.Column("probe_id", sa.Integer(), nullable=False),
        sa.Column("temp_c", sa.Double(), nullable=False),
        sa.PrimaryKeyConstraint("reading_id", "probe_id", name="pk_temp"),
        sa.ForeignKeyConstraint(["reading_id"], ["reading.id"], name="fk_temp_reading_id_reading"),
        sa.ForeignKeyConstraint(["probe_id"], ["probe.id"], name="fk_temp_probe_id_probe"),
    )
    op.create_index("ix_temp_probe_id", "temp", ["probe_id"])


def _event() -> None:
    op.create_table(
        "event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("line_id", sa.Integer(), nullable=False),
        sa.Column("elapsed_s", sa.Double(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_event"),
        sa.ForeignKeyConstraint(["line_id"], ["line.id"], name="fk_event_line_id_line"),
    )
    op.create_index("ix_event_line_id", "event", ["line_id"])


def downgrade() -> None:
    """Refuse: an older program refuses a newer file, so nothing needs this."""
    raise NotImplementedError
