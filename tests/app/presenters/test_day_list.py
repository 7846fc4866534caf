"""The rows of the Dayline screen: now and next, and conflicts in the room that there is."""

from __future__ import annotations

from datetime import datetime, timedelta
from textwrap import wrap
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.day_pieces import numbered, read_piece
from app.display import Display
from app.presenters.day_list import (
    RowKind,
    conflict_lines,
    detail_words,
    next_step,
    present_day,
)
from app.presenters.dayline import dayline_text
from core.day_values import Dayline, DayWish, Pin, StepKey, step_id
from core.dayline import plan_day
from core.units import MassUnit, TemperatureUnit
from tests.core.day_fakes import made_forecast

ZONE = ZoneInfo("America/Denver")
NOW = datetime(2026, 9, 5, 10, 0, tzinfo=ZONE)
UNITS = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
SHOW = Display(*UNITS, ZONE)


def _day(*pieces: str, ahead_h: float = 30.0, **pins: Pin) -> Dayline:
    meat = numbered(read_piece(text, *UNITS, NOW, ZONE) for text in pieces)
    wish = DayWish(meat, NOW + timedelta(hours=ahead_h), NOW, 9, pins=pins)
    return plan_day(wish, forecast_of=made_forecast)


@pytest.mark.parametrize("hours", [0, 10, 24, 27, 29, 31, 40])
def test_the_line_for_now_parts_what_was_from_what_comes(hours: float) -> None:
    day = _day("leg_of_lamb 5lb wet")
    now = NOW + timedelta(hours=hours)
    view = present_day(day, SHOW, now)
    kinds = [row.kind for row in view.rows]
    assert kinds.count(RowKind.NOW) == 1
    place = kinds.index(RowKind.NOW)
    before = [row.step for row in view.rows[:place] if row.step is not None]
    after = [row.step for row in view.rows[place:] if row.step is not None]
    assert [*before, *after] == list(range(len(day.steps)))
    assert all(day.steps[index].at <= now for index in before)
    assert all(day.steps[index].at > now for index in after)
    days = [row.words for row in view.rows if row.kind is RowKind.DAY]
    assert days == list(dict.fromkeys(step.day for step in view.whole.steps))


def test_next_is_the_first_that_waits_for_hands() -> None:
    day = _day("leg_of_lamb 5lb")
    assert next_step(day) == 0
    first = day.steps[0]
    later = _day("leg_of_lamb 5lb", **{first.id: Pin(NOW, done=True)})
    index = next_step(later)
    assert index is not None
    assert not later.steps[index].done
    states = [row.state for row in present_day(later, SHOW, NOW).rows if row.state]
    assert states == ["done", "next"]
    due = present_day(day, SHOW, first.at + timedelta(minutes=1))
    assert [row.state for row in due.rows if row.state] == ["due"]


@pytest.mark.parametrize("width", [58, 78, 118, 198])
@pytest.mark.parametrize("room", [4, 8, 14])
def test_conflicts_never_take_more_room_than_there_is_and_say_what_is_missing(
    width: int, room: int
) -> None:
    day = _day("duck 5lb frozen wet target=150", "whole_chicken 4lb frozen pit=380", ahead_h=4.0)
    view = present_day(day, SHOW, NOW).whole
    assert len(view.conflicts) >= 5
    lines = conflict_lines(view, width, room)
    assert sum(len(wrap(line, width)) for line in lines) <= room
    told = sum(line.startswith("!") for line in lines)
    remedies = sum(len(conflict.remedies) for conflict in view.conflicts)
    shown = sum("can still be done: " in line for line in lines)
    if told < len(view.conflicts):
        assert f"{len(view.conflicts) - told} more" in lines[-1]
    elif shown < remedies:
        assert "F6" in lines[-1]


def test_a_day_without_conflicts_takes_no_room() -> None:
    assert conflict_lines(present_day(_day("ham 15lb"), SHOW, NOW).whole, 78, 8) == ()


@settings(max_examples=80, deadline=None)
@given(
    pinned=st.dictionaries(
        st.tuples(st.sampled_from(StepKey), st.sampled_from(["duck", "ham", None])),
        st.tuples(st.integers(-3000, 3000), st.booleans()),
        max_size=7,
    ),
    now_min=st.integers(-2500, 2500),
)
def test_whatever_was_ticked_or_moved_is_worded(
    pinned: dict[tuple[StepKey, str | None], tuple[int, bool]], now_min: int
) -> None:
    meal = NOW + timedelta(hours=30)
    pins = {
        step_id(key, piece): Pin(meal + timedelta(minutes=minutes), done)
        for (key, piece), (minutes, done) in pinned.items()
    }
    now = meal + timedelta(minutes=now_min)
    meat = numbered(read_piece(text, *UNITS, NOW, ZONE) for text in ("duck 5lb wet", "ham 9lb"))
    day = plan_day(DayWish(meat, meal, now, pins=pins), forecast_of=made_forecast)
    view = present_day(day, SHOW, now)
    text = dayline_text(view.whole)
    for odd in ("None", "nan", "inf ", "\u2014"):
        assert odd not in text
    for step in view.whole.steps:
        assert detail_words(step)
    conflict_lines(view.whole, 78, 8)
