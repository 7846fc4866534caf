"""The tables, as typed rows. They stay in this room: the store turns them into values.

Instants are whole microseconds since 1970 in UTC, which a Python ``datetime`` holds exactly. What
was read is kept as core has it, in seconds from meat-on and °C, as full floating-point numbers: a
document that comes in goes out again with the same numbers.
"""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import Double, ForeignKey, Index, MetaData, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, or a later migration could not change it."""


class Row(DeclarativeBase):
    """Base of all rows."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {float: Double()}


class CookRow(Row):
    """One cook and its plan.

    ``started_zone`` and ``serve_zone`` are the offsets as given (``Z`` or ``-05:00``).
    ``binned_us`` is set while the cook lies in the bin. ``source`` is the document it was imported
    from, as it was written, and ``fingerprint`` the mark of that document's values.
    """

    __tablename__ = "cook"
    __table_args__ = (
        Index(None, "started_us"),
        Index(None, "fingerprint"),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    started_us: Mapped[int]
    started_zone: Mapped[str]
    unit: Mapped[str]
    mass_unit: Mapped[str]
    cut: Mapped[str]
    mass_kg: Mapped[float]
    pit_c: Mapped[float]
    pit_low_c: Mapped[float | None]
    pit_high_c: Mapped[float | None]
    serve_us: Mapped[int | None]
    serve_zone: Mapped[str | None]
    rest_s: Mapped[float | None]
    shape: Mapped[str | None]
    thickness_m: Mapped[float | None]
    ended_us: Mapped[int | None]
    binned_us: Mapped[int | None]
    invented: Mapped[bool]
    fingerprint: Mapped[str | None]
    source: Mapped[str | None] = mapped_column(deferred=True)


class ProbeRow(Row):
    """One thermometer in the meat, in the order the cook reads them."""

    __tablename__ = "probe"
    __table_args__ = (UniqueConstraint("cook_id", "name"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id"))
    position: Mapped[int]
    name: Mapped[str]
    target_c: Mapped[float]
    start_c: Mapped[float | None]
    glaze_c: Mapped[float | None]
    wrap_c: Mapped[float | None]


class LineRow(Row):
    """One accepted line. Ids grow in the order of acceptance and are never used twice.

    ``replaces_id`` never changes: it is the history. ``replaced_by_id`` is the live correction,
    and is empty again when that correction was undone.
    """

    __tablename__ = "line"
    __table_args__ = (Index(None, "cook_id", "at_us"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id"))
    text: Mapped[str]
    typed_us: Mapped[int]
    at_us: Mapped[int]
    deleted: Mapped[bool]
    replaces_id: Mapped[int | None] = mapped_column(ForeignKey("line.id"))
    replaced_by_id: Mapped[int | None] = mapped_column(ForeignKey("line.id"))


class ReadingRow(Row):
    """What one line read at one time; the probes' values are in ``temp``."""

    __tablename__ = "reading"
    __table_args__ = (Index(None, "line_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    line_id: Mapped[int] = mapped_column(ForeignKey("line.id"))
    elapsed_s: Mapped[float]
    pit_c: Mapped[float | None]


class TempRow(Row):
    """What one probe showed in one reading."""

    __tablename__ = "temp"
    __table_args__ = (Index(None, "probe_id"),)

    reading_id: Mapped[int] = mapped_column(ForeignKey("reading.id"), primary_key=True)
    probe_id: Mapped[int] = mapped_column(ForeignKey("probe.id"), primary_key=True)
    temp_c: Mapped[float]


class EventRow(Row):
    """Something that one line said had happened."""

    __tablename__ = "event"
    __table_args__ = (Index(None, "line_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    line_id: Mapped[int] = mapped_column(ForeignKey("line.id"))
    elapsed_s: Mapped[float]
    kind: Mapped[str]
    note: Mapped[str]
