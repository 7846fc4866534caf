"""The calendar file, read again by the library of the open standard (RFC 5545)."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar, Event

from app.day_calendar import calendar_bytes, day_name
from app.day_pieces import numbered, read_piece
from app.display import Display
from app.presenters.dayline import present_dayline
from core.day_values import Dayline, DayWish, Pin, StepKey
from core.dayline import plan_day
from core.units import MassUnit, TemperatureUnit
from tests.core.day_fakes import made_forecast

BERLIN = ZoneInfo("Europe/Berlin")
UNITS = (TemperatureUnit.CELSIUS, MassUnit.KILOGRAM)


def _day(serve_at: datetime, *pieces: str, **pins: Pin) -> Dayline:
    now = (serve_at - timedelta(hours=30)).replace(fold=0)
    meat = numbered(read_piece(text, *UNITS, now, BERLIN) for text in pieces)
    return plan_day(DayWish(meat, serve_at, now, 6, pins=pins), forecast_of=made_forecast)


def _events(day: Dayline, name: str = "1 a day") -> list[Event]:
    view = present_dayline(day, Display(*UNITS, BERLIN))
    data = calendar_bytes(day, view, name)
    calendar = Calendar.from_ical(data)
    assert str(calendar["VERSION"]) == "2.0"
    assert calendar["PRODID"]
    return list(calendar.walk("VEVENT"))


NOON = datetime(2026, 7, 4, 13, 0, tzinfo=BERLIN)


def test_every_step_is_there_at_its_instant_with_its_words() -> None:
    day = _day(NOON, "leg_of_lamb 2.5kg", "whole_chicken 1.8kg wet")
    events = _events(day)
    assert len(events) == len(day.steps)
    view = present_dayline(day, Display(*UNITS, BERLIN))
    for event, step, words in zip(events, day.steps, view.steps, strict=True):
        start = event["DTSTART"].dt
        assert start == step.at.replace(microsecond=0)
        assert start.utcoffset() == timedelta(0), "UTC: no calendar can shift it"
        assert event["DTEND"].dt > start
        assert words.text in str(event["SUMMARY"])
        assert words.source in str(event["DESCRIPTION"])
        assert event["DTSTAMP"].dt == day.wish.now


def test_lines_are_folded_and_ended_as_the_standard_wants() -> None:
    """RFC 5545, 3.1: CRLF, lines of at most 75 octets."""
    day = _day(NOON, "leg_of_lamb 2.5kg")
    data = calendar_bytes(day, present_dayline(day, Display(*UNITS, BERLIN)), "1")
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    assert "°C".encode() in data.replace(b"\r\n ", b"")


def test_uids_stay_and_differ() -> None:
    first, again = (_events(_day(NOON, "duck 2kg", "duck 2.2kg")) for _ in range(2))
    uids = [str(event["UID"]) for event in first]
    assert uids == [str(event["UID"]) for event in again]
    assert len(set(uids)) == len(uids)
    later = _day(NOON, "duck 2kg", "duck 2.2kg", light=Pin(NOON - timedelta(hours=9)))
    moved = {str(event["UID"]): event["DTSTART"].dt for event in _events(later)}
    light = next(e for e in first if "light the fire" in str(e["SUMMARY"]))
    assert moved[str(light["UID"])] == NOON - timedelta(hours=9)
    other = {str(event["UID"]) for event in _events(later, "2 another day")}
    assert not other & set(uids)


def test_alarms_call_before_what_needs_hands_and_not_for_what_is_done() -> None:
    lit = Pin(NOON - timedelta(hours=9), done=True)
    day = _day(NOON, "leg_of_lamb 2.5kg", light=lit)
    for step, event in zip(day.steps, _events(day), strict=True):
        alarms = event.walk("VALARM")
        if step.key in (StepKey.LIGHT, StepKey.EAT, StepKey.REST):
            assert not alarms, step.key
        elif step.key is StepKey.MEAT_ON:
            (alarm,) = alarms
            assert alarm["TRIGGER"].dt == timedelta(minutes=-15)
            assert str(alarm["ACTION"]) == "DISPLAY"
            assert str(alarm["DESCRIPTION"]) == "meat on"


@pytest.mark.parametrize(
    "serve_at",
    [
        datetime(2026, 3, 29, 9, 0, tzinfo=BERLIN),  # clocks go forward at 02:00
        datetime(2026, 10, 25, 9, 0, tzinfo=BERLIN),  # clocks go back at 03:00
    ],
)
def test_a_night_of_clock_change_keeps_real_time(serve_at: datetime) -> None:
    day = _day(serve_at, "pork_shoulder 3.5kg pit=120")
    events = _events(day)
    on = next(e for e in events if str(e["SUMMARY"]) == "meat on")
    eat = next(e for e in events if str(e["SUMMARY"]) == "eat")
    (piece,) = day.pieces
    assert eat["DTSTART"].dt == serve_at.astimezone(UTC)
    real = (eat["DTSTART"].dt - on["DTSTART"].dt).total_seconds()
    assert real == piece.plan.serve_s
    assert on["DTSTART"].dt.astimezone(BERLIN).utcoffset() != serve_at.utcoffset(), (
        "the night lies between"
    )


def test_a_day_that_is_not_kept_has_a_name_of_its_own_too() -> None:
    day = _day(NOON, "duck 2kg")
    assert day_name(day, None, None) == day_name(day, None, None)
    assert day_name(day, 3, NOON) != day_name(day, 4, NOON)
