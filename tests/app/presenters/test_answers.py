"""The answers in words while the meat is on, state by state."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.display import Display, honest_step_s, rounded, span
from app.presenters.answers import Mark, present_answers
from core.cook import Milestone, Probe, Reading
from core.units import MassUnit, TemperatureUnit, delta_f_to_c, f_to_c
from tests.app.fakes import (
    BERLIN,
    BREAST,
    DISPLAY_C,
    DISPLAY_F,
    GLAZE,
    GLAZED,
    PLAN,
    arrival,
    forecast,
    minutes,
    saved_cook,
    shown,
)


def test_done_names_clock_time_to_go_and_range() -> None:
    done = shown(forecast(arrival(low=158, middle=181, high=214))).done
    assert (done.label, done.clock, done.to_go) == ("done", "16:00", "in 1 h 20 min")
    assert done.range == "15:40 to 16:35 in 8 of 10 cooks like this"
    assert done.detail == "ready for the 17:30 meal after 15 min rest: better than 19 in 20"
    assert done.mark is Mark.FINE


@pytest.mark.parametrize(
    ("low", "middle", "high", "clock"),
    [
        (180, 187, 194, "16:07"),
        (160, 187, 214, "16:05"),
        (120, 187, 260, "16:10"),
        (100, 187, 330, "16:00"),
        (100, 197, 600, "16:30"),
    ],
)
def test_a_clock_time_is_no_finer_than_it_is_known(
    low: float, middle: float, high: float, clock: str
) -> None:
    assert shown(forecast(arrival(low=low, middle=middle, high=high))).done.clock == clock


def test_past_midnight_the_day_is_named_once() -> None:
    done = shown(forecast(arrival(low=700, middle=760, high=800))).done
    assert done.clock == "Sun 01:40"
    assert done.range.startswith("Sun 00:40 to 02:20")
    done = shown(forecast(arrival(low=600, middle=640, high=690))).done
    assert done.range.startswith("23:00 to Sun 00:30")


def test_the_meal_at_risk_is_late() -> None:
    done = shown(forecast(arrival(low=230, middle=262, high=300))).done
    assert done.mark is Mark.LATE
    assert done.detail.endswith("4 in 10")


def test_without_a_meal_no_chance_is_named() -> None:
    saved = saved_cook(plan=replace(PLAN, serve_s=None))
    assert shown(forecast(), saved=saved).done.detail == ""


def test_never_is_said_with_its_chance() -> None:
    done = shown(forecast(arrival(never=0.2))).done
    assert "2 in 10 never get there at this fire" in done.range
    assert "or later" in done.range
    done = shown(forecast(arrival(never=0.7))).done
    assert (done.clock, done.to_go, done.mark) == ("--:--", "not at this fire", Mark.LATE)
    assert "7 in 10 never get there" in done.range
    done = shown(forecast(arrival(never=1.0))).done
    assert done.range == "better than 19 in 20 never get there"


def test_near_now_and_overdue() -> None:
    made = forecast(arrival(low=105, middle=110, high=118))
    assert shown(made, 100).done.mark is Mark.SOON
    assert shown(made, 108).done.range == "14:48 to 14:58 in 8 of 10 cooks like this"
    due = shown(made, 111).done
    assert (due.to_go, due.mark) == ("about now", Mark.NOW)
    # the range stays around the middle, though part of it has gone by
    assert due.range == "14:45 to 14:58 in 8 of 10 cooks like this"
    late = shown(made, 125).done
    assert late.to_go == "probably passed 15 min ago"
    assert late.range == "no reading since: it is not known"
    assert late.mark is Mark.LATE


def test_at_target() -> None:
    done = shown(forecast(arrival(reached=95.0))).done
    assert (done.clock, done.to_go) == ("14:35", "at target, reached 5 min ago")
    assert "several spots" in done.range
    assert done.mark is Mark.NOW


def test_several_probes_wait_for_the_last() -> None:
    probes = (BREAST, Probe("thigh", 80.0))
    made = forecast(
        arrival(reached=95.0), arrival(low=115, middle=130, high=150, probe="thigh", never=0.0)
    )
    done = shown(made, saved=saved_cook(probes=probes)).done
    assert done.clock == "15:10"
    assert "thigh is last" in done.detail
    made = forecast(arrival(reached=95.0), arrival(reached=98.0, probe="thigh"))
    assert shown(made, saved=saved_cook(probes=probes)).done.to_go.startswith("all at target")


def test_without_a_forecast_nothing_is_invented() -> None:
    reading = Reading(minutes(95), 151.0, (("breast", 40.0),))
    view = shown(None, saved=saved_cook(readings=[reading]))
    assert view.done.range == "no forecast yet"
    assert view.glaze is not None
    assert view.glaze.detail == "when breast is at 62 °C"
    assert (view.fire.clock, view.fire.to_go) == ("151 °C", "read 14:35")
    assert {view.done.mark, view.glaze.mark, view.fire.mark, view.look.mark} == {Mark.UNKNOWN}


def test_the_next_of_glaze_and_wrap_is_shown() -> None:
    probes = (replace(BREAST, wrap_c=68.0),)
    wrap = arrival(Milestone.WRAP, 140.0, 150.0, 165.0, threshold_c=68.0)
    view = shown(forecast(arrival(), GLAZE, wrap), saved=saved_cook(probes=probes))
    assert view.glaze is not None
    assert (view.glaze.label, view.glaze.clock) == ("glaze", "15:00")
    assert view.glaze.detail == "when breast is at 62 °C"
    glazed = saved_cook(probes=probes, events=[GLAZED])
    view = shown(forecast(arrival(), GLAZE, wrap), saved=glazed)
    assert view.glaze is not None
    assert (view.glaze.label, view.glaze.clock) == ("wrap", "15:30")


def test_a_glaze_that_is_due_says_so_until_it_is_logged() -> None:
    reached = arrival(Milestone.GLAZE, reached=97.0, threshold_c=62.0)
    glaze = shown(forecast(arrival(), reached)).glaze
    assert glaze is not None
    assert (glaze.to_go, glaze.range, glaze.mark) == ("glaze now", "reached 3 min ago", Mark.NOW)
    assert shown(forecast(arrival(), reached), saved=saved_cook(events=[GLAZED])).glaze is None


def test_a_plan_without_glaze_or_wrap_has_none() -> None:
    saved = saved_cook(probes=(Probe("leg", 63.0),))
    assert shown(forecast(arrival(probe="leg")), saved=saved).glaze is None


# laws

TIMES = st.floats(0.0, 1500.0)


@given(st.tuples(TIMES, TIMES, TIMES).map(sorted), TIMES, st.floats(0.0, 1.0), st.booleans())
@settings(max_examples=200, deadline=None)
def test_any_forecast_can_be_worded(
    times: list[float], now: float, never: float, in_f: bool
) -> None:
    low, middle, high = times
    made = forecast(arrival(low=low, middle=middle, high=high, never=never), GLAZE, now=now)
    view = shown(made, now, display=DISPLAY_F if in_f else DISPLAY_C)
    for answer in (view.done, view.glaze, view.fire, view.look):
        assert answer is not None
        assert "nan" not in f"{answer.clock}{answer.to_go}{answer.range}{answer.detail}"
        assert "inf" not in f"{answer.clock}{answer.to_go}{answer.range}"


@given(st.floats(1.0, 1e5), st.datetimes(datetime(2025, 1, 1), datetime(2027, 1, 1)))  # noqa: DTZ001
@settings(max_examples=200, deadline=None)
def test_rounding_is_by_at_most_half_a_step(width_s: float, naive: datetime) -> None:
    when = naive.replace(tzinfo=UTC)
    step_s = honest_step_s(width_s)
    near = rounded(when, step_s, BERLIN)
    assert abs((near - when).total_seconds()) <= step_s / 2.0 + 1e-3
    assert near.astimezone(BERLIN).minute % (step_s / 60.0) == 0
    down = rounded(when, 60.0, BERLIN, down=True)
    assert timedelta(0) <= when - down < timedelta(minutes=1)


def test_clock_changes_do_not_shift_the_time_to_go() -> None:
    # The clock goes back from 03:00 to 02:00 in Berlin on 2026-10-25 (tz database, EU rules).
    start = datetime.fromisoformat("2026-10-24T22:00:00+02:00")
    saved = replace(saved_cook(plan=replace(PLAN, serve_s=None)), started_at=start)
    now = (start + timedelta(hours=4)).astimezone(ZoneInfo("Europe/Berlin"))
    made = forecast(arrival(low=410, middle=420, high=430), now=240)
    done = present_answers(saved, made, now, DISPLAY_C).done
    assert (done.clock, done.to_go) == ("04:00", "in 3 h")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(20, "under a minute"), (60, "1 min"), (3600, "1 h"), (5100, "1 h 25 min"),
     (-300, "5 min"), (3599, "1 h"), (200000, "2 d 8 h")],
)  # fmt: skip
def test_spans(seconds: float, words: str) -> None:
    assert span(seconds) == words


def test_display_of_values() -> None:
    assert DISPLAY_F.reading(f_to_c(128.0)) == "128 °F"
    assert DISPLAY_C.reading(53.5) == "53.5 °C"
    assert DISPLAY_C.temp(-0.2) == "0 °C"
    assert DISPLAY_F.delta(delta_f_to_c(-7.0)) == "7 °F"
    assert Display(TemperatureUnit.CELSIUS, MassUnit.POUND, BERLIN).mass(2.26796185) == "5 lb"
    assert DISPLAY_C.mass(2.3) == "2.3 kg"
