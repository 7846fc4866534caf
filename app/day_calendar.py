"""A day's plan as an iCalendar object (RFC 5545), for the calendar of a phone.

Every instant goes out in UTC, so that no calendar can shift it in a night of clock change; each
step keeps its UID from one export to the next, so that a new one replaces the old.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Alarm, Calendar, Event

from app.presenters.dayline import DaylineView, StepView
from core.day_values import Dayline, Step, StepKey

PRODUCT = "-//doneby//dayline//EN"
NAMESPACE = uuid5(NAMESPACE_URL, "urn:doneby:dayline")
SHORTEST = timedelta(minutes=5)
LONG_AHEAD = frozenset({
    StepKey.THAW, StepKey.THAW_FINISH, StepKey.BRINE_IN, StepKey.BRINE_OUT, StepKey.DRY_SALT,
    StepKey.LIGHT, StepKey.MEAT_ON,
})  # fmt: skip
"""Steps that need something made ready first: called a quarter of an hour ahead."""

QUIET = frozenset({StepKey.SMOKE, StepKey.HOLD, StepKey.REST, StepKey.EAT})
"""Steps that come with another one and call nobody."""

AHEAD = timedelta(minutes=15)


def day_name(day: Dayline, saved_id: int | None, created_at: datetime | None) -> str:
    """A name that stays with the day: of its place in the data file, or of what is wished for."""
    if saved_id is not None and created_at is not None:
        return f"{saved_id} {created_at.astimezone(UTC).isoformat()}"
    meats = ",".join(f"{p.name} {p.plan.mass_kg:.3f}" for p in day.wish.pieces)
    return f"{day.wish.serve_at.isoformat()} {meats}"


def calendar_bytes(day: Dayline, view: DaylineView, name: str) -> bytes:
    """The whole day as one calendar.

    Parameters
    ----------
    day : Dayline
    view : DaylineView
        The same day in words.
    name : str
        As `day_name` gives it; the UIDs are made from it.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", view.headline)
    for step, words in zip(day.steps, view.steps, strict=True):
        calendar.add_component(_event(day, step, words, view, name))
    return bytes(calendar.to_ical())


def step_uid(name: str, step_id: str) -> str:
    """The UID of one step of one day: always the same."""
    return str(uuid5(NAMESPACE, f"{name}/{step_id}"))


def _event(day: Dayline, step: Step, words: StepView, view: DaylineView, name: str) -> Event:
    event = Event()
    event.add("uid", step_uid(name, _unique(day, step)))
    event.add("dtstamp", day.wish.now.astimezone(UTC).replace(microsecond=0))
    start = step.at.astimezone(UTC).replace(microsecond=0)
    event.add("dtstart", start)
    event.add("dtend", start + _length(step))
    who = f"{words.piece}: " if words.piece else ""
    event.add("summary", f"{who}{words.text}")
    parts = [words.range, words.why, f"From: {words.source}"]
    if step.key in (StepKey.PULL, StepKey.THAW, StepKey.LIGHT):
        parts += view.cautions
    event.add("description", "\n".join(part for part in parts if part))
    # so that a calendar does not show the whole day as busy
    event.add("transp", "TRANSPARENT")
    if not step.done and step.key not in QUIET:
        event.add_component(_alarm(step, f"{who}{words.text}"))
    return event


def _unique(day: Dayline, step: Step) -> str:
    """The step's name, numbered where a day has several of one name."""
    same = [other for other in day.steps if other.id == step.id]
    return step.id if len(same) == 1 else f"{step.id}#{same.index(step)}"


def _length(step: Step) -> timedelta:
    """How long a step stands in the calendar."""
    for number in ("rest_s", "hold_s", "carve_s"):
        seconds = step.number(number)
        if seconds is not None and step.key in (StepKey.REST, StepKey.HOLD, StepKey.CARVE):
            return max(timedelta(seconds=round(seconds)), SHORTEST)
    return SHORTEST


def _alarm(step: Step, words: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", words)
    alarm.add("trigger", -AHEAD if step.key in LONG_AHEAD else timedelta(0))
    return alarm
