"""Schema 2: outcomes, mixes, days, what was computed from cooks, settings; a count of changes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Lead from schema 1 to schema 2."""
    # A column with a constant default is added in place: the cook table is not rebuilt.
    op.add_column(
        "cook", sa.Column("changes", sa.Integer(), nullable=False, server_default=sa.text("0"))
    )
    _outcome()
    _mix()
    _day()
    _keyed()


def _outcome() -> None:
    op.create_table(
        "outcome",
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("tender", sa.Integer(), nullable=True),
        sa.Column("juicy", sa.Integer(), nullable=True),
        sa.Column("skin", sa.Integer(), nullable=True),
        sa.Column("smoke", sa.Integer(), nullable=True),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("change", sa.String(), nullable=False),
        sa.Column("wood", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("cook_id", name="pk_outcome"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_outcome_cook_id_cook"),
    )


def _mix() -> None:
    op.create_table(
        "mix",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("lines", sa.String(), nullable=False),
        sa.Column("meat_kg", sa.Double(), nullable=True),
        sa.Column("saved_us", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_mix"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_mix_cook_id_cook"),
        sa.UniqueConstraint("cook_id", "name", name="uq_mix_cook_id_name"),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_mix_listed_name",
        "mix",
        ["name"],
        unique=True,
        sqlite_where=sa.text("cook_id IS NULL"),
    )


def _day() -> None:
    op.create_table(
        "day",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("wish", sa.String(), nullable=False),
        sa.Column("created_us", sa.Integer(), nullable=False),
        sa.Column("closed_us", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_day"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "day_step",
        sa.Column("day_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("ticked_us", sa.Integer(), nullable=True),
        sa.Column("moved_us", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("day_id", "key", name="pk_day_step"),
        sa.ForeignKeyConstraint(["day_id"], ["day.id"], name="fk_day_step_day_id_day"),
    )
    op.create_table(
        "day_cook",
        sa.Column("day_id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("day_id", "cook_id", name="pk_day_cook"),
        sa.ForeignKeyConstraint(["day_id"], ["day.id"], name="fk_day_cook_day_id_day"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_day_cook_cook_id_cook"),
    )
    op.create_index("ix_day_cook_cook_id", "day_cook", ["cook_id"])


def _keyed() -> None:
    op.create_table(
        "derived",
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("stamp", sa.String(), nullable=False),
        sa.Column("payload", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("cook_id", "kind", name="pk_derived"),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name="fk_derived_cook_id_cook"),
    )
    op.create_index("ix_derived_kind", "derived", ["kind"])
    op.create_table(
        "setting",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_setting"),
    )


def downgrade() -> None:
    """Refuse: an older program refuses a newer file, so nothing needs this."""
    raise NotImplementedError
