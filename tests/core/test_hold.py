"""Heat held after the pull, against the published 140 °F and the hours of leftovers.

Expected values are by hand: straight lines between readings.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.answers import Fan
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.hold import HOT_C, LEFTOVERS_S, LEFTOVERS_WARM_S, hold_of, leftovers_of

MINUTE = 60.0


def cook(*temps: tuple[float, float], pulled: float | None = 100.0, served: float = -1.0) -> Cook:
    """Readings of one probe as (minute, °C)."""
    events = [] if pulled is None else [Event(pulled * MINUTE, EventKind.PULLED)]
    if served >= 0.0:
        events.append(Event(served * MINUTE, EventKind.SERVED))
    readings = tuple(Reading(t * MINUTE, None, (("eye", c),)) for t, c in temps)
    return Cook(Plan("beef_rib_roast", 3.0, 150.0), (Probe("eye", 57.0),), readings, tuple(events))


def test_the_limits_are_the_published_ones() -> None:
    # USDA FSIS: hot food at 140 °F or above; two hours, one above 90 °F.
    assert pytest.approx(60.0) == HOT_C
    assert (LEFTOVERS_S, LEFTOVERS_WARM_S) == (7200.0, 3600.0)


def test_before_the_pull_there_is_nothing_to_hold() -> None:
    assert hold_of(cook((10, 20.0), pulled=None), "eye", 6000.0) is None


def test_time_above_counts_from_the_pull_along_straight_lines() -> None:
    made = cook((90, 66.0), (110, 70.0), (130, 50.0))
    hold = hold_of(made, "eye", 140 * MINUTE)
    assert hold is not None
    # from the pull at 100 to 110, then 70 to 60 °C takes ten of the next twenty minutes
    assert hold.above_s == pytest.approx(20 * MINUTE)
    assert hold.fell_s == pytest.approx(120 * MINUTE)
    assert (hold.last_c, hold.last_s) == (50.0, 130 * MINUTE)
    earlier = hold_of(made, "eye", 115 * MINUTE)
    assert earlier is not None
    assert earlier.fell_s is None


def test_below_it_all_along_counts_from_the_pull_and_a_rise_ends_that() -> None:
    rare = hold_of(cook((95, 55.0), (110, 58.0), (120, 57.0)), "eye", 130 * MINUTE)
    assert rare is not None
    assert (rare.above_s, rare.fell_s) == (0.0, 100 * MINUTE)
    warmed = hold_of(cook((95, 55.0), (110, 58.0), (130, 62.0)), "eye", 140 * MINUTE)
    assert warmed is not None
    assert warmed.fell_s is None
    assert warmed.above_s == pytest.approx(10 * MINUTE)


def test_the_forecast_says_when_it_falls_and_a_rise_is_no_fall() -> None:
    times = np.array([0.0, 100.0, 130.0, 190.0]) * MINUTE
    middle = np.array([5.0, 57.0, 63.0, 51.0])
    offsets = np.array([-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0])[:, None]
    hold = hold_of(cook((99, 57.0)), "eye", 105 * MINUTE, Fan("eye", times, middle + offsets))
    assert hold is not None
    assert hold.now_c == pytest.approx(58.0)
    # 63 °C at minute 130 falls 0.2 K a minute
    assert hold.below_s == pytest.approx(145 * MINUTE)
    assert hold.below_low_s == pytest.approx(135 * MINUTE)
    assert hold.below_high_s == pytest.approx(155 * MINUTE)


def test_leftovers_count_from_serving_or_from_the_fall_below() -> None:
    assert leftovers_of(cook((99, 70.0))) is None
    hot = leftovers_of(cook((99, 70.0), (110, 68.0), served=120.0))
    assert hot is not None
    assert (hot.since_s, hot.by_s, hot.warm_by_s) == (7200.0, 14400.0, 10800.0)
    cool = leftovers_of(cook((100, 70.0), (120, 50.0), served=150.0))
    assert cool is not None
    assert cool.since_s == pytest.approx(110 * MINUTE)
