"""The fire's log: arithmetic on readings and refuels, and the model's time of leaving the band."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.fire import LID_DIP, LID_RECOVERY_S
from core.fire_leaving import leaving
from core.fire_log import (
    amounts,
    band_time,
    burn_rate,
    lid_loss,
    trend,
    vent_effect,
)

PLAN = Plan("pork_shoulder", 3.5, 120.0, 110.0, 130.0)


def _cook(*pit: tuple[float, float], events: tuple[Event, ...] = ()) -> Cook:
    """Pit readings as (minute, °C)."""
    readings = tuple(Reading(60.0 * minute, temp) for minute, temp in pit)
    return Cook(PLAN, (Probe("core", 95.0),), readings, events)


def _event(minute: float, kind: EventKind, note: str = "") -> Event:
    return Event(60.0 * minute, kind, note)


def test_time_in_the_band_by_straight_lines() -> None:
    found = band_time(_cook((0, 120), (40, 140), (60, 120)), 3600.0)
    assert found.above_s == pytest.approx(1200.0 + 600.0)
    assert found.inside_s == pytest.approx(1200.0 + 600.0)
    assert found.below_s == 0.0
    assert found.share == pytest.approx(0.5)
    assert (found.worst_c, found.worst_s) == (140.0, 2400.0)
    assert found.mean_c == pytest.approx(130.0)


def test_long_gaps_are_not_counted() -> None:
    found = band_time(_cook((0, 120), (200, 120), (230, 122)), 15000.0)
    assert found.unread_s == pytest.approx(12000.0)
    assert found.inside_s == pytest.approx(1800.0)
    assert band_time(_cook((0, 120)), 60.0).share is None


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.floats(1, 85), st.floats(85, 155)), min_size=2, max_size=12))
def test_all_time_is_somewhere(gaps: list[tuple[float, float]]) -> None:
    minute, pit = 0.0, []
    for gap, temp in gaps:
        pit.append((minute, temp))
        minute += gap
    found = band_time(_cook(*pit), 60.0 * minute)
    parts = (found.inside_s, found.below_s, found.above_s, found.unread_s)
    assert all(part >= -1e-6 for part in parts)
    used = [t for t, _ in pit]
    assert sum(parts) <= 60.0 * (used[-1] - used[0]) + 1e-6


def test_trend_is_the_line_through_the_last_readings() -> None:
    found = trend(_cook((0, 150), (20, 128), (40, 124), (60, 120)), 3600.0)
    assert found is not None
    assert found.change_c == pytest.approx(-8.0)
    assert found.span_s == pytest.approx(2400.0)
    assert found.slope_c_per_s == pytest.approx(-8.0 / 2400.0)
    assert trend(_cook((0, 120), (60, 121)), 3600.0) is None


def test_effect_of_the_last_vents() -> None:
    cook = _cook(
        (0, 112), (30, 113), (35, 114), (70, 121), (85, 123), (120, 140),
        events=(_event(31, EventKind.VENTS, "half"), _event(90, EventKind.FUEL_ADDED, "lump")),
    )  # fmt: skip
    found = vent_effect(cook, 7200.0)
    assert found is not None
    assert (found.note, found.before_c, found.after_c) == ("half", 113.0, 123.0)
    assert found.change_c == 10.0
    assert vent_effect(cook, 35 * 60.0) is None


def test_lids_cost_time_and_close_ones_are_not_counted_twice() -> None:
    pit = ((0, 120), (30, 120), (60, 120), (90, 120))
    one = lid_loss(_cook(*pit, events=(_event(30, EventKind.LID_OPEN),)), 5400.0)
    lids = (_event(30, EventKind.LID_OPEN), _event(31, EventKind.LID_OPEN))
    close = lid_loss(_cook(*pit, events=lids), 5400.0)
    lids = (_event(10, EventKind.LID_OPEN), _event(80, EventKind.LID_OPEN))
    apart = lid_loss(_cook(*pit, events=lids), 3.0 * 3600.0)
    assert one.openings == 1
    assert one.lost_s == pytest.approx(LID_DIP * LID_RECOVERY_S * 100.0 / 90.0, rel=0.01)
    assert one.lost_s < close.lost_s < 1.3 * one.lost_s
    assert apart.lost_s == pytest.approx(2.0 * one.lost_s, rel=0.01)


def test_amounts_as_typed() -> None:
    events = tuple(
        _event(i, EventKind.FUEL_ADDED, note)
        for i, note in enumerate(("12 briquettes", "1.5 kg lump", "1 briquette", "lump", "2,5 lbs"))
    )
    found = [(a.amount, a.unit) for a in amounts(events, EventKind.FUEL_ADDED)]
    assert found == [(12, "briquettes"), (1.5, "kg"), (1, "briquettes"), (None, ""), (2.5, "lb")]


def test_burn_rate_from_refuels() -> None:
    fuel = tuple(
        _event(minute, EventKind.FUEL_ADDED, f"{count} briquettes")
        for minute, count in ((-30, 60), (60, 15), (120, 12), (180, 9))
    )
    found = burn_rate(_cook((0, 120), events=fuel), 4.0 * 3600.0)
    assert found is not None
    assert (found.unit, found.refuels) == ("briquettes", 4)
    assert found.per_hour == pytest.approx(36.0 / 3.5)
    assert (found.low, found.high) == (pytest.approx(9.0), pytest.approx(12.0))
    assert found.next_s == pytest.approx(180 * 60.0 + 3600.0 * 9.0 / found.per_hour)
    assert burn_rate(_cook((0, 120), events=fuel[:1]), 7200.0) is None
    assert burn_rate(_cook((0, 120), events=fuel), 0.0) is None, "later refuels are not known"


def test_steady_fire_stays_and_a_falling_one_leaves_below() -> None:
    steady = leaving(_cook(*((10.0 * i, 120 + i % 2) for i in range(8))), 70 * 60.0)
    falling = leaving(_cook((0, 126), (20, 122), (40, 117), (60, 112)), 3600.0)
    assert not falling.outside
    assert falling.median_s is not None
    assert 3600.0 <= falling.median_s < 2.5 * 3600.0
    assert falling.below_share > 0.5
    assert falling.low_s is not None
    assert falling.low_s <= falling.median_s
    assert steady.median_s is None or steady.median_s > falling.median_s


def test_fire_outside_is_said() -> None:
    found = leaving(_cook((0, 120), (30, 100), (60, 96), (70, 95)), 4200.0)
    assert found.outside
    assert found.below_share == 1.0
