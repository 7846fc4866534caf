"""Clock times: the nearest past one, midnight, both clock changes, what has not come yet."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from app.line.values import LineContext, Refusal
from app.line.when import When, is_time, read_when
from tests.app.line.contexts import context

OVERNIGHT = context("2026-10-11T06:30:00", "2026-10-10T21:00:00")
# The clock goes back from 02:00 to 01:00 in Chicago on 2026-11-01, forward on 2026-03-08
# (tz database, US rules of 2007).
AUTUMN = context("2026-11-01T02:30:00", "2026-10-31T22:00:00")
SPRING = context("2026-03-08T04:10:00", "2026-03-07T22:00:00")


def local(when: When, ctx: LineContext) -> str:
    return f"{when.at.astimezone(ctx.zone):%a %H:%M:%S}"


@pytest.mark.parametrize(
    ("word", "ctx", "expected"),
    [
        ("@14:20", context(), "Sat 14:20:00"),
        ("@2:20", context(), "Sat 14:20:00"),
        ("@2:20pm", context(), "Sat 14:20:00"),
        ("@2pm", context(), "Sat 14:00:00"),
        ("@1420", context(), "Sat 14:20:00"),
        ("@14.20", context(), "Sat 14:20:00"),
        ("@14h20", context(), "Sat 14:20:00"),
        ("@14:20:31", context(), "Sat 14:20:31"),
        ("@sat14:20", context(), "Sat 14:20:00"),
        ("-10m", context(), "Sat 16:10:00"),
        ("-1h20m", context(), "Sat 15:00:00"),
        ("-2h", context(), "Sat 14:20:00"),
        ("-90min", context(), "Sat 14:50:00"),
        ("now", context(), "Sat 16:20:00"),
        ("@12:20", context(), "Sat 12:20:00"),
        ("@23:50", OVERNIGHT, "Sat 23:50:00"),
        ("@0:10", OVERNIGHT, "Sun 00:10:00"),
        ("@12:10am", OVERNIGHT, "Sun 00:10:00"),
        ("@2:20", OVERNIGHT, "Sun 02:20:00"),
        ("@11:15", OVERNIGHT, "Sat 23:15:00"),
        ("@sat22:00", OVERNIGHT, "Sat 22:00:00"),
        ("@2026-10-10T22:05", OVERNIGHT, "Sat 22:05:00"),
        ("@2026-10-10T22:05:30-05:00", OVERNIGHT, "Sat 22:05:30"),
    ],
)
def test_nearest_past_clock_time(word: str, ctx: LineContext, expected: str) -> None:
    assert local(read_when(word, ctx), ctx) == expected


def test_morning_or_evening_is_told_when_both_lie_within_the_cook() -> None:
    long_cook = context("2026-10-11T15:00:00", "2026-10-10T21:00:00")
    when = read_when("@2:20", long_cook)
    assert local(when, long_cook) == "Sun 14:20:00"
    assert when.told == ("or 02:20? type am or pm",)
    assert read_when("@02:20", long_cook).told == ()
    assert read_when("@2:20", context()).told == ()


def test_a_minute_that_has_not_come_is_now() -> None:
    when = read_when("@16:23", context())
    assert when.at == context().now
    assert when.told == ("not come yet, taken as now",)


@pytest.mark.parametrize("word", ["@18:00", "@fri10:00", "@2026-10-11T09:00", "@2026-10-01T09:00"])
def test_the_future_and_the_distant_past_are_refused(word: str) -> None:
    with pytest.raises(Refusal) as refusal:
        read_when(word, context())
    assert word[1:] in refusal.value.error.found


@pytest.mark.parametrize(
    "word", ["@25:00", "@14:60", "@13pm", "@0pm", "@noon", "@-5", "@", "@1:2:3"]
)
def test_no_time_of_day(word: str) -> None:
    with pytest.raises(Refusal):
        read_when(word, context())


@pytest.mark.parametrize("word", ["-10", "-", "-5.5", "305", "lid", "-x"])
def test_what_is_no_time(word: str) -> None:
    assert not is_time(word)


def test_the_repeated_hour_means_the_later_and_says_so() -> None:
    when = read_when("@1:40am", AUTUMN)
    assert when.at == datetime(2026, 11, 1, 7, 40, tzinfo=UTC)
    assert "came twice" in when.told[0]
    first = read_when("@2026-11-01T01:40:00-05:00", AUTUMN)
    assert first.at == when.at - timedelta(hours=1)


def test_inside_the_repeated_hour_the_second_one_has_not_come() -> None:
    first_pass = context("2026-11-01T01:50:00", "2026-10-31T22:00:00", fold=0)
    when = read_when("@1:40am", first_pass)
    assert when.at == datetime(2026, 11, 1, 6, 40, tzinfo=UTC)
    assert when.told == ()


def test_minutes_ago_cross_the_clock_change_by_the_true_length() -> None:
    assert read_when("-2h", AUTUMN).at == AUTUMN.now.astimezone(UTC) - timedelta(hours=2)


def test_the_skipped_hour_is_refused() -> None:
    with pytest.raises(Refusal) as refusal:
        read_when("@2:30am", SPRING)
    assert "skipped" in refusal.value.error.found
    assert read_when("@3:10am", SPRING).at == datetime(2026, 3, 8, 8, 10, tzinfo=UTC)
