"""The answers once the meat is off the fire: rest, hold, serving, leftovers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from app.presenters.answers import Mark
from core.answers import Fan, Rest
from core.cook import Event, EventKind, Milestone, Reading
from storage.values import SavedCook
from tests.app.fakes import (
    PLAN,
    PULLED,
    arrival,
    forecast,
    minutes,
    saved_cook,
    shown,
)


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
    over = shown(made, 120, saved)
    assert (over.done.to_go, over.done.mark) == ("rested, carve", Mark.NOW)
    assert over.look.range == "it has rested: carve"
    assert over.glaze is None
    assert (over.fire.label, over.fire.clock) == ("meat", "--")
    assert over.fire.to_go == "off the fire, not read since the pull"


def cooling(now: float, temps: tuple[tuple[float, float], ...]) -> Fan:
    """A fan of the breast through (minute, °C), 2 K to each side at 10 and 90 %."""
    times = np.array([minutes(at_min) for at_min, _ in temps])
    middle = np.array([temp_c for _, temp_c in temps])
    offsets = np.array([-2.6, -2.0, -1.0, 0.0, 1.0, 2.0, 2.6])[:, None]
    return Fan("breast", times, middle + offsets)


HOT = cooling(100, ((0, 5.0), (100, 74.0), (120, 76.0), (240, 52.0)))
REST = [Event(minutes(100), EventKind.PULLED)]
READ_AT_PULL = Reading(minutes(99), None, (("breast", 74.0),))
READ_HOT = Reading(minutes(130), None, (("breast", 74.0),))
READ_COOL = Reading(minutes(200), None, (("breast", 54.0),))


def test_while_it_rests_the_fire_gives_way_to_the_meat() -> None:
    saved = saved_cook(readings=[READ_AT_PULL], events=REST)
    meat = shown(forecast(fans=[HOT], now=110), 110, saved).fire
    assert (meat.label, meat.clock, meat.mark) == ("meat", "75 °C", Mark.FINE)
    # 76 °C at minute 120, falling 0.2 K a minute: 60 °C at minute 200, and 2 K either side
    assert meat.range == "above 60 °C until about 16:20 (16:10 to 16:30)"
    assert shown(forecast(fans=[HOT], now=115), 115, saved).fire.mark is Mark.FINE
    # held and nearly at 60 °C it calls; while it rests it may cool as it likes
    assert shown(forecast(fans=[HOT], now=185), 185, saved).fire.mark is Mark.SOON
    long_rest = saved_cook(plan=replace(PLAN, rest_s=7200.0), readings=[READ_AT_PULL], events=REST)
    assert shown(forecast(fans=[HOT], now=185), 185, long_rest).fire.mark is Mark.FINE


def test_held_it_counts_the_hot_time_and_waits_for_the_meal() -> None:
    saved = saved_cook(readings=[READ_AT_PULL, READ_HOT], events=REST)
    view = shown(forecast(fans=[HOT], now=140), 140, saved)
    assert (view.done.label, view.done.clock, view.done.to_go) == (
        "serve", "17:30", "meal in 2 h 10 min",
    )  # fmt: skip
    assert view.done.range == "read above 60 °C for 30 min since the pull"
    assert view.fire.to_go == "read 74 °C at 15:10"
    assert (view.look.clock, view.look.range) == ("16:10", "it may then be below 60 °C")
    no_meal = saved_cook(
        plan=replace(PLAN, serve_s=None), readings=[READ_AT_PULL, READ_HOT], events=REST
    )
    over = shown(forecast(fans=[HOT], now=140), 140, no_meal).done
    assert (over.clock, over.to_go, over.mark) == ("14:55", "rested 25 min ago", Mark.NOW)


def test_below_140_f_the_two_hours_run() -> None:
    # a straight line from 74 °C at minute 130 to 54 °C at 200 passes 60 °C at minute 179
    saved = saved_cook(readings=[READ_AT_PULL, READ_HOT, READ_COOL], events=REST)
    meat = shown(forecast(fans=[HOT], now=201), 201, saved).fire
    assert meat.range == "below 60 °C since 15:59"
    assert meat.detail.startswith("eat or chill by 17:59; an hour sooner where it is warmer than")
    assert meat.mark is Mark.FINE
    assert shown(forecast(now=275), 275, saved).fire.mark is Mark.SOON
    assert shown(forecast(now=301), 301, saved).fire.mark is Mark.LATE


def served_cook(*more: Event, readings: tuple[Reading, ...] = ()) -> SavedCook:
    """Served four hours after meat-on."""
    events = [*REST, Event(minutes(240), EventKind.SERVED), *more]
    return saved_cook(readings=readings, events=events, ended=240)


def test_served_the_leftovers_are_counted_down() -> None:
    view = shown(None, 300, served_cook())
    assert (view.done.clock, view.done.to_go) == ("17:00", "served")
    assert view.done.detail == "4 h from meat-on"
    look = view.look
    assert (look.label, look.clock, look.to_go) == ("leftovers", "19:00", "in 1 h")
    assert look.range == "in the refrigerator, two hours from serving"
    assert look.detail == "by 18:00 where it is warmer than 32 °C; then type: away"
    marks = [shown(None, minute, served_cook()).look.mark for minute in (300, 331, 351, 361)]
    assert marks == [Mark.FINE, Mark.SOON, Mark.NOW, Mark.LATE]
    over = shown(None, 375, served_cook()).look
    assert over.to_go == "15 min over"
    assert "throw away what stood out" in over.range
    assert shown(None, 700, served_cook()).look.range == "the cook is over"
    assert "carbon monoxide" in view.fire.detail
    old = shown(None, 240 + 25 * 60, served_cook())
    assert (old.fire.to_go, old.look.range) == ("out long since", "the cook is over")


def test_leftovers_count_from_when_it_was_below_140_f_and_end_when_put_away() -> None:
    cool = served_cook(readings=(READ_AT_PULL, READ_HOT, READ_COOL))
    look = shown(None, 250, cool).look
    assert look.clock == "17:59"
    assert look.range.endswith("two hours from 15:59, when it was below 60 °C")
    away = served_cook(Event(minutes(290), EventKind.NOTE, "leftovers away"))
    look = shown(None, 300, away).look
    assert (look.label, look.to_go, look.mark) == ("leftovers", "put away 17:50", Mark.FINE)


def test_a_cook_that_ended_unserved_has_no_leftovers() -> None:
    view = shown(None, 300, saved_cook(ended=240))
    assert view.done.to_go == "ended"
    assert view.look.range == "the cook is over"


# spots


def spot_line(minute: float, note: str) -> Event:
    """A check of spots."""
    return Event(minutes(minute), EventKind.SPOT_CHECK, note)


AT = forecast(arrival(reached=95.0))


def test_done_is_said_of_three_spots_and_of_no_fewer() -> None:
    three = saved_cook(events=[spot_line(98, "thigh 77 °C, breast 74 °C, wing 79.5 °C")])
    done = shown(AT, saved=three).done
    assert (done.clock, done.to_go, done.mark) == (
        "14:38", "lowest of 3 spots at target", Mark.NOW,
    )  # fmt: skip
    assert done.range == "lowest breast 74 °C, spread 6 °C, checked 14:38"
    assert done.detail == "pull and type: pull"
    one = shown(AT, saved=saved_cook(events=[spot_line(98, "thigh 77 °C")])).done
    assert one.to_go == "1 spot at target, 2 more to check"
    assert one.detail == "check 3: innermost thigh and wing, thickest breast (FSIS)"


def test_a_spot_below_target_says_how_far_and_how_long() -> None:
    # rises 2 K in ten minutes: 3 K take 15 min, 2 of which have passed
    rising = cooling(100, ((0, 5.0), (100, 74.0), (200, 94.0)))
    made = forecast(arrival(reached=95.0), fans=[rising])
    low = saved_cook(events=[spot_line(98, "thigh 71 °C, breast 75 °C, wing 73 °C")])
    done = shown(made, saved=low).done
    assert done.to_go == "not yet: thigh 3 °C below target and 1 more"
    assert done.range == "lowest thigh 71 °C, spread 4 °C, checked 14:38"
    assert done.detail == "about 15 min more at this rate, then check again"
    assert done.mark is Mark.SOON
    # an old check that found too little is of then, not of now
    old = saved_cook(events=[spot_line(50, "thigh 60 °C")])
    assert "several spots" in shown(AT, saved=old).done.range


def test_spots_before_the_probe_is_there_stand_beside_the_forecast() -> None:
    low = saved_cook(events=[spot_line(98, "thigh 60 °C, breast 65 °C")])
    done = shown(forecast(), saved=low).done
    assert done.clock == "16:00"
    assert done.detail.startswith("not yet: thigh 14 °C below target and 1 more (14:38); ready")


def test_three_spots_do_not_outvote_a_probe_that_is_far_below() -> None:
    note = spot_line(98, "thigh 77 °C, breast 75 °C, wing 79 °C")
    far = saved_cook(readings=[Reading(minutes(97), None, (("breast", 62.0),))], events=[note])
    done = shown(forecast(), saved=far).done
    assert (done.clock, done.mark) == ("16:00", Mark.FINE)
    assert done.detail.startswith("lowest of 3 spots at target (14:38); the probe is a spot too")
    near = saved_cook(readings=[Reading(minutes(97), None, (("breast", 72.0),))], events=[note])
    assert shown(forecast(), saved=near).done.to_go == "lowest of 3 spots at target"
    # one spot at target says nothing while the probe is on its way
    one = saved_cook(
        readings=[Reading(minutes(97), None, (("breast", 72.0),))],
        events=[spot_line(98, "wing 79 °C")],
    )
    done = shown(forecast(), saved=one).done
    assert done.clock == "16:00"
    assert done.detail.startswith("1 spot at target, 2 more to check (14:38)")


def test_a_spot_below_the_published_minimum_keeps_its_caution_after_the_pull() -> None:
    # FSIS chart, 14 April 2025: all poultry 165 °F
    low = [spot_line(98, "thigh 70 °C, breast 75 °C, wing 76 °C"), *REST]
    readings = [Reading(minutes(99), None, (("breast", 75.0),))]
    cautions = shown(AT, 105, saved_cook(readings=readings, events=low)).cautions
    assert cautions[0].startswith("Below the published minimum: thigh was 70 °C when checked 14:38")
    fine = [*low, spot_line(110, "thigh 74 °C, breast 78 °C, wing 77 °C")]
    cautions = shown(AT, 112, saved_cook(readings=readings, events=fine)).cautions
    assert not any("Below the published minimum" in text for text in cautions)
