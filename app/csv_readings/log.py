"""The readings of a table: every cell understood, or the whole refused with what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta, tzinfo

from app.csv_readings.cells import (
    DateOrder,
    clock_instant,
    is_nothing,
    next_instant,
    order_of,
    read_clock,
    read_date,
    read_length_s,
    read_moment,
    read_temp_c,
)
from app.csv_readings.columns import Column, Role
from app.csv_readings.sheet import Row, Sheet
from app.csv_readings.writing import typed_cell
from core.cook import Event, EventKind, Reading
from core.units import TemperatureUnit
from storage.errors import DocumentError, shown
from storage.limits import ELAPSED_S, within

TOLD_ERRORS = 5


@dataclass(frozen=True, slots=True)
class How:
    """How a table is to be read.

    Attributes
    ----------
    zone : tzinfo
        Of times that name no offset.
    start : datetime or None
        Meat-on; None takes it from the table.
    unit : TemperatureUnit or None
        Unit of temperatures whose column and cell name none.
    order : DateOrder or None
    missing : frozenset of str
        Further cells that say that nothing was read.
    every_s : float
        Keep one row in so long [s]; 0 keeps all.
    """

    zone: tzinfo
    start: datetime | None = None
    unit: TemperatureUnit | None = None
    order: DateOrder | None = None
    missing: frozenset[str] = frozenset()
    every_s: float = 0.0


@dataclass(frozen=True, slots=True)
class CsvLog:
    """What a table says.

    Attributes
    ----------
    sheet : Sheet
    columns : tuple of Column
    start : datetime
        Meat-on, aware.
    readings : tuple of Reading
    notes : tuple of Event
    empty, doubled, thinned : int
        Rows that hold nothing, that repeat another row, that `every_s` left out.
    clock : bool
        Whether times were clock times (else elapsed ones).
    """

    sheet: Sheet
    columns: tuple[Column, ...]
    start: datetime
    readings: tuple[Reading, ...]
    notes: tuple[Event, ...]
    empty: int
    doubled: int
    thinned: int
    clock: bool

    @property
    def probes(self) -> tuple[str, ...]:
        """The probes of the table, in the order of its columns."""
        return tuple(column.name for column in self.columns if column.role is Role.PROBE)


class BadTable(Exception):
    """A table with errors in it; nothing of it is taken."""

    def __init__(self, errors: list[DocumentError]) -> None:
        super().__init__("; ".join(str(error) for error in errors[:TOLD_ERRORS]))
        self.errors = errors


def read_log(sheet: Sheet, columns: tuple[Column, ...], how: How) -> CsvLog:
    """All readings of a table.

    Raises
    ------
    BadTable
    """
    reader = _Reader(sheet, columns, how)
    rows = list(reader.rows())
    if reader.errors:
        raise BadTable(reader.errors)
    if not rows:
        allowed = "at least one row with a time and a temperature"
        raise BadTable([sheet.fail(None, None, "no readings", allowed)])
    start = reader.start
    assert start is not None  # noqa: S101  the first row that was read has set it
    kept, doubled, thinned = _thinned(rows, how.every_s)
    found = [Reading(row.elapsed_s, row.pit_c, row.meat_c) for row in kept if row.read]
    notes = [Event(row.elapsed_s, EventKind.NOTE, row.note) for row in rows if row.note]
    return CsvLog(
        sheet, columns, start, tuple(found), tuple(notes), reader.empty, doubled, thinned,
        reader.clock,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Said:
    """What one row says."""

    elapsed_s: float
    pit_c: float | None
    meat_c: tuple[tuple[str, float], ...]
    note: str

    @property
    def read(self) -> bool:
        return self.pit_c is not None or bool(self.meat_c)


def _thinned(rows: list[_Said], every_s: float) -> tuple[list[_Said], int, int]:
    """The rows to keep in time order, and how many were double or left out."""
    once = list(dict.fromkeys(rows))
    once.sort(key=lambda row: row.elapsed_s)
    kept: list[_Said] = []
    for row in once:
        if not kept or row.elapsed_s - kept[-1].elapsed_s >= every_s:
            kept.append(row)
    return kept, len(rows) - len(once), len(once) - len(kept)


@dataclass(slots=True)
class _Reader:
    """Goes through a table row by row and keeps what is wrong with it."""

    sheet: Sheet
    columns: tuple[Column, ...]
    how: How
    errors: list[DocumentError] = field(default_factory=list)
    empty: int = 0
    clock: bool = True
    start: datetime | None = None
    _last: datetime | None = None
    _order: DateOrder | None = None

    def rows(self) -> Iterator[_Said]:
        """The rows that say something and can be read."""
        self.start = self._last = self.how.start
        self._order = self.how.order or self._order_given_away()
        for what, allowed in self._lacking():
            self.errors.append(self.sheet.fail(None, None, what, allowed))
        if self.errors:
            return
        for row in self.sheet.rows:
            said = self._row(row)
            if said is not None:
                yield said

    def _lacking(self) -> Iterator[tuple[str, str]]:
        if not (self._column(Role.TIME) or self._column(Role.MINUTE)):
            yield "no column of times", "--map time=COLUMN or --map minute=COLUMN"
        if not (self._column(Role.PIT) or self._column(Role.PROBE)):
            yield "no column of temperatures", "--map pit=COLUMN or --map PROBE=COLUMN"

    def _column(self, role: Role) -> Column | None:
        return next((column for column in self.columns if column.role is role), None)

    def _order_given_away(self) -> DateOrder | None:
        places = [c.place for c in self.columns if c.role in (Role.DATE, Role.TIME)]
        return order_of([row.cells[place] for row in self.sheet.rows for place in places])

    def _row(self, row: Row) -> _Said | None:
        before = len(self.errors)
        pit = [self._temp(row, c) for c in self.columns if c.role is Role.PIT]
        meat = [(c.name, self._temp(row, c)) for c in self.columns if c.role is Role.PROBE]
        notes = (typed_cell(row.cells[c.place]) for c in self.columns if c.role is Role.NOTE)
        note = next(notes, "")
        meat_c = tuple((name, temp_c) for name, temp_c in meat if temp_c is not None)
        if len(self.errors) > before:
            return None
        if not meat_c and not any(temp is not None for temp in pit) and not note:
            self.empty += 1
            return None
        elapsed_s = self._elapsed(row)
        if elapsed_s is None:
            return None
        return _Said(elapsed_s, pit[0] if pit else None, meat_c, note)

    def _temp(self, row: Row, column: Column) -> float | None:
        cell = row.cells[column.place]
        if is_nothing(cell, self.how.missing):
            return None
        try:
            return read_temp_c(cell, column.unit or self.how.unit)
        except ValueError as error:
            self._fail(row, column, str(error))
            return None

    def _elapsed(self, row: Row) -> float | None:
        """Time from meat-on [s]; None, with an error kept, if there is none to be had."""
        minute, at = self._column(Role.MINUTE), self._column(Role.TIME)
        column = minute or at
        assert column is not None  # noqa: S101  `_lacking` has made sure
        try:
            if minute is not None:
                elapsed_s = read_length_s(row.cells[minute.place], minute.seconds)
                self.clock = False
                if self.start is None and within(elapsed_s, ELAPSED_S):
                    self.start = self._instant(row, at) - timedelta(seconds=elapsed_s)
            else:
                instant = self._instant(row, at)
                self._last = instant
                self.start = self.start or instant
                elapsed_s = (instant - self.start).total_seconds()
        except ValueError as error:
            self._fail(row, column, str(error))
            return None
        if not within(elapsed_s, ELAPSED_S):
            self._fail(row, column, "times from 72 h before to 100 h after meat-on")
            return None
        return elapsed_s

    def _instant(self, row: Row, column: Column | None) -> datetime:
        """The instant that a row names; raises ValueError."""
        needed = "times with a date, or --on with meat-on: --on 2026-05-09T13:05"
        if column is None:
            raise ValueError(needed)
        day = self._column(Role.DATE)
        said: datetime | time
        if day is None:
            said = read_moment(row.cells[column.place], self._order)
        else:
            date_ = read_date(row.cells[day.place], self._order)
            said = datetime.combine(date_, read_clock(row.cells[column.place]))
        if isinstance(said, datetime):
            if said.utcoffset() is not None:
                return said.astimezone(UTC)
            return next_instant(said, self.how.zone, self._last)
        if self._last is None:
            raise ValueError(needed)
        return clock_instant(said, self.how.zone, self._last)

    def _fail(self, row: Row, column: Column, allowed: str) -> None:
        found = shown(row.cells[column.place])
        self.errors.append(self.sheet.fail(row.number, column.place, found, allowed))
