"""The fire in words."""

from __future__ import annotations

from dataclasses import replace

from app.presenters.answers import Mark
from core.cook import Event, EventKind, Reading
from core.units import delta_f_to_c, f_to_c
from tests.app.fakes import (
    DISPLAY_F,
    PLAN,
    fire,
    forecast,
    minutes,
    saved_cook,
    shown,
)


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


def test_a_fire_that_is_plainly_inside_says_for_how_much_of_the_time() -> None:
    # band 140 to 165 °C: an hour at 150, then down to 130 in half an hour, half of that below
    plan = replace(PLAN, pit_low_c=140.0, pit_high_c=165.0)
    temps = ((0, 150.0), (60, 150.0), (90, 130.0))
    readings = [Reading(minutes(m), pit, ()) for m, pit in temps]
    saved = saved_cook(plan=plan, readings=readings)
    assert shown(forecast(), saved=saved).fire.detail == "inside it 83 % of the time"
    unsure = forecast(outlook=fire(142.0, chance=0.6))
    assert shown(unsure, saved=saved).fire.detail == "6 in 10 inside the band"
