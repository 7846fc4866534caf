"""Planned days: what is wished for, which steps are done or moved, and the cooks begun from it.

The steps themselves are worked out anew each time from the wish; only what a person did about
them is kept.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from storage.errors import NoSuchDay
from storage.limits import check_label, check_text, check_time
from storage.loading import cook_row, possible_id
from storage.rows import CookRow, DayCookRow, DayRow, DayStepRow
from storage.times import from_us, optional_from_us, to_us
from storage.unit_of_work import DataFile
from storage.values import SavedDay, SavedStep


class Days:
    """The planned days. Every method is one unit of work."""

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def all(self) -> tuple[SavedDay, ...]:
        """All days, the newest first."""
        with self._file.read() as session:
            return _load(session)

    def get(self, day_id: int) -> SavedDay:
        """One day; raises NoSuchDay."""
        with self._file.read() as session:
            _row(session, day_id)
            (day,) = _load(session, DayRow.id == day_id)
            return day

    def in_hand(self) -> SavedDay | None:
        """The day made last that is not closed, None if there is none."""
        with self._file.read() as session:
            day_id = session.scalar(
                select(DayRow.id)
                .where(DayRow.closed_us.is_(None))
                .order_by(DayRow.created_us.desc(), DayRow.id.desc())
                .limit(1)
            )
            return None if day_id is None else _load(session, DayRow.id == day_id)[0]

    def create(self, title: str, wish: str, at: datetime) -> int:
        """Begin a day and return its id; raises InvalidEntry."""
        check_text("title", title)
        check_text("wish", wish)
        check_time("time", at)
        with self._file.write() as session:
            row = DayRow(title=title, wish=wish, created_us=to_us(at))
            session.add(row)
            session.commit()
            return row.id

    def change(self, day_id: int, title: str, wish: str) -> None:
        """Wish for something else; what was ticked off or moved stays.

        Raises
        ------
        NoSuchDay, InvalidEntry
        """
        check_text("title", title)
        check_text("wish", wish)
        with self._file.write() as session:
            row = _row(session, day_id)
            row.title, row.wish = title, wish
            session.commit()

    def tick(self, day_id: int, key: str, at: datetime | None) -> None:
        """Tick a step off at that time, or with None take the tick back."""
        with self._file.write() as session:
            row = _step(session, day_id, key, at)
            row.ticked_us = None if at is None else to_us(at)
            _put(session, row)
            session.commit()

    def move(self, day_id: int, key: str, to: datetime | None) -> None:
        """Move a step to another time, or with None back to the one worked out."""
        with self._file.write() as session:
            row = _step(session, day_id, key, to)
            row.moved_us = None if to is None else to_us(to)
            _put(session, row)
            session.commit()

    def join(self, day_id: int, cook_id: int) -> None:
        """Say that a cook was begun out of a day; saying it twice does nothing.

        Raises
        ------
        NoSuchDay, NoSuchCook
        """
        with self._file.write() as session:
            _row(session, day_id)
            cook_row(session, cook_id)
            session.merge(DayCookRow(day_id=day_id, cook_id=cook_id))
            session.commit()

    def close(self, day_id: int, at: datetime | None) -> None:
        """Say that a day is over, or with None that it is not."""
        if at is not None:
            check_time("time", at)
        with self._file.write() as session:
            _row(session, day_id).closed_us = None if at is None else to_us(at)
            session.commit()


def _row(session: Session, day_id: int) -> DayRow:
    row = session.get(DayRow, day_id) if possible_id(day_id) else None
    if row is None:
        raise NoSuchDay(day_id)
    return row


def _step(session: Session, day_id: int, key: str, at: datetime | None) -> DayStepRow:
    """The row of a step, a new one if nothing was done about it yet."""
    check_label("step", key)
    if at is not None:
        check_time("time", at)
    _row(session, day_id)
    return session.get(DayStepRow, (day_id, key)) or DayStepRow(day_id=day_id, key=key)


def _put(session: Session, row: DayStepRow) -> None:
    """Keep the row while it says something."""
    if row.ticked_us is not None or row.moved_us is not None:
        session.add(row)
    elif row in session:
        session.delete(row)


def _load(session: Session, *chosen: ColumnElement[bool]) -> tuple[SavedDay, ...]:
    rows = list(
        session.scalars(
            select(DayRow).where(*chosen).order_by(DayRow.created_us.desc(), DayRow.id.desc())
        )
    )
    ids = [row.id for row in rows] if chosen else None
    steps, cooks = _steps(session, ids), _cook_ids(session, ids)
    return tuple(
        SavedDay(
            id=row.id,
            title=row.title,
            wish=row.wish,
            steps=tuple(steps.get(row.id, ())),
            cook_ids=tuple(cooks.get(row.id, ())),
            created_at=from_us(row.created_us),
            closed_at=optional_from_us(row.closed_us),
        )
        for row in rows
    )


def _steps(session: Session, day_ids: list[int] | None) -> dict[int, list[SavedStep]]:
    """What was done about the steps of these days, or of all."""
    chosen = select(DayStepRow).order_by(DayStepRow.day_id, DayStepRow.key)
    if day_ids is not None:
        chosen = chosen.where(DayStepRow.day_id.in_(day_ids))
    found: dict[int, list[SavedStep]] = defaultdict(list)
    for row in session.scalars(chosen):
        step = SavedStep(row.key, optional_from_us(row.ticked_us), optional_from_us(row.moved_us))
        found[row.day_id].append(step)
    return found


def _cook_ids(session: Session, day_ids: list[int] | None) -> dict[int, list[int]]:
    """The cooks outside the bin that were begun out of these days, or of all."""
    chosen = (
        select(DayCookRow)
        .join(CookRow, CookRow.id == DayCookRow.cook_id)
        .where(CookRow.binned_us.is_(None))
        .order_by(DayCookRow.day_id, DayCookRow.cook_id)
    )
    if day_ids is not None:
        chosen = chosen.where(DayCookRow.day_id.in_(day_ids))
    found: dict[int, list[int]] = defaultdict(list)
    for row in session.scalars(chosen):
        found[row.day_id].append(row.cook_id)
    return found
