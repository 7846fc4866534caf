"""The store: cooks and their lines in one data file, durable when a method returns."""

from __future__ import annotations

import sqlite3
import threading
from datetime import datetime
from pathlib import Path

from sqlalchemy import select

from core.cook import Plan, Probe
from core.units import MassUnit, TemperatureUnit
from storage.backup import copy_before_migration, daily_backup
from storage.days import Days
from storage.derived import Derived, Settings
from storage.document_store import DocumentShelf
from storage.engine import BUSY_S, our_errors
from storage.errors import FileError, InvalidEntry
from storage.files import default_path, keep_private, make_file, make_folder
from storage.limits import check_plan, check_text, check_time
from storage.line_book import LineBook
from storage.loading import changed_row, cook_row, load_cook, load_summaries
from storage.mixes import Mixes
from storage.outcomes import Outcomes
from storage.rows import CookRow
from storage.saving import shift_times, write_plan, write_probes
from storage.schema import bring_up_to_date
from storage.times import to_us, zone_text
from storage.unit_of_work import DataFile
from storage.values import CookSummary, NewCook, SavedCook

__all__ = ["Store", "default_path", "open_store"]


class Store(LineBook, DocumentShelf):
    """All that the program may do with its data file.

    Every method is one unit of work: it has committed when it returns, and has changed nothing
    when it raises. Any thread may call; several processes may have the same file open.

    Attributes
    ----------
    path : Path
    notice : str or None
        Something the user should hear about the file although it works (no daily backup).
    outcomes, mixes, days, derived, settings
        What is kept beside the cooks; their methods are units of work too.
    """

    def __init__(self, path: Path, notice: str | None = None) -> None:
        file = DataFile(path)
        super().__init__(file)
        self.path, self.notice = path, notice
        self.outcomes, self.mixes, self.days = Outcomes(file), Mixes(file), Days(file)
        self.derived, self.settings = Derived(file), Settings(file)
        self._watch_lock = threading.Lock()
        with our_errors(path):
            self._watch = sqlite3.connect(
                path, timeout=BUSY_S, isolation_level=None, check_same_thread=False
            )

    def create_cook(self, new: NewCook) -> int:
        """Begin a cook and return its id; raises InvalidEntry."""
        check_text("title", new.title)
        check_time("start", new.started_at)
        check_plan(new.plan)
        with self._file.write() as session:
            row = CookRow(
                title=new.title,
                started_us=to_us(new.started_at),
                started_zone=zone_text(new.started_at),
                unit=str(new.unit),
                mass_unit=str(new.mass_unit),
                invented=new.invented,
            )
            write_plan(row, new.plan)
            session.add(row)
            session.flush()
            write_probes(session, row.id, new.probes)
            session.commit()
            return row.id

    def cook(self, cook_id: int) -> SavedCook:
        """A cook with all its lines; raises NoSuchCook."""
        with self._file.read() as session:
            return load_cook(session, cook_id)

    def cook_in_hand(self) -> SavedCook | None:
        """The cook begun last that has not ended, None if there is none."""
        with self._file.read() as session:
            cook_id = session.scalar(
                select(CookRow.id)
                .where(CookRow.ended_us.is_(None), CookRow.binned_us.is_(None))
                .order_by(CookRow.started_us.desc(), CookRow.id.desc())
                .limit(1)
            )
            return None if cook_id is None else load_cook(session, cook_id)

    def cooks(self, *, binned: bool = False) -> tuple[CookSummary, ...]:
        """All cooks outside the bin, or all that are in it, newest first."""
        with self._file.read() as session:
            return load_summaries(session, binned=binned)

    def change_plan(self, cook_id: int, plan: Plan, probes: tuple[Probe, ...]) -> None:
        """Put another plan and other probes in the place of the cook's.

        Raises
        ------
        NoSuchCook, InvalidEntry
        ProbeInUse
            A probe that has readings is not among the new ones.
        """
        check_plan(plan)
        with self._file.write() as session:
            row = changed_row(session, cook_id)
            write_plan(row, plan)
            write_probes(session, cook_id, probes)
            session.commit()

    def change_title(self, cook_id: int, title: str) -> None:
        """Give a cook another title."""
        check_text("title", title)
        with self._file.write() as session:
            cook_row(session, cook_id).title = title
            session.commit()

    def change_units(self, cook_id: int, unit: TemperatureUnit, mass_unit: MassUnit) -> None:
        """Type and read a cook in other units; what it holds stays the same."""
        with self._file.write() as session:
            row = cook_row(session, cook_id)
            row.unit, row.mass_unit = str(unit), str(mass_unit)
            session.commit()

    def change_start(self, cook_id: int, started_at: datetime) -> None:
        """Mend the time of meat-on: all clock times stay, the times from meat-on shift."""
        check_time("start", started_at)
        with self._file.write() as session:
            row = changed_row(session, cook_id)
            shift_times(session, cook_id, (row.started_us - to_us(started_at)) / 1e6)
            row.started_us, row.started_zone = to_us(started_at), zone_text(started_at)
            session.commit()

    def end_cook(self, cook_id: int, at: datetime) -> None:
        """Say that a cook is over; it is then no longer the cook in hand."""
        check_time("end", at)
        with self._file.write() as session:
            changed_row(session, cook_id).ended_us = to_us(at)
            session.commit()

    def reopen_cook(self, cook_id: int) -> None:
        """Say that a cook is not over after all."""
        with self._file.write() as session:
            changed_row(session, cook_id).ended_us = None
            session.commit()

    def bin_cook(self, cook_id: int, at: datetime) -> None:
        """Put a cook into the bin: it is kept, but no list shows it."""
        check_time("time", at)
        with self._file.write() as session:
            cook_row(session, cook_id).binned_us = to_us(at)
            session.commit()

    def unbin_cook(self, cook_id: int) -> None:
        """Take a cook out of the bin."""
        with self._file.write() as session:
            cook_row(session, cook_id).binned_us = None
            session.commit()

    def change_token(self) -> int:
        """A number that differs from the last one if anything was committed in between.

        It sees this store's commits and those of other processes, and costs microseconds.
        """
        with self._watch_lock, our_errors(self.path):
            (version,) = self._watch.execute("PRAGMA data_version").fetchone()
        return int(version)

    def close(self) -> None:
        """Close the file. The store cannot be used afterwards."""
        with self._watch_lock:
            self._watch.close()
        self._file.close()


def open_store(path: Path, *, now: datetime) -> Store:
    """Open the data file at `path`, creating it or bringing it up to date first.

    Parameters
    ----------
    path : Path
        Where the file is or shall be, as `default_path` gives it.
    now : datetime
        Aware; names the backup of the day.

    Raises
    ------
    FileError
        With a message for the user; the file is then as it was.
    """
    if now.utcoffset() is None:
        raise InvalidEntry("now", now.isoformat(), "a time with its offset from UTC")
    path = path.expanduser().resolve()
    with our_errors(path):
        make_folder(path.parent)
        fresh = make_file(path)
        keep_private(path)
    bring_up_to_date(path, lambda: copy_before_migration(path, now))
    notice = None
    try:
        if not fresh:
            daily_backup(path, now)
    except FileError as error:
        notice = f"no backup was made today: {error}"
    return Store(path, notice)
