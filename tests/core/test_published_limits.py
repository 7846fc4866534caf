"""The figures of the published tables for a whole cook."""

from __future__ import annotations

import pytest

from core.answers import Suspect
from core.cook import Cook, Plan, Probe, Reading
from core.published_limits import published_limits
from core.units import f_to_c


def _cook(cut: str, target_c: float, *temps: float) -> Cook:
    """An invented cook with a reading every half hour."""
    readings = tuple(Reading(1800.0 * i, None, (("core", t),)) for i, t in enumerate(temps))
    return Cook(Plan(cut, 2.0, 150.0), (Probe("core", target_c),), readings)


def test_bird_at_the_minimum_has_reached_both() -> None:
    (found,) = published_limits(_cook("duck", 74.0, 4, 30, 55, 68, f_to_c(165.0)), 7200.0)
    assert found.minimum_reached_s == 7200.0
    assert not found.target_below_minimum
    assert found.lethality is not None
    assert found.lethality.reached_s is not None
    assert found.lethality.reached_s < 7200.0
    assert found.come_up.left_s is not None
    assert found.highest_c == pytest.approx(f_to_c(165.0))


def test_only_what_is_known_counts() -> None:
    cook = _cook("duck", 74.0, 4, 30, 55, 68, 74)
    (found,) = published_limits(cook, 3600.0)
    assert found.highest_c == 55.0
    assert found.minimum_reached_s is None
    assert found.lethality is not None
    assert found.lethality.reached_s is None


def test_doubted_reading_counts_for_nothing() -> None:
    cook = _cook("duck", 74.0, 4, 90, 30)
    (found,) = published_limits(cook, 7200.0, (Suspect(1800.0, "core", 90, 20.0),))
    assert (found.highest_c, found.minimum_reached_s) == (30, None)


def test_fish_has_no_table_and_a_low_target_is_said() -> None:
    (fish,) = published_limits(_cook("salmon_side", 52.0, 4, 30), 3600.0)
    assert fish.lethality is None
    assert fish.target_below_minimum
    assert fish.minimum.temp_f == 145.0
    (empty,) = published_limits(_cook("duck", 73.9), 3600.0)
    assert empty.highest_c is None
    assert not empty.target_below_minimum
