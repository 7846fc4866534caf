"""What one cell says: a temperature, an elapsed time, a date, a clock time.

A cell that cannot be read raises ValueError with what is allowed as its words.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum

from core.units import TemperatureUnit, to_celsius
from storage.limits import TEMP_C, YEARS, within

NOTHING = frozenset({"", "-", "--", "---", "n/a", "na", "nan", "null", "none"})
"""Cells that say that nothing was read."""

TEMP_RULE = "a temperature like 128, 52.5 or 52,5, or nothing"
LENGTH_RULE = "a number like 21.5 or 21,5, or h:mm"
TIME_RULE = "a time like 14:20, 2:20 pm or 2026-05-09 14:20; for minutes: --map minute=COLUMN"
DATE_RULE = "a date like 2026-05-09, 9.5.2026 or 5/9/2026"
YEAR_RULE = f"a year after {YEARS[0]} and before {YEARS[1]}"
SLASH_RULE = "a date whose order is known: --dates dmy or --dates mdy says it"

_NUMBER = re.compile(r"([+-]?[0-9]+)(?:([.,])([0-9]+))?")
_TEMP = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?)\s*(?:°|º|deg\.?)?\s*([cf])?", re.IGNORECASE)
_SPAN = re.compile(r"([0-9]{1,3}):([0-5][0-9])(?::([0-5][0-9](?:[.,][0-9]+)?))?")
_CLOCK = re.compile(
    r"([0-9]{1,2})[:.]([0-9]{2})(?:[:.]([0-9]{2}(?:[.,][0-9]{1,6})?))?\s*([ap])?\.?(?:m\.?)?",
    re.IGNORECASE,
)
_YEAR_FIRST = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})[-/.]([0-9]{4}|[0-9]{2})")


class DateOrder(StrEnum):
    """Which of a date's first two numbers is the day."""

    DMY = "dmy"
    MDY = "mdy"


def is_nothing(cell: str, missing: frozenset[str] = frozenset()) -> bool:
    """Whether a cell says that nothing was read."""
    return cell.casefold() in NOTHING or cell in missing


def read_number(cell: str, rule: str) -> float:
    """A number with a decimal point or comma."""
    match = _NUMBER.fullmatch(cell)
    if match is None:
        raise ValueError(rule)
    if match[2] == "," and len(match[3]) == 3 and match[1].lstrip("+-") not in ("0", ""):
        raise ValueError(f"{rule}; this could be thousands or a decimal comma")
    return float(cell.replace(",", "."))


def read_temp_c(cell: str, unit: TemperatureUnit | None) -> float:
    """A temperature [°C]; a unit in the cell counts before that of its column."""
    match = _TEMP.fullmatch(cell)
    if match is None:
        raise ValueError(TEMP_RULE)
    own = TemperatureUnit(match[2].upper()) if match[2] else unit
    if own is None:
        raise ValueError("a temperature with its unit: --unit C or --unit F says it for all")
    temp_c = to_celsius(read_number(match[1], TEMP_RULE), own)
    if not within(temp_c, TEMP_C):
        raise ValueError(f"{TEMP_C[0]:g} to {TEMP_C[1]:g} °C; --missing names what means nothing")
    return temp_c


def read_length_s(cell: str, seconds: float) -> float:
    """An elapsed time [s]: a number of units of `seconds`, or ``h:mm`` or ``h:mm:ss``."""
    match = _SPAN.fullmatch(cell)
    if match is None:
        return seconds * read_number(cell, LENGTH_RULE)
    last = float((match[3] or "0").replace(",", "."))
    return 3600.0 * int(match[1]) + 60.0 * int(match[2]) + last


def read_clock(cell: str) -> time:
    """A time of day."""
    match = _CLOCK.fullmatch(cell)
    if match is None:
        raise ValueError(TIME_RULE)
    hour, minute, half = int(match[1]), int(match[2]), match[4]
    seconds = float((match[3] or "0").replace(",", "."))
    if half is not None:
        if not 1 <= hour <= 12:
            raise ValueError(TIME_RULE)
        hour = hour % 12 + (12 if half.lower() == "p" else 0)
    if hour > 23 or minute > 59 or seconds >= 60.0:
        raise ValueError(TIME_RULE)
    return time(hour, minute, int(seconds), round(seconds % 1.0 * 1e6) % 1_000_000)


