"""The system's zone follows daylight saving on any date."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.localtime import SYSTEM_ZONE, with_offset

BERLIN = ZoneInfo("Europe/Berlin")


@pytest.fixture(scope="module", autouse=True)
def _in_berlin() -> Iterator[None]:
    patch = pytest.MonkeyPatch()
    patch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    patch.undo()
    time.tzset()


@given(st.datetimes(datetime(2000, 1, 1), datetime(2035, 1, 1)))  # noqa: DTZ001
@settings(max_examples=300, deadline=None)
def test_it_agrees_with_the_zone_it_stands_for(naive: datetime) -> None:
    """The tz database through `zoneinfo` is the outside source."""
    when = naive.replace(tzinfo=UTC)
    here, there = when.astimezone(SYSTEM_ZONE), when.astimezone(BERLIN)
    assert here.replace(tzinfo=None) == there.replace(tzinfo=None)
    assert here.fold == there.fold
    assert here.utcoffset() == there.utcoffset()
    assert here.astimezone(UTC) == when


def test_both_passes_of_the_repeated_hour() -> None:
    # The clock goes back from 03:00 to 02:00 in Berlin on 2026-10-25 (tz database, EU rules).
    first = datetime(2026, 10, 25, 0, 30, tzinfo=UTC).astimezone(SYSTEM_ZONE)
    second = datetime(2026, 10, 25, 1, 30, tzinfo=UTC).astimezone(SYSTEM_ZONE)
    assert (first.hour, second.hour) == (2, 2)
    assert (first.fold, second.fold) == (0, 1)
    fixed = with_offset(second, SYSTEM_ZONE) - with_offset(first, SYSTEM_ZONE)
    assert fixed == timedelta(hours=1)
