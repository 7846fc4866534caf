"""Levers: the same answers as the forecast where nothing changes, the right sign where it does."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from core.catalogue import cut_named
from core.cook import Cook, Event, EventKind, Plan
from core.fire import fire_path
from core.forecast import forecast
from core.levers import LeverKey, Levers, levers, rest_of
from core.what_if import Change, WhatIf, held_at
from tests.core.cooks import made_cook

NOW_S = 5400.0


@cache
def _duck(serve_shift_s: float = 0.0) -> Cook:
    """An invented duck, half done, with its meal near the median."""
    made = made_cook(Plan("duck", 2.3, 150.0), 74.0)
    serve_s = made.finish_s + cut_named("duck").rest_s + serve_shift_s
    return replace(made.cook, plan=replace(made.cook.plan, serve_s=serve_s))


@cache
def _table(serve_shift_s: float = 0.0) -> Levers:
    found = levers(_duck(serve_shift_s), NOW_S)
    assert found is not None
    return found


def test_as_it_is_the_forecast_s_own_chance() -> None:
    cook, line = _duck(), _table().of(LeverKey.AS_IT_IS)
    assert line is not None
    assert cook.plan.serve_s is not None
    finish = forecast(cook, NOW_S, explain=False).finish
    assert line.chance == pytest.approx(
        finish.chance_by(cook.plan.serve_s - rest_of(cook)), abs=0.02
    )
    middle = finish.quantile_s(0.5)
    assert middle is not None
    assert line.ready_s == pytest.approx(middle + rest_of(cook), abs=120.0)


def test_pits_land_their_chances_on_the_meal() -> None:
    for key, chance in ((LeverKey.PIT_MEDIAN, 0.5), (LeverKey.PIT_WANTED, 0.9)):
        line = _table().of(key)
        assert line is not None
        assert line.attainable
        assert line.chance == pytest.approx(chance, abs=0.05)
    middle, wanted = _table().of(LeverKey.PIT_MEDIAN), _table().of(LeverKey.PIT_WANTED)
    assert middle is not None
    assert wanted is not None
    assert middle.pit_c is not None
    assert wanted.pit_c is not None
    assert middle.pit_c < wanted.pit_c


def test_a_meal_no_pit_can_make_is_said() -> None:
    line = _table(-5400.0).of(LeverKey.PIT_WANTED)
    assert line is not None
    assert not line.attainable
    assert line.chance < 0.85


def test_wrapping_pulling_lower_and_eating_later_help() -> None:
    base = _table().of(LeverKey.AS_IT_IS)
    assert base is not None
    for key in (LeverKey.WRAP_NOW, LeverKey.PULL_LOWER, LeverKey.EAT_LATER):
        line = _table().of(key)
        assert line is not None, key
        assert line.chance > base.chance, key


def test_pulled_lower_most_members_still_rise_to_the_target() -> None:
    line = _table().of(LeverKey.PULL_LOWER)
    assert line is not None
    assert line.pull_below_k is not None
    assert line.peak_above_k is not None
    assert line.pull_below_k > 0.0
    assert line.peak_above_k >= -0.1
    assert "see_target_in_rest" in line.cautions


def test_no_table_without_a_meal_or_after_the_pull() -> None:
    cook = _duck()
    assert levers(replace(cook, plan=replace(cook.plan, serve_s=None)), NOW_S) is None
    pulled = replace(cook, events=(*cook.events, Event(NOW_S - 60.0, EventKind.PULLED)))
    assert levers(pulled, NOW_S) is None


def test_wrapped_meat_is_not_wrapped_again() -> None:
    cook = _duck()
    wrapped = replace(cook, events=(*cook.events, Event(NOW_S - 600.0, EventKind.WRAPPED)))
    found = levers(wrapped, NOW_S)
    assert found is not None
    assert found.of(LeverKey.WRAP_NOW) is None


def test_hotter_is_sooner_all_along() -> None:
    asked = WhatIf(_duck(), NOW_S)
    medians = [
        float(np.median(asked.run(Change(pit_c=pit)).finish.draws_s)) for pit in (120, 150, 180)
    ]
    assert medians == sorted(medians, reverse=True)


def test_fire_held_elsewhere_keeps_its_past() -> None:
    fire = fire_path(_duck().known_at(NOW_S), NOW_S, 7200.0)
    held = held_at(fire, NOW_S, 190.0)
    past = fire.knots_s <= NOW_S
    assert np.array_equal(fire.mean_c[past], held.mean_c[past])
    assert held.mean_c[-1] == pytest.approx(190.0, abs=0.5)
