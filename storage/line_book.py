"""The lines of the cooks: adding, correcting, deleting and taking back."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.cook import Event, Reading
from storage.errors import LineNotLive, NoSuchLine
from storage.loading import changed_row, load_lines, possible_id
from storage.rows import LineRow
from storage.saving import NewLine, write_lines
from storage.times import to_us
from storage.unit_of_work import DataFile
from storage.values import SavedLine


class LineBook:
    """What can be done to lines. Nothing is ever erased: lines are marked.

    Every method is one unit of work and has committed when it returns.
    """

    def __init__(self, file: DataFile) -> None:
        self._file = file

    def add_line(
        self,
        cook_id: int,
        *,
        text: str,
        typed_at: datetime,
        at: datetime,
        readings: tuple[Reading, ...] = (),
        events: tuple[Event, ...] = (),
        ends_cook: bool = False,
    ) -> SavedLine:
        """Save an accepted line with all that it says.

        With `ends_cook` the cook is over at `at`, in the same unit of work.

        Raises
        ------
        NoSuchCook
        InvalidEntry
            A value that cannot be stored; nothing is saved.
        """
        line = NewLine(text, typed_at, at, readings, events)
        with self._file.write() as session:
            row = changed_row(session, cook_id)
            (line_id,) = write_lines(session, cook_id, (line,))
            if ends_cook:
                row.ended_us = to_us(at)
            saved = _line(session, line_id)
            session.commit()
        return saved

    def correct_line(
        self,
        line_id: int,
        *,
        text: str,
        typed_at: datetime,
        at: datetime,
        readings: tuple[Reading, ...] = (),
        events: tuple[Event, ...] = (),
        ends_cook: bool = False,
    ) -> SavedLine:
        """Save a line in the place of another one, which is kept beside it.

        With `ends_cook` the cook is over at `at`, in the same unit of work.

        Raises
        ------
        LineNotLive
            It was deleted or corrected meanwhile.
        """
        line = NewLine(text, typed_at, at, readings, events)
        with self._file.write() as session:
            original = _live_row(session, line_id)
            cook = changed_row(session, original.cook_id)
            if ends_cook:
                cook.ended_us = to_us(at)
            (new_id,) = write_lines(session, original.cook_id, (line,), replaces_id=line_id)
            original.replaced_by_id = new_id
            session.flush()
            saved = _line(session, new_id)
            session.commit()
        return saved

    def delete_line(self, line_id: int, *, reopens_cook: bool = False) -> None:
        """Mark a line as deleted; deleting it twice does nothing.

        A line that it corrected stays replaced. With `reopens_cook` the cook is not over any more,
        in the same unit of work.
        """
        with self._file.write() as session:
            row = _row(session, line_id)
            if not row.deleted:
                _live_row(session, line_id).deleted = True
                cook = changed_row(session, row.cook_id)
                if reopens_cook:
                    cook.ended_us = None
            session.commit()

    def restore_line(self, line_id: int) -> None:
        """Bring a deleted line back; one that is not deleted is left as it is.

        Raises
        ------
        LineNotLive
            The line that it corrected has another correction by now.
        """
        with self._file.write() as session:
            row = _row(session, line_id)
            if row.deleted and row.replaces_id is not None:
                original = _row(session, row.replaces_id)
                if original.replaced_by_id not in (None, line_id):
                    raise LineNotLive(original.id, original.replaced_by_id)
                original.replaced_by_id = line_id
            if row.deleted:
                row.deleted = False
                changed_row(session, row.cook_id)
            session.commit()

    def undo(
        self, cook_id: int, line_id: int | None = None, *, reopens_cook: bool = False
    ) -> SavedLine | None:
        """Take back a live line and return it: the one that was accepted last, None if none was.

        A correction that is taken back makes its original live again. `line_id` names the line
        that was shown: another terminal may have added one since. With `reopens_cook` the cook is
        not over any more, in the same unit of work.

        Raises
        ------
        LineNotLive
            The line that was shown was deleted or corrected meanwhile.
        """
        with self._file.write() as session:
            cook = changed_row(session, cook_id)  # rolled back if there is nothing to take back
            last = _last_live(session, cook_id) if line_id is None else _live_row(session, line_id)
            if last is None:
                return None
            if reopens_cook:
                cook.ended_us = None
            last.deleted = True
            if last.replaces_id is not None:
                _row(session, last.replaces_id).replaced_by_id = None
            session.flush()
            taken = _line(session, last.id)
            session.commit()
        return taken


def _last_live(session: Session, cook_id: int) -> LineRow | None:
    return session.scalar(
        select(LineRow)
        .where(
            LineRow.cook_id == cook_id,
            LineRow.deleted.is_(False),
            LineRow.replaced_by_id.is_(None),
        )
        .order_by(LineRow.id.desc())
        .limit(1)
    )


def _row(session: Session, line_id: int) -> LineRow:
    row = session.get(LineRow, line_id) if possible_id(line_id) else None
    if row is None:
        raise NoSuchLine(line_id)
    return row


def _live_row(session: Session, line_id: int) -> LineRow:
    row = _row(session, line_id)
    if row.deleted or row.replaced_by_id is not None:
        raise LineNotLive(line_id, row.replaced_by_id)
    return row


def _line(session: Session, line_id: int) -> SavedLine:
    (saved,) = load_lines(session, LineRow.id == line_id)
    return saved
