"""A day as the Dayline screen lists it: rows by day, a line for now, and the step that is next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.day_words import DayChange, Ticked
from app.display import Display
from app.presenters.dayline import DaylineView, StepView, day_name, meal_words, present_dayline
from app.presenters.hanging import hung_line
from app.presenters.words import in_ten, join_words
from core.day_values import Dayline, Step, StepKey

MORE_REMEDIES = "  F6 shows all that can still be done."
FOLLOWING = frozenset({StepKey.REST, StepKey.HOLD, StepKey.EAT, StepKey.SMOKE})
"""Steps that come by themselves: none of them is what has to be done next."""


SAID = {StepKey.LIGHT: "fire", StepKey.THAW_FINISH: "cold water", StepKey.EAT: "meal"}
"""Steps that are called otherwise when they are typed."""


class RowKind(StrEnum):
    """What a row of the list is."""

    DAY = "day"
    NOW = "now"
    STEP = "step"


@dataclass(frozen=True, slots=True)
class DayRow:
    """One row.

    Attributes
    ----------
    kind : RowKind
    clock, words : str
    state : str
        ``done``, ``moved``, ``next``, ``due`` or empty.
    side, more : str
        What stands beside it where there is room, and where there is more.
    step : int or None
        Which step of the day it is.
    """

    kind: RowKind
    clock: str
    words: str
    state: str = ""
    side: str = ""
    more: str = ""
    step: int | None = None


@dataclass(frozen=True, slots=True)
class DayView:
    """Everything on the Dayline screen.

    Attributes
    ----------
    title, clock : str
    summary : tuple of str
        A line for each piece: when it goes on and its chance.
    rows : tuple of DayRow
    whole : DaylineView
    today : str
        The heading of today's steps.
    """

    title: str
    clock: str
    summary: tuple[str, ...]
    rows: tuple[DayRow, ...]
    whole: DaylineView
    today: str


def present_day(day: Dayline, display: Display, now: datetime) -> DayView:
    """The day at `now`."""
    whole = present_dayline(day, display)
    return DayView(
        title=f"{meal_words(day, display)}, to eat {display.clock(day.wish.serve_at, now)}",
        clock=display.clock(now),
        summary=_summary(day, display),
        rows=_rows(day, whole, display, now),
        whole=whole,
        today=day_name(display.local(now)),
    )


def conflict_lines(view: DaylineView, width: int, room: int) -> tuple[str, ...]:
    """What is in the way, with what can still be done, in at most `room` rows of `width`.

    Where there is no room for all of it, only the first remedy of each stands, then none; a line
    at the end says where the rest is.
    """
    every = [_conflict_lines(view, most) for most in (None, 1, 0)]
    for lines, pointer in zip(every, ("", MORE_REMEDIES, MORE_REMEDIES), strict=True):
        shown = (*lines, pointer) if pointer else tuple(lines)
        if _rows_of(shown, width) <= room:
            return shown
    kept: list[str] = []
    for line in every[-1]:
        if _rows_of((*kept, line), width) > room - 1:
            break
        kept.append(line)
    return (
        *kept,
        f"  F6 shows {len(view.conflicts) - len(kept)} more, and what can still be done.",
    )


def _conflict_lines(view: DaylineView, most: int | None) -> list[str]:
    lines: list[str] = []
    for conflict in view.conflicts:
        lines.append(f"! {conflict.text}")
        lines += [f"  can still be done: {remedy}" for remedy in conflict.remedies[:most]]
    return lines


def _rows_of(lines: tuple[str, ...], width: int) -> int:
    return sum(len(hung_line(line, width)) for line in lines)


def detail_words(view: StepView) -> str:
    """All that is known of one step."""
    who = f"{view.piece}: " if view.piece else ""
    known = join_words(view.range, view.why)
    head = f"{view.clock} {who}{view.text}"
    if not known:
        return f"{head} ({view.source})"
    return f"{head}. {known[0].upper()}{known[1:]} ({view.source})"


def change_words(change: DayChange, display: Display, now: datetime) -> str:
    """How a typed line about a step is read."""
    who = f"{change.step.piece}: " if change.step.piece else ""
    name = f"{who}{SAID.get(change.step.key, change.step.key.value.replace('_', ' '))}"
    if isinstance(change, Ticked):
        if change.at is None:
            return f"{name}: not done after all"
        return f"{name}: done at {display.clock(change.at, now)}"
    if change.to is None:
        return f"{name}: back to the plan"
    return f"{name}: moved to {display.clock(change.to, now)}"


def _summary(day: Dayline, display: Display) -> tuple[str, ...]:
    lines = []
    for piece in day.pieces:
        name = f"{piece.piece.name}: " if len(day.pieces) > 1 else ""
        on = display.clock(piece.on_at, day.wish.now)
        verb = "on since" if piece.on else "meat on"
        wanted = in_ten(day.wish.chance)
        chance = in_ten(piece.chance)
        lines.append(f"{name}{verb} {on}, ready for the meal: {chance}, wanted {wanted}")
    return tuple(lines)


def next_step(day: Dayline) -> int | None:
    """The earliest step that waits for the cook's hands."""
    for index, step in enumerate(day.steps):
        if not step.done and step.key not in FOLLOWING:
            return index
    return None


def _rows(day: Dayline, whole: DaylineView, display: Display, now: datetime) -> tuple[DayRow, ...]:
    rows: list[DayRow] = []
    shown, told_now = "", False
    today = day_name(display.local(now))
    # a day without a step has no heading, so the line for now names it
    now_words = "now" if any(view.day == today for view in whole.steps) else f"now, {today}"
    following = next_step(day)
    for index, (step, view) in enumerate(zip(day.steps, whole.steps, strict=True)):
        if not told_now and step.at > now:
            told_now = True
            rows.append(DayRow(RowKind.NOW, display.clock(now), now_words))
        if view.day != shown:
            shown = view.day
            # the line for now belongs under the heading of today
            under = rows and rows[-1].kind is RowKind.NOW and shown == today
            rows.insert(len(rows) - bool(under), DayRow(RowKind.DAY, "", shown))
        state = view.state or (_waiting(step, now) if index == following else "")
        who = f"{view.piece}: " if view.piece else ""
        rows.append(DayRow(RowKind.STEP, view.clock, f"{who}{view.text}", state,
                           view.range or view.why, view.why if view.range else "",
                           index))  # fmt: skip
    if not told_now:
        rows.append(DayRow(RowKind.NOW, display.clock(now), now_words))
    return tuple(rows)


def _waiting(step: Step, now: datetime) -> str:
    return "due" if step.at <= now else "next"
