"""Odd clocks in mid-cook: midnight, both clock changes, a clock that is set, sleep, a journey.

Instants are what counts: whatever the wall clock does, lines stay in the order of the instants that
they speak of, and spans between them are those that really passed.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from app.desk import Accepted, Desk, Refused
from app.display import Display
from app.presenters.answers import present_answers
from app.presenters.chart import Window, present_chart
from app.presenters.tend import present_lines
from core.cook import Plan, Probe
from core.units import MassUnit, TemperatureUnit
from storage.store import Store, open_store
from storage.values import NewCook, SavedCook
from tests.app.cli.runs import Terminal
from tests.journeys.acting import settle, tend
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage, plain_forecast

BERLIN, CHICAGO, ADELAIDE = (
    ZoneInfo(name) for name in ("Europe/Berlin", "America/Chicago", "Australia/Adelaide")
)
STEP = timedelta(minutes=10)


class Kitchen:
    """A store, a clock that the test turns, a zone, and a desk."""

    def __init__(self, path: Path, start: datetime, zone: tzinfo) -> None:
        self.now, self.zone = start.astimezone(UTC), zone
        self.store: Store = open_store(path, now=self.now)
        # meat-on as a person gives it: by the local clock, with its offset of that moment
        local = start.astimezone(zone)
        self.cook_id = self.store.create_cook(
            NewCook(
                "Shoulder through the night (invented)", local, TemperatureUnit.CELSIUS,
                MassUnit.KILOGRAM, Plan("pork_shoulder", 3.5, 120.0, serve_s=16 * 3600.0),
                (Probe("shoulder", 95.0, 5.0),),
            )
        )  # fmt: skip

    def say(self, text: str) -> Accepted | Refused:
        """A line, odd or not."""
        desk = Desk(self.store, lambda: self.now, zone=self.zone, cook_id=self.cook_id)
        outcome = desk.accept(text, confirmed=True)
        assert isinstance(outcome, (Accepted, Refused))
        return outcome

    def saved(self) -> SavedCook:
        """The cook as the file holds it."""
        return self.store.cook(self.cook_id)

    def look(self) -> str:
        """Paint everything once; returns the words of the answers and of the log."""
        saved = self.saved()
        display = Display(saved.unit, saved.mass_unit, self.zone)
        forecast = plain_forecast(saved.cook, (self.now - saved.started_at).total_seconds())
        for window in Window:
            present_chart(saved, forecast, self.now, display, window=window)
        view = present_answers(saved, forecast, self.now, display)
        return f"{view}{present_lines(saved, self.now, display)}"


@pytest.fixture
def kitchen(tmp_path: Path) -> Callable[[str, tzinfo], Kitchen]:
    """Kitchens whose meat went on at a local time."""
    opened: list[Kitchen] = []

    def make(start: str, zone: tzinfo) -> Kitchen:
        local = datetime.fromisoformat(start).replace(tzinfo=zone)
        opened.append(Kitchen(tmp_path / f"{len(opened)}.sqlite3", local, zone))
        return opened[-1]

    yield make  # type: ignore[misc]
    for one in opened:
        one.store.close()


NIGHTS = {
    # Zones and dates from the tz database (https://www.iana.org/time-zones)
    "midnight": ("2026-10-10T21:00", CHICAGO),
    "an hour twice": ("2026-10-31T22:00", CHICAGO),
    "an hour twice, in Europe": ("2026-10-24T22:00", BERLIN),
    "an hour skipped": ("2026-03-07T22:00", CHICAGO),
    "an hour skipped, in Europe": ("2026-03-28T22:00", BERLIN),
    "half a zone": ("2026-04-04T22:00", ADELAIDE),
    "a leap day": ("2028-02-28T20:00", CHICAGO),
    "the turn of the year": ("2026-12-31T20:00", BERLIN),
}


@pytest.mark.parametrize("night", NIGHTS)
def test_readings_through_the_night_stay_in_order_with_their_true_spans(
    kitchen: Callable[[str, tzinfo], Kitchen], night: str
) -> None:
    here = kitchen(*NIGHTS[night])
    for number in range(48):
        here.now += STEP
        assert isinstance(here.say(f"120 {10 + number}"), Accepted)
        here.look()
    readings = here.saved().cook.readings
    assert [reading.of("shoulder") for reading in readings] == [10.0 + n for n in range(48)]
    assert [reading.elapsed_s for reading in readings] == [600.0 * (n + 1) for n in range(48)]
    exported = here.store.export_document(here.cook_id)
    assert exported.readings == readings


@pytest.mark.parametrize("night", ["an hour twice", "an hour twice, in Europe"])
def test_a_time_that_came_twice_is_the_later_one_and_that_is_told(
    kitchen: Callable[[str, tzinfo], Kitchen], night: str
) -> None:
    here = kitchen(*NIGHTS[night])
    start = here.now
    first = 3.5 if night == "an hour twice" else 4.5  # 1:30 or 2:30, the first time
    here.now = start + timedelta(hours=first, minutes=20)
    typed = "@1:30" if night == "an hour twice" else "@2:30"
    assert isinstance(here.say(f"120 40 {typed}"), Accepted)
    assert here.saved().lines[-1].at == start + timedelta(hours=first)
    here.now = start + timedelta(hours=first + 1.4)
    outcome = here.say(f"120 44 {typed}")
    assert isinstance(outcome, Accepted) and "came twice, the later is taken" in outcome.message
    assert here.saved().lines[-1].at == start + timedelta(hours=first + 1)
    elapsed = [reading.elapsed_s / 3600.0 for reading in here.saved().cook.readings]
    assert elapsed == [first, first + 1]


def test_a_time_that_never_was_is_refused(kitchen: Callable[[str, tzinfo], Kitchen]) -> None:
    here = kitchen(*NIGHTS["an hour skipped"])
    here.now += timedelta(hours=6)
    outcome = here.say("120 40 @2:30am")
    assert isinstance(outcome, Refused) and "skipped when the clock changed" in outcome.reason
    assert here.saved().lines == ()


def test_a_leap_day_is_a_day_and_its_neighbour_is_not(
    kitchen: Callable[[str, tzinfo], Kitchen],
) -> None:
    here = kitchen("2028-02-28T20:00", CHICAGO)
    here.now += timedelta(hours=10)
    assert isinstance(here.say("120 40 @2028-02-29T02:10"), Accepted)
    assert here.saved().cook.readings[0].elapsed_s == 6 * 3600.0 + 600.0
    there = kitchen("2027-02-28T20:00", CHICAGO)
    there.now += timedelta(hours=10)
    outcome = there.say("120 40 @2027-02-29T02:10")
    assert isinstance(outcome, Refused)


@pytest.mark.parametrize("typed", ["@18:05", "@11:59pm", "@2026-10-11T09:00", "@2036-10-11T09:00"])
def test_what_has_not_come_yet_is_refused(
    kitchen: Callable[[str, tzinfo], Kitchen], typed: str
) -> None:
    here = kitchen("2026-10-10T13:00", CHICAGO)
    here.now += timedelta(hours=4)
    outcome = here.say(f"120 40 {typed}")
    assert isinstance(outcome, Refused) and "Nothing was saved" in outcome.reason
    assert here.saved().lines == ()


def test_a_clock_set_back_is_asked_about_and_told_until_it_is_mended(tmp_path: Path) -> None:
    user = Terminal(tmp_path / "cooks.sqlite3")
    user.ok("start", "duck", "--weight", "2.3kg", "--probe", "breast", "--unit", "F")
    for number in range(5):
        user.after(15).ok("say", "--yes", f"300 {42 + 12 * number}")
    user.after(-60)
    asked = user.run("say", "303 95")
    assert (
        asked.code == 2 and "earlier than the line of 14:20; was the clock set back?" in asked.err
    )
    told = user.ok("status").out
    assert "The clock shows 13:20, 1 h before the newest line (14:20); was it set back?" in told
    assert "1 h ahead of the clock" in told
    user.after(61)
    assert "set back" not in user.ok("status").out


def test_a_clock_put_forward_by_a_day_and_set_right_again(tmp_path: Path) -> None:
    user = Terminal(tmp_path / "cooks.sqlite3")
    user.ok("start", "duck", "--weight", "2.3kg", "--probe", "breast", "--unit", "F")
    user.after(15).ok("say", "--yes", "300 42")
    user.after(24 * 60)
    asked = user.run("say", "302 55")
    assert asked.code == 2 and "the last line is 24 h old" in asked.err.lower()
    user.ok("say", "--yes", "302 55")
    user.after(-24 * 60 + 1)
    told = user.ok("status").out
    assert "was it set back?" in told
    # the wrong line can be put where it belongs
    user.ok("say", "--yes", "fix 302 55 @now")
    assert "was it set back?" not in user.ok("status").out


def test_a_journey_through_zones_changes_clocks_and_nothing_else(
    kitchen: Callable[[str, tzinfo], Kitchen],
) -> None:
    here = kitchen("2026-07-10T10:00", BERLIN)
    here.now += timedelta(hours=1)
    here.say("120 20")
    here.zone = CHICAGO
    here.now += timedelta(hours=1)
    outcome = here.say("121 25")
    assert isinstance(outcome, Accepted) and "at 05:00" in outcome.message
    outcome = here.say("119 23 @4:30")
    assert isinstance(outcome, Accepted)
    assert [r.elapsed_s for r in here.saved().cook.readings] == [3600.0, 5400.0, 7200.0]
    assert here.saved().started_at.utcoffset() == timedelta(hours=2), "as it was given"
    here.look()


async def test_three_hours_of_sleep_are_told_on_the_screen(stage: Stage) -> None:
    cook_id = stage.begin()
    stage.say(cook_id, "302 42")
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        stage.clock.pass_minutes(180)
        tend(pilot).beat()
        await settle(pilot)
        assert "3 h" in text_of(pilot.app) and "Read the thermometers" in text_of(pilot.app)
        forecast = tend(pilot).live.forecast
        assert forecast is not None and forecast.now_s == 180 * 60.0


async def test_the_screen_goes_on_when_the_clock_is_set(stage: Stage) -> None:
    cook_id = stage.begin()
    stage.say(cook_id, "302 42")
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        for minutes in (30, -60, 5, 24 * 60, -24 * 60, 40):
            stage.clock.pass_minutes(minutes)
            tend(pilot).beat()
            await settle(pilot)
            forecast = tend(pilot).live.forecast
            assert tend(pilot).live.failure is None
            assert forecast is not None
            expected = tend(pilot).live.elapsed_s(stage.clock())
            assert forecast.now_s == pytest.approx(expected, abs=60.0), "a forecast of another time"


@pytest.mark.parametrize("seed", range(6))
def test_any_clock_at_all(kitchen: Callable[[str, tzinfo], Kitchen], seed: int) -> None:
    """Jumps to and fro, zones, lines for now and for earlier: order, spans and painting hold."""
    dice = random.Random(seed)
    here = kitchen("2026-10-31T20:00", dice.choice([CHICAGO, BERLIN, ADELAIDE]))
    accepted = 0
    for number in range(40):
        here.now += timedelta(
            minutes=dice.choice([1, 7, 15, 30, 60, 180]) if dice.random() < 0.8
            else dice.choice([-60, -59, -1440, 1440, -7])
        )  # fmt: skip
        if dice.random() < 0.1:
            here.zone = dice.choice([CHICAGO, BERLIN, ADELAIDE, UTC])
        when = dice.choice(["", "", "", " -10m", " -1h20m", f" @{dice.randrange(24)}:30"])
        accepted += isinstance(here.say(f"{110 + number % 9} {20 + number}{when}"), Accepted)
        here.look()
    saved = here.saved()
    assert len(saved.lines) == accepted > 20
    assert [line.at for line in saved.lines] == sorted(line.at for line in saved.lines)
    for line in saved.lines:
        for reading in line.readings:
            passed = (line.at - saved.started_at).total_seconds()
            assert reading.elapsed_s == pytest.approx(passed, abs=1e-6)
    elapsed = [reading.elapsed_s for reading in saved.cook.readings]
    assert elapsed == sorted(elapsed)
