"""What was understood of a table, told before or after it is saved."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from app.csv_readings.columns import Column, Role
from app.csv_readings.log import CsvLog, How
from app.csv_readings.sheet import SEPARATORS
from app.display import Display, plain_number
from app.presenters.words import reading_words
from core.cook import Reading
from storage.errors import shown


def understood(log: CsvLog, how: How, display: Display) -> list[str]:
    """The table in words: its form, each column, what is left out, first and last reading."""
    sheet = log.sheet
    form = f"{sheet.encoding}, cells separated by {SEPARATORS[sheet.separator]}"
    lines = [f"{sheet.name}: {len(sheet.rows)} rows, {form}"]
    lines += [_column_words(log, column, how) for column in log.columns]
    taken = {column.place for column in log.columns}
    left = [shown(head) for place, head in enumerate(sheet.heading) if place not in taken]
    if left:
        lines.append(f"  not taken: {', '.join(left)}")
    lines += list(_left_out(log, how))
    lines.append(f"  meat on: {display.local(log.start):%Y-%m-%d %H:%M}")
    if log.readings:
        lines.append(f"  first: {_row_words(log, log.readings[0], display)}")
        lines.append(f"  last: {_row_words(log, log.readings[-1], display)}")
    return lines


def counts(log: CsvLog) -> str:
    """``38 readings, 2 notes``."""
    parts = [_count(len(log.readings), "reading")]
    parts += [_count(len(log.notes), "note")] if log.notes else []
    return ", ".join(parts)


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _column_words(log: CsvLog, column: Column, how: How) -> str:
    head = f"  {column.name}: column {column.place + 1}, {shown(log.sheet.heading[column.place])}"
    if column.role in (Role.PIT, Role.PROBE):
        if column.unit is not None:
            return f"{head}, in °{column.unit.value}"
        said = "by its cells" if how.unit is None else f"in °{how.unit.value} where no unit stands"
        return f"{head}, {said}"
    if column.role is Role.MINUTE:
        unit = {60.0: "minutes", 1.0: "seconds", 3600.0: "hours"}[column.seconds]
        return f"{head}, {unit} from meat-on"
    if column.role is Role.TIME and not log.clock:
        return f"{head}, only for the time of meat-on"
    return head


def _left_out(log: CsvLog, how: How) -> Iterator[str]:
    if log.empty:
        yield f"  left out: {_count(log.empty, 'row')} with nothing read"
    if log.doubled:
        yield f"  left out: {_count(log.doubled, 'row')} the same as another"
    if log.thinned:
        every = plain_number(how.every_s / 60.0, 1)
        yield f"  left out: {_count(log.thinned, 'row')} within {every} min of the one before"


def _row_words(log: CsvLog, reading: Reading, display: Display) -> str:
    at = log.start + timedelta(seconds=reading.elapsed_s)
    minute = plain_number(reading.elapsed_s / 60.0, 1)
    return f"{display.clock(at, log.start)} ({minute} min): {reading_words(reading, display)}"
