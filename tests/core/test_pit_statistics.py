"""Pit statistics of a whole cook against values worked out by hand."""

from __future__ import annotations

import math

import pytest

from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.fire import AMBIENT_C, LID_DIP, LID_RECOVERY_S
from core.pit_statistics import heat_end_s, off_heat_s, pit_statistics

PLAN = Plan("pork_shoulder", 3.5, 120.0, 110.0, 130.0)


def _cook(*pit: tuple[float, float], events: tuple[Event, ...] = ()) -> Cook:
    """Pit readings as (minute, °C)."""
    readings = tuple(Reading(60.0 * minute, temp) for minute, temp in pit)
    return Cook(PLAN, (Probe("core", 95.0),), readings, events)


def _event(minute: float, kind: EventKind) -> Event:
    return Event(60.0 * minute, kind)


def test_mean_spread_and_shares_by_hand() -> None:
    # straight lines 100 -> 120 -> 140 -> 120 °C, 30 min each; band 110 to 130
    found = pit_statistics(_cook((0, 100), (30, 120), (60, 140), (90, 120)))
    # mean: (110 + 130 + 130) / 3; mean square: each span (a² + ab + b²) / 3
    squares = [(a * a + a * b + b * b) / 3 for a, b in ((100, 120), (120, 140), (140, 120))]
    mean = 370.0 / 3.0
    assert found.mean_c == pytest.approx(mean)
    assert found.spread_c == pytest.approx(math.sqrt(sum(squares) / 3 - mean**2))
    # half of the first span is below 110, half of the second and of the third above 130
    assert found.below == pytest.approx(15 / 90)
    assert found.above == pytest.approx(30 / 90)
    assert found.in_band == pytest.approx(45 / 90)
    assert (found.worst_c, found.worst_s) == (100.0, 0.0)
    assert found.worst_beyond_c == pytest.approx(-10.0)
    assert found.readings == 4


def test_nothing_after_the_pull_counts() -> None:
    pulled = (_event(60, EventKind.PULLED), _event(80, EventKind.SERVED))
    found = pit_statistics(_cook((0, 120), (30, 120), (60, 120), (90, 60), events=pulled))
    assert found.mean_c == pytest.approx(120.0)
    assert found.in_band == pytest.approx(1.0)
    assert found.worst_c is None and found.worst_beyond_c is None


def test_when_the_meat_left_the_heat() -> None:
    both = (_event(60, EventKind.PULLED), _event(80, EventKind.SERVED))
    assert off_heat_s(_cook((0, 120), events=both)) == 3600.0
    assert off_heat_s(_cook((0, 120), events=both[1:])) == 4800.0
    assert off_heat_s(_cook((0, 120))) is None
    assert heat_end_s(_cook((0, 120), (45, 118))) == 2700.0
    assert heat_end_s(_cook()) == 0.0


def test_one_opening_costs_its_dip_over_the_drive() -> None:
    # a dip of LID_DIP that fades with LID_RECOVERY_S, long before the end: its whole integral
    cook = Cook(
        PLAN,
        (Probe("core", 95.0),),
        tuple(Reading(60.0 * m, 120.0, (("core", 40.0),)) for m in (0, 60, 120, 240)),
        (_event(60, EventKind.LID_OPEN),),
    )
    found = pit_statistics(cook)
    expected = LID_DIP * LID_RECOVERY_S * (120.0 - AMBIENT_C) / (120.0 - 40.0)
    assert found.openings == 1
    assert found.lid_lost_s == pytest.approx(expected, rel=1e-3)


def test_without_pit_readings_there_is_nothing_to_say() -> None:
    found = pit_statistics(Cook(PLAN, (Probe("core", 95.0),)))
    assert (found.mean_c, found.spread_c, found.in_band, found.readings) == (None, None, None, 0)
