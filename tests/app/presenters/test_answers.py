"""The four answers in words, state by state."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.display import Display, honest_step_s, rounded, span
from app.presenters.answers import AnswersView, Mark, present_answers
from core.answers import Forecast, Holdback, NextLook, Rest, Suspect
from core.cook import Event, EventKind, Milestone, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit, delta_f_to_c, f_to_c
from storage.values import SavedCook
from tests.app.fakes import (
    BERLIN,
    BREAST,
    DISPLAY_C,
    DISPLAY_F,
    PLAN,
    arrival,
    at,
    fire,
    forecast,
    minutes,
    reading_f,
    saved_cook,
)

GLAZE = arrival(Milestone.GLAZE, 110.0, 120.0, 132.0, threshold_c=62.0)
GLAZED = Event(minutes(90), EventKind.GLAZED)
PULLED = Event(minutes(100), EventKind.PULLED)


def shown(
    made: Forecast | None,
    now: float = 100.0,
    saved: SavedCook | None = None,
    display: Display = DISPLAY_C,
    stale: str | None = None,
) -> AnswersView:
    return present_answers(saved or saved_cook(), made, at(now), display, stale_reason=stale)


# done


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


def test_resting_until_carving() -> None:
    rests = [Rest("breast", 76.0, 78.0, 80.0, None)]
    made = forecast(
        arrival(reached=95.0),
        arrival(Milestone.RESTED, 110.0, 112.0, 115.0, threshold_c=None),
        now=102,
        rests=rests,
    )
    saved = saved_cook(events=[PULLED])
    done = shown(made, 102, saved).done
    assert (done.label, done.clock, done.to_go) == ("carve", "14:55", "in 13 min")
    assert done.range == "breast peaks at 76 to 80 °C about 14:52"
    assert done.detail == "pulled 14:40, 15 min rest"
    assert shown(made, 112, saved).done.mark is Mark.SOON
    over = shown(made, 130, saved)
    assert (over.done.to_go, over.done.mark) == ("rested, carve", Mark.NOW)
    assert over.look.range == "it has rested: carve"
    assert over.glaze is None
    assert over.fire.to_go == "the meat is off the fire"


def test_a_look_at_resting_meat_opens_no_lid() -> None:
    made = forecast(look=NextLook(minutes(130), "rested", "breast"), now=102)
    assert shown(made, 102, saved_cook(events=[PULLED])).look.detail == ""
    assert "lid" in shown(made, 102).look.detail


def test_served() -> None:
    view = shown(None, 300, saved_cook(events=[Event(minutes(240), EventKind.SERVED)], ended=240))
    assert (view.done.clock, view.done.to_go) == ("17:00", "served")
    assert view.done.detail == "4 h from meat-on"
    assert view.look.range == "the cook is over"
    assert shown(None, 300, saved_cook(ended=240)).done.to_go == "ended"


def test_without_a_forecast_nothing_is_invented() -> None:
    reading = Reading(minutes(95), 151.0, (("breast", 40.0),))
    view = shown(None, saved=saved_cook(readings=[reading]))
    assert view.done.range == "no forecast yet"
    assert view.glaze is not None
    assert view.glaze.detail == "when breast is at 62 °C"
    assert (view.fire.clock, view.fire.to_go) == ("151 °C", "read 14:35")
    assert {view.done.mark, view.glaze.mark, view.fire.mark, view.look.mark} == {Mark.UNKNOWN}


# glaze and wrap


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


# fire


def test_fire_in_its_band() -> None:
    view = shown(forecast()).fire
    assert (view.clock, view.to_go, view.range) == ("150 °C", "steady", "band 140 to 165 °C")
    assert (view.detail, view.mark) == ("9 in 10 inside the band", Mark.FINE)


def test_fire_that_falls_says_when_it_matters() -> None:
    outlook = fire(f_to_c(305.0), slope_c_per_s=-delta_f_to_c(7.0) / 1200.0, leaves=120.0)
    view = shown(forecast(outlook=outlook), display=DISPLAY_F).fire
    assert view.to_go == "falling 7 °F in 20 min"
    assert view.detail == "below 284 °F by 15:00 if nothing is done"
    assert view.mark is Mark.SOON
    later = replace(outlook, leaves_band_s=minutes(200))
    assert shown(forecast(outlook=later)).fire.mark is Mark.FINE


def test_fire_outside_its_band() -> None:
    low = shown(forecast(outlook=fire(130.0, chance=0.1))).fire
    assert (low.detail, low.mark) == ("below 140 °C", Mark.NOW)
    high = shown(forecast(outlook=fire(180.0, chance=0.1))).fire
    assert (high.detail, high.mark) == ("above 165 °C", Mark.NOW)


def test_a_lid_that_was_just_open_is_no_alarm() -> None:
    saved = saved_cook(events=[Event(minutes(96), EventKind.LID_OPEN)])
    view = shown(forecast(outlook=fire(130.0, chance=0.1)), saved=saved).fire
    assert view.detail == "the lid was open at 14:36; it comes back"
    assert view.mark is Mark.FINE


def test_an_old_pit_value_is_stale_and_none_is_unknown() -> None:
    old = shown(forecast(outlook=fire(last_pit=20.0, spread_c=12.0))).fire
    assert old.to_go == "last read 13:20, 1 h 20 min ago"
    assert old.range == "138 to 162 °C by now, band 140 to 165 °C"
    assert old.mark is Mark.STALE
    none = shown(forecast(outlook=fire(last_pit=None))).fire
    assert (none.clock, none.to_go, none.mark) == ("--", "no pit reading yet", Mark.UNKNOWN)


# next look


@pytest.mark.parametrize(
    ("minute", "clock", "to_go", "mark"),
    [
        (131.9, "15:11", "in 31 min", Mark.FINE),
        (104.5, "14:44", "in 4 min", Mark.SOON),
        (100.4, "14:40", "now", Mark.NOW),
        (95.0, "14:35", "now", Mark.NOW),
        (80.0, "14:20", "now, 20 min late", Mark.LATE),
    ],
)
def test_next_look_is_never_rounded_up(minute: float, clock: str, to_go: str, mark: Mark) -> None:
    look = shown(forecast(look=NextLook(minutes(minute), "glaze", "breast"))).look
    assert (look.clock, look.to_go, look.mark) == (clock, to_go, mark)
    assert look.range == "breast may then be at 62 °C (glaze)"


@pytest.mark.parametrize(
    ("look", "words"),
    [
        (NextLook(minutes(150), "fire"), "the fire wants watching"),
        (NextLook(minutes(150), "first"), "no reading yet"),
        (NextLook(minutes(150), "rested", "breast"), "it may be at its peak"),
        (NextLook(minutes(150), "target", "breast"), "breast may then be at 74 °C (target)"),
        (NextLook(minutes(150), "wrap", "breast"), "wrap may come up"),
        (None, "nothing to wait for"),
    ],
)
def test_next_look_says_why(look: NextLook | None, words: str) -> None:
    assert shown(forecast(look=look)).look.range == words


# story, staleness, cautions


def test_the_story_names_what_is_not_believed_and_what_holds_it_back() -> None:
    suspect = Suspect(minutes(80), "breast", f_to_c(32.0), f_to_c(131.2))
    holdback = Holdback("breast", 1320.0, -700.0, 100.0)
    made = forecast(suspects=[suspect], holdbacks=[holdback])
    assert shown(made, display=DISPLAY_F).story == (
        "Not believed: breast 32 °F at 14:20, expected about 131 °F. "
        "Later than usual: a fire below plan (20 min); sooner than usual: a short stall "
        "(10 min)."
    )
    far = forecast(holdbacks=[Holdback("breast", 47000.0, 0.0, 0.0)])
    assert shown(far).story == "Later than usual: a fire below plan (over 3 h)."
    assert shown(forecast()).story == ""


def test_a_stale_forecast_is_marked_everywhere_with_its_reason() -> None:
    view = shown(forecast(arrival(), GLAZE, now=90), stale="the fit failed")
    assert view.story == "Old forecast from 14:30: the fit failed."
    assert view.glaze is not None
    assert {view.done.mark, view.glaze.mark, view.fire.mark} == {Mark.STALE}
    assert shown(None, stale="the fit failed").done.mark is Mark.UNKNOWN


@pytest.mark.parametrize(
    ("cut", "target_c", "below"),
    [
        # FSIS Safe Minimum Internal Temperature Chart, updated 2025-04-14
        ("duck", 74.0, False),
        ("duck", f_to_c(165.0), False),
        ("duck", f_to_c(164.0), True),
        ("beef_rib_roast", f_to_c(145.0), False),
        ("beef_rib_roast", 57.0, True),
        ("salmon_side", f_to_c(145.0), False),
        ("salmon_side", 52.0, True),
        ("ham", 62.8, False),
    ],
)
def test_a_target_below_the_published_minimum_keeps_its_caution(
    cut: str, target_c: float, below: bool
) -> None:
    saved = saved_cook(plan=Plan(cut, 2.0, 150.0), probes=(Probe("middle", target_c),))
    cautions = shown(None, saved=saved).cautions
    assert any("Below the published minimum" in text for text in cautions) is below


def test_the_caution_names_value_food_and_source() -> None:
    saved = saved_cook(plan=Plan("beef_rib_roast", 3.0, 150.0), probes=(Probe("eye", 54.4),))
    caution = shown(None, saved=saved, display=DISPLAY_F).cautions[0]
    assert caution == (
        "Below the published minimum: eye target 129.9 °F, published 145 °F and 3 min rest for "
        "beef, pork, veal and lamb steaks, chops, roasts (FSIS Safe Minimum Internal Temperature "
        "Chart, updated 2025-04-14)."
    )


def test_meat_that_was_pulled_below_the_minimum_keeps_a_caution() -> None:
    """165 °F for all poultry: FSIS Safe Minimum Internal Temperature Chart, 2025-04-14."""
    low = saved_cook(readings=[reading_f(95, 300, breast=150)], events=[PULLED])
    caution = shown(None, saved=low, display=DISPLAY_F).cautions[0]
    assert caution.startswith("Below the published minimum: breast was read 150 °F at most")
    assert "165 °F" in caution
    still_on = saved_cook(readings=[reading_f(95, 300, breast=150)])
    assert "at most" not in " ".join(shown(None, saved=still_on).cautions)
    slip = [reading_f(90, 300, breast=305), reading_f(95, 300, breast=150)]
    doubt = Suspect(minutes(90), "breast", f_to_c(305.0), f_to_c(149.0))
    slipped = saved_cook(readings=slip, events=[PULLED])
    view = shown(forecast(suspects=[doubt]), saved=slipped)
    assert "at most" in view.cautions[0]
    risen = [reading_f(95, 300, breast=150), reading_f(110, breast=166)]
    assert "at most" not in " ".join(
        shown(None, saved=saved_cook(readings=risen, events=[PULLED])).cautions
    )


def test_standing_cautions_and_no_verdict() -> None:
    text = " ".join(shown(forecast()).cautions)
    for needed in ("several spots", "local codes", "carbon monoxide", "raw poultry", "40 °F"):
        assert needed in text
    assert " safe " not in f" {text.lower()} "


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


@pytest.mark.parametrize(
    ("pit_f", "meat_f", "cost"), [(300.0, 60.0, 1), (300.0, 150.0, 2), (250.0, 200.0, 4)]
)
def test_a_look_costs_more_the_nearer_the_meat_is_to_the_pit(
    pit_f: float, meat_f: float, cost: int
) -> None:
    # By hand from the fire model's dip: 0.15 x 480 s = 72 s, times (pit - air) / (pit - meat).
    saved = saved_cook(readings=[reading_f(98, pit_f, breast=meat_f)])
    found = forecast(look=NextLook(minutes(130), "target", "breast"))
    look = present_answers(saved, found, at(100), DISPLAY_C).look
    assert look.detail == f"each look, lid up, costs about {cost} min"