def read_date(cell: str, order: DateOrder | None) -> date:
    """A date; `order` settles what slashes leave open."""
    match = _YEAR_FIRST.fullmatch(cell)
    if match is not None:
        return _date(int(match[1]), int(match[2]), int(match[3]))
    match = _YEAR_LAST.fullmatch(cell)
    if match is None:
        raise ValueError(DATE_RULE)
    first, second, year = int(match[1]), int(match[3]), int(match[4])
    year += 2000 if year < 100 else 0
    if order is None:
        if match[2] != "." and first <= 12 and second <= 12 and first != second:
            raise ValueError(SLASH_RULE)
        order = DateOrder.MDY if second > 12 else DateOrder.DMY
    day, month = (first, second) if order is DateOrder.DMY else (second, first)
    return _date(year, month, day)


def _date(year: int, month: int, day: int) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        raise ValueError(DATE_RULE) from None
    if not YEARS[0] < year < YEARS[1]:
        raise ValueError(YEAR_RULE)
    return found


def order_of(cells: list[str]) -> DateOrder | None:
    """The order that a column of dates gives away by a number above 12."""
    matches = [match for cell in cells if (match := _YEAR_LAST.match(cell))]
    if any(int(match[1]) > 12 for match in matches):
        return DateOrder.DMY
    if any(int(match[3]) > 12 for match in matches):
        return DateOrder.MDY
    return None


def read_moment(cell: str, order: DateOrder | None) -> datetime | time:
    """An aware or naive date and time, or a time of day alone."""
    iso = re.fullmatch(
        r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9:.,]+\s*(?:Z|[+-][0-9:]+)?", cell, re.IGNORECASE
    )
    if iso is not None:
        try:
            found = datetime.fromisoformat(
                cell.replace(",", ".").replace(" ", "T", 1).replace(" ", "")
            )
        except ValueError:
            raise ValueError(TIME_RULE) from None
        if not YEARS[0] < found.year < YEARS[1]:
            raise ValueError(YEAR_RULE)
        return found
    day, _, clock = cell.replace("T", " ", 1).partition(" ")
    if not clock or not re.search(r"[0-9][-/.][0-9]", day):
        return read_clock(cell)  # `14:20`, `2:20 pm`
    return datetime.combine(read_date(day.rstrip(","), order), read_clock(clock.strip()))


def instants(naive: datetime, zone: tzinfo) -> list[datetime]:
    """The instants of a local time: none in an hour that is skipped, two in one that repeats."""
    found: list[datetime] = []
    for fold in (0, 1):
        instant = naive.replace(tzinfo=zone, fold=fold).astimezone(UTC)
        back = instant.astimezone(zone).replace(tzinfo=None, fold=0)
        if back == naive and instant not in found:
            found.append(instant)
    return found


def next_instant(naive: datetime, zone: tzinfo, last: datetime | None) -> datetime:
    """The instant of a local time that follows on `last`: the rows of a log run forward."""
    found = instants(naive, zone)
    if not found:
        raise ValueError("a time that the clock showed; this one was skipped by a clock change")
    later = [at for at in found if last is None or at >= last]
    return min(later) if later else max(found)


def clock_instant(clock: time, zone: tzinfo, last: datetime) -> datetime:
    """The instant of a time of day within 6 h before and 18 h after `last`."""
    about = last.astimezone(zone).date()
    days = (datetime.combine(about + timedelta(days=n), clock) for n in (-1, 0, 1))
    found = [at for day in days for at in instants(day, zone)]
    near = [at for at in found if timedelta(hours=-6) <= at - last < timedelta(hours=18)]
    if not near:
        raise ValueError("a time that the clock showed; this one was skipped by a clock change")
    later = [at for at in near if at >= last]
    return min(later) if later else max(near)
