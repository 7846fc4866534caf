"""Times as they are typed: ``@14:20``, ``@2:20pm``, ``@sat14:20``, ``-10m``, ``-1h20m``, ``now``.

A clock time means the nearest past one. Where that is not plain (morning or afternoon, the hour
that a clock change repeats, a minute that has not come yet) the rule that was applied is told.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from app.display import WEEKDAYS
from app.line.values import LineContext, Refusal
from storage.errors import shown

LEAD = timedelta(hours=6)
"""How long before meat-on a line may speak of: the fire is lit before."""
GRACE = timedelta(minutes=5)
"""A clock time so little ahead is a watch that is fast, not a slip."""
DAYS_BACK = 8
"""Clock times are looked for so many days back; before that a date is needed."""

_AGO = re.compile(r"-(?:([0-9]{1,3})h(?:rs?)?)?(?:([0-9]{1,4})(?:m|min|mins)?)?")
_CLOCK = re.compile(
    r"(mon|tue|wed|thu|fri|sat|sun)?"
    r"([0-9]{1,2})(?:[:.h]?([0-9]{2})(?::([0-9]{2}))?)?(am|pm|a|p)?"
)
_DATED = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}t[0-9]{2}:[0-9]{2}.*")
TIME_RULE = "a time is @14:20, @2:20pm, @sat14:20, -10m or -1h20m"


@dataclass(frozen=True, slots=True)
class When:
    """A time that was read, and the rules that were applied to it."""

    at: datetime
    told: tuple[str, ...] = ()


def is_time(word: str) -> bool:
    """Whether a word means to be a time."""
    lower = word.lower()
    if lower == "now":
        return True
    if lower.startswith("@"):
        return len(lower) > 1
    match = _AGO.fullmatch(lower)
    # `-10` is ten below zero, `-` skips a probe.
    return match is not None and ("h" in lower or "m" in lower)


def is_clock(word: str) -> bool:
    """Whether a word among others is surely a time: ``@14:20`` or ``-10m``, not ``@home``."""
    lower = word.lower()
    if lower.startswith("@"):
        return lower[1:2].isdigit() or (lower[1:4].title() in WEEKDAYS and lower[4:5].isdigit())
    return lower != "now" and is_time(lower)


def read_when(word: str, ctx: LineContext) -> When:
    """The instant that a typed time means.

    Raises
    ------
    Refusal
        It is no time, has not come yet, was skipped by a clock change, or lies too far back.
    """
    lower = word.lower()
    if lower in ("now", "@now"):
        return When(ctx.now)
    if lower.startswith("-"):
        return _checked(When(_ago(word, ctx)), word, ctx)
    if _DATED.fullmatch(lower[1:]):
        return _checked(_dated(word, ctx), word, ctx)
    return _clock(word, ctx)


def _ago(word: str, ctx: LineContext) -> datetime:
    match = _AGO.fullmatch(word.lower())
    if match is None:
        raise Refusal(f"found {shown(word)}", TIME_RULE)
    hours, minutes = (int(part or 0) for part in match.groups())
    return ctx.now - timedelta(hours=hours, minutes=minutes)


def _dated(word: str, ctx: LineContext) -> When:
    try:
        when = datetime.fromisoformat(word[1:].upper())
    except ValueError:
        raise Refusal(f"found {shown(word)}", "a dated time is @2026-05-09T14:20") from None
    if when.tzinfo is None:
        instants = _instants(when.date(), when.time(), ctx)
        if not instants:
            raise _skipped(word)
        when = instants[-1]
    return When(when)


def _checked(when: When, word: str, ctx: LineContext) -> When:
    """The same, if it is within the cook; what is a little ahead is now."""
    if when.at > ctx.now:
        if when.at - ctx.now > GRACE:
            raise Refusal(f"{shown(word)} has not come yet", "a line speaks of now or before")
        return When(ctx.now, (*when.told, "not come yet, taken as now"))
    if when.at < ctx.started_at - LEAD:
        raise Refusal(
            f"{shown(word)} is more than {LEAD // timedelta(hours=1)} h before meat-on",
            "a line speaks of this cook",
        )
    return when


def _clock(word: str, ctx: LineContext) -> When:
    match = _CLOCK.fullmatch(word[1:].lower())
    if match is None:
        raise Refusal(f"found {shown(word)}", TIME_RULE)
    day, hour, minute, second, half = match.groups()
    hours = _hours(int(hour), half, padded=hour.startswith("0"))
    if not hours or int(minute or 0) > 59 or int(second or 0) > 59:
        raise Refusal(f"found {shown(word)}, no time of day", TIME_RULE)
    times = [time(h, int(minute or 0), int(second or 0)) for h in hours]
    past = _past(times, day, ctx)
    if not past:
        raise _none_past(word, times, ctx)
    at = max(past)
    return _checked(When(at, _told(at, past, times, ctx)), word, ctx)


def _hours(hour: int, half: str | None, *, padded: bool) -> tuple[int, ...]:
    """The hours of the day that may be meant."""
    if half is not None:
        return (hour % 12 + (12 if half.startswith("p") else 0),) if 1 <= hour <= 12 else ()
    if hour > 23:
        return ()
    if padded or hour == 0 or hour > 12:
        return (hour,)
    return (hour % 12, hour % 12 + 12)


def _past(times: list[time], day: str | None, ctx: LineContext) -> list[datetime]:
    """The instants at those times of day that have come and that the cook could mean."""
    today = ctx.now.astimezone(ctx.zone).date() + timedelta(days=1)
    found = []
    for back in range(DAYS_BACK + 1):
        date_ = today - timedelta(days=back)
        if day is not None and WEEKDAYS[date_.weekday()].lower() != day:
            continue
        for time_ in times:
            found += _instants(date_, time_, ctx)
    earliest = ctx.started_at - LEAD
    return [at for at in found if earliest <= at <= ctx.now + GRACE]


def _instants(date_: date, time_: time, ctx: LineContext) -> list[datetime]:
    """The instants of one local time: none in a skipped hour, two in a repeated one."""
    naive = datetime.combine(date_, time_)
    found: list[datetime] = []
    for fold in (0, 1):
        instant = naive.replace(tzinfo=ctx.zone, fold=fold).astimezone(UTC)
        back = instant.astimezone(ctx.zone).replace(tzinfo=None, fold=0)
        if back == naive and instant not in found:
            found.append(instant)
    return found


def _none_past(word: str, times: list[time], ctx: LineContext) -> Refusal:
    today = ctx.now.astimezone(ctx.zone).date()
    if not any(_instants(today, time_, ctx) for time_ in times):
        return _skipped(word)
    first = (ctx.started_at - LEAD).astimezone(ctx.zone)
    now = ctx.now.astimezone(ctx.zone)
    return Refusal(
        f"{shown(word)} has not come yet or is long before meat-on",
        f"allowed is from {WEEKDAYS[first.weekday()]} {first:%H:%M} to now, {now:%H:%M}",
    )


def _skipped(word: str) -> Refusal:
    return Refusal(f"{shown(word)} was skipped when the clock changed", TIME_RULE)


def _told(
    at: datetime, past: list[datetime], times: list[time], ctx: LineContext
) -> tuple[str, ...]:
    told = []
    local = at.astimezone(ctx.zone)
    wall = local.replace(tzinfo=None, fold=0)
    walls = [(p, p.astimezone(ctx.zone).replace(tzinfo=None, fold=0)) for p in past]
    if any(other == wall and p != at for p, other in walls):
        told.append(f"{local:%H:%M} came twice, the later is taken")
    if len(times) > 1:
        halves = [
            p for p, other in walls if other.hour != wall.hour and ctx.started_at <= p <= ctx.now
        ]
        if halves and at >= ctx.started_at:
            told.append(f"or {max(halves).astimezone(ctx.zone):%H:%M}? type am or pm")
    return tuple(told)
