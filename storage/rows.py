"""The tables, as typed rows. They stay in this room: the store turns them into values.

Instants are whole microseconds since 1970 in UTC, which a Python ``datetime`` holds exactly. What
was read is kept as core has it, in seconds from meat-on and °C, as full floating-point numbers: a
document that comes in goes out again with the same numbers.
"""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import Double, ForeignKey, Index, MetaData, UniqueConstraint, text
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
    from, as it was written, and ``fingerprint`` the mark of that document's values. ``changes``
    counts up whenever something that a forecast or the Ledger could have used has changed.
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
    changes: Mapped[int] = mapped_column(default=0, server_default=text("0"))


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


class OutcomeRow(Row):
    """How one cook turned out; grades from 1 to 5."""

    __tablename__ = "outcome"

    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id"), primary_key=True)
    tender: Mapped[int | None]
    juicy: Mapped[int | None]
    skin: Mapped[int | None]
    smoke: Mapped[int | None]
    words: Mapped[str]
    change: Mapped[str]
    wood: Mapped[str]


class MixRow(Row):
    """A brine, a rub or a glaze: of the personal list, or the copy that stays with a cook.

    ``lines`` is a JSON list of texts.
    """

    __tablename__ = "mix"
    __table_args__ = (
        UniqueConstraint("cook_id", "name"),
        Index("ix_mix_listed_name", "name", unique=True, sqlite_where=text("cook_id IS NULL")),
        {"sqlite_autoincrement": True},
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    cook_id: Mapped[int | None] = mapped_column(ForeignKey("cook.id"))
    name: Mapped[str]
    kind: Mapped[str]
    lines: Mapped[str]
    meat_kg: Mapped[float | None]
    saved_us: Mapped[int]


class DayRow(Row):
    """One planned day; ``wish`` is the JSON text that the app made of it."""

    __tablename__ = "day"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    wish: Mapped[str]
    created_us: Mapped[int]
    closed_us: Mapped[int | None]


class DayStepRow(Row):
    """What was done about one step of a day: ticked off, moved, or both."""

    __tablename__ = "day_step"

    day_id: Mapped[int] = mapped_column(ForeignKey("day.id"), primary_key=True)
    key: Mapped[str] = mapped_column(primary_key=True)
    ticked_us: Mapped[int | None]
    moved_us: Mapped[int | None]


class DayCookRow(Row):
    """A cook that was begun out of a day."""

    __tablename__ = "day_cook"
    __table_args__ = (Index(None, "cook_id"),)

    day_id: Mapped[int] = mapped_column(ForeignKey("day.id"), primary_key=True)
    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id"), primary_key=True)


class DerivedRow(Row):
    """What was computed from one cook when its stamp was this; may be thrown away at any time."""

    __tablename__ = "derived"
    __table_args__ = (Index(None, "kind"),)

    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id"), primary_key=True)
    kind: Mapped[str] = mapped_column(primary_key=True)
    stamp: Mapped[str]
    payload: Mapped[str]


class SettingRow(Row):
    """One choice of the user that belongs to the cooks rather than to the screens."""

    __tablename__ = "setting"

    key: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]
