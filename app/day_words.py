"""What is typed about the steps of a day: ``done``, ``done fire 5:40``, ``21:00``, ``back``.

The screen and ``doneby dayline`` read the same words. A line without a step is about the one that
is picked on the screen.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, time, timedelta, tzinfo

from app.display import WEEKDAYS
from app.line.fields import CLOCK_RULE, read_span_s, read_start
from app.line.values import Refusal
from app.localtime import with_offset
from core.day_values import Dayline, Step, StepKey
from storage.errors import shown
from storage.limits import YEARS

AHEAD = timedelta(minutes=5)
"""A step is ticked so much ahead of the clock at most: a watch that is fast."""

FAR = timedelta(days=14)
NAMES = {
    "thaw": StepKey.THAW,
    "water": StepKey.THAW_FINISH,
    "cold water": StepKey.THAW_FINISH,
    "brine": StepKey.BRINE_IN,
    "brine in": StepKey.BRINE_IN,
    "brine out": StepKey.BRINE_OUT,
    "out": StepKey.BRINE_OUT,
    "dry": StepKey.BRINE_OUT,
    "salt": StepKey.DRY_SALT,
    "dry salt": StepKey.DRY_SALT,
    "rub": StepKey.RUB,
    "fire": StepKey.LIGHT,
    "light": StepKey.LIGHT,
    "lit": StepKey.LIGHT,
    "steady": StepKey.FIRE_STEADY,
    "fire steady": StepKey.FIRE_STEADY,
    "on": StepKey.MEAT_ON,
    "meat on": StepKey.MEAT_ON,
    "wood": StepKey.SMOKE,
    "smoke": StepKey.SMOKE,
    "first look": StepKey.FIRST_LOOK,
    "meat look": StepKey.MEAT_LOOK,
    "finish look": StepKey.FINISH_LOOK,
    "glaze": StepKey.GLAZE,
    "wrap": StepKey.WRAP,
    "pull": StepKey.PULL,
    "rest": StepKey.REST,
    "hold": StepKey.HOLD,
    "carve": StepKey.CARVE,
    "eat": StepKey.EAT,
    "meal": StepKey.EAT,
    "leftovers": StepKey.LEFTOVERS,
}
"""What the steps are called; the longest name that fits is taken."""

FOLLOWS = {
    StepKey.GLAZE: "the meat decides that: move meat on, or the meal",
    StepKey.WRAP: "the meat decides that: move meat on, or the meal",
    StepKey.PULL: "the meat decides that: move meat on, or the meal",
    StepKey.REST: "it follows from the pull",
    StepKey.HOLD: "it follows from the pull",
    StepKey.CARVE: "it follows from the meal: move that",
}
"""Steps that can be ticked and not moved, and why."""

RULE = (
    "done, done fire 5:40, undone fire, a time to move it to (fri 21:00, +15, -15), or back; "
    "the steps are called " + ", ".join(dict.fromkeys(NAMES))
)
_SHIFT = re.compile(r"([+-])\s*(.+)")
_CLOCK = re.compile(r"[0-9]{1,2}(?:[:.h][0-9]{2})?\s*(?:am|pm)?")
_DAY = re.compile(rf"({'|'.join(WEEKDAYS)})[a-z]*,?\s*(.*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Ticked:
    """A step was done at that time; None takes the tick back."""

    step: Step
    at: datetime | None


@dataclass(frozen=True, slots=True)
class Moved:
    """A step is put to another time; None gives it back to the plan."""

    step: Step
    to: datetime | None


DayChange = Ticked | Moved


def read_day_line(
    text: str, day: Dayline, picked: Step | None, now: datetime, zone: tzinfo
) -> DayChange:
    """What a typed line does to a day.

    Parameters
    ----------
    text : str
        Empty: ticks the picked step, or takes its tick back.
    day : Dayline
    picked : Step or None
        The step that a line without a name is about.
    now : datetime
    zone : tzinfo

    Raises
    ------
    Refusal
    """
    words = " ".join(text.lower().split())
    if not words:
        step = _needed(picked)
        return Ticked(step, None if step.done else now)
    verb, _, rest = words.partition(" ")
    if verb in ("done", "tick"):
        step, rest = _step(rest, day, picked)
        return Ticked(step, _ticked_at(rest, step, now, zone))
    if verb in ("undone", "untick", "back", "unmove"):
        step, rest = _step(rest, day, picked)
        if rest:
            raise Refusal(f"found {shown(rest)}", RULE)
        return Ticked(step, None) if verb in ("undone", "untick") else Moved(step, None)
    if verb == "move":
        words = rest
    step, rest = _step(words, day, picked)
    return Moved(_movable(step), _moved_to(rest, step, now, zone))


def _needed(step: Step | None) -> Step:
    if step is None:
        raise Refusal("found no step", RULE)
    return step


def _movable(step: Step) -> Step:
    if step.key in FOLLOWS:
        name = step.key.value
        raise Refusal(f"{name} cannot be moved", FOLLOWS[step.key])
    if step.done:
        raise Refusal("that step is done", "'undone' takes the tick back first")
    return step


def _step(words: str, day: Dayline, picked: Step | None) -> tuple[Step, str]:
    """The step that the words begin with and what is left of them; the picked one if none."""
    named = [name for name in NAMES if words == name or words.startswith((f"{name} ", f"{name}:"))]
    by_id = [step for step in day.steps if words == step.id or words.startswith(f"{step.id} ")]
    if by_id:
        step = max(by_id, key=lambda each: len(each.id))
        return step, words[len(step.id) :].strip()
    if not named:
        return _needed(picked), words
    name = max(named, key=len)
    found = [step for step in day.steps if step.key is NAMES[name]]
    rest = words[len(name) :].strip(" :")
    for step in found:
        piece = (step.piece or "").lower()
        tail = _after_piece(rest, piece)
        if piece and tail is not None:
            return step, tail
    if not found:
        raise Refusal(f"found {shown(name)}", "this day has no such step")
    if len(found) > 1:
        pieces = ", ".join(f"{name} {step.piece}" for step in found)
        raise Refusal(f"found {shown(name)}, which is one of several", pieces)
    return found[0], rest


def _after_piece(words: str, piece: str) -> str | None:
    """What follows the name of a piece, or a part of it; None if it is not named."""
    parts = {piece, *(word for word in piece.split() if len(word) > 2)}
    fits = [part for part in parts if words == part or words.startswith(f"{part} ")]
    return words[len(max(fits, key=len)) :].strip() if fits else None


def _ticked_at(words: str, step: Step, now: datetime, zone: tzinfo) -> datetime:
    if not words or words == "now":
        return now
    at = _time(words.removeprefix("@"), now, now, zone)
    if at > now + AHEAD:
        raise Refusal(f"found {shown(words)}, which is to come", "what is done is past")
    return min(at, now)


def _moved_to(words: str, step: Step, now: datetime, zone: tzinfo) -> datetime:
    if not words:
        raise Refusal("found no time", RULE)
    shift = _SHIFT.fullmatch(words)
    if shift is not None:
        span = timedelta(seconds=read_span_s(shift[2]))
        return step.at + (span if shift[1] == "+" else -span)
    at = _time(words.removeprefix("to ").removeprefix("@"), step.at, now, zone)
    if at < now - AHEAD:
        raise Refusal(f"found {shown(words)}, which is past", f"'done {words}' says it was done")
    if at > now + FAR:
        raise Refusal(f"found {shown(words)}", "a day is planned up to two weeks ahead")
    return at


def _time(words: str, near: datetime, now: datetime, zone: tzinfo) -> datetime:
    """The clock time nearest to `near`; a weekday or a date settles the day."""
    if words == "now":
        return now
    shift = _SHIFT.fullmatch(words)
    if shift is not None:
        span = timedelta(seconds=read_span_s(shift[2]))
        return now + (span if shift[1] == "+" else -span)
    match = _DAY.fullmatch(words)
    if match is None:
        at = read_start(words, near, zone)
        if not YEARS[0] < at.year < YEARS[1]:
            raise Refusal(f"found {shown(words)}", CLOCK_RULE)
        return at
    if not _CLOCK.fullmatch(match[2]):
        raise Refusal(f"found {shown(words)}", CLOCK_RULE)
    local = near.astimezone(zone)
    wanted = [day.lower() for day in WEEKDAYS].index(match[1].lower())
    for away in sorted(range(-7, 8), key=abs):
        date = local.date() + timedelta(days=away)
        if date.weekday() == wanted:
            noon = with_offset(datetime.combine(date, time(12), tzinfo=zone), zone)
            found = [read_start(match[2], noon + timedelta(hours=h), zone) for h in (-6, 0, 6)]
            same = [at for at in found if at.astimezone(zone).date() == date]
            if same:
                return min(same, key=lambda at: abs(at - near))
    raise Refusal(f"found {shown(words)}", CLOCK_RULE)
