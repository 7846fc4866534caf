"""The early pull: when a core comes to the temperature from which the rest carries it up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.answers import LEVELS, Fan
from core.catalogue import cut_named
from core.cook import Milestone, Plan
from core.forecast import forecast
from core.pulling import pull_arrival
from tests.core.cooks import made_cook


def ramp(per_hour: float = 30.0, spread: float = 6.0) -> Fan:
    """A core that rises from 40 °C, seven quantiles side by side."""
    times = np.linspace(0.0, 3 * 3600.0, 60)
    middle = 40.0 + per_hour * times / 3600.0
    rows = np.linspace(-spread, spread, len(LEVELS))[:, None]
    return Fan("eye", times, middle + rows)


def test_the_median_and_the_ends_are_read_off_the_fan() -> None:
    found = pull_arrival(ramp(), 55.0, 0.0)
    # 15 K at 30 K an hour: half an hour; 6 K of spread is 12 minutes to each side
    assert found.quantile_s(0.5) == pytest.approx(1800.0, abs=20.0)
    assert found.quantile_s(0.05) == pytest.approx(1800.0 - 720.0, abs=30.0)
    assert found.quantile_s(0.95) == pytest.approx(1800.0 + 720.0, abs=30.0)
    assert found.milestone is Milestone.TARGET
    assert found.reached_s is None


def test_a_reading_at_it_settles_it_and_what_never_comes_is_never() -> None:
    read = ((0.0, 40.0), (1200.0, 50.0), (2400.0, 60.0))
    found = pull_arrival(ramp(), 55.0, 2400.0, read)
    assert found.reached_s == pytest.approx(1800.0)
    high = pull_arrival(ramp(), 200.0, 0.0)
    assert high.probability_never == 1.0
    some = pull_arrival(ramp(), 130.0, 0.0)  # only the upper half of the fan gets there
    assert some.probability_never == pytest.approx(0.5, abs=0.12)


@given(st.floats(45.0, 100.0), st.floats(45.0, 100.0))
def test_a_lower_pull_never_comes_later(one: float, other: float) -> None:
    low, high = (pull_arrival(ramp(), temp, 0.0) for temp in sorted((one, other)))
    for level in (0.1, 0.5, 0.9):
        first, second = low.quantile_s(level), high.quantile_s(level)
        assert second is None or (first is not None and first <= second + 1e-6)


def test_with_the_real_forecast_the_pull_comes_before_the_target() -> None:
    made = made_cook(Plan("leg_of_lamb", 2.5, 150.0), cut_named("leg_of_lamb").target_c)
    now_s = 0.6 * made.finish_s
    told = forecast(made.cook, now_s, explain=False)
    (rest,) = told.rests
    assert rest.pull_c is not None
    fan = told.fan(rest.probe)
    assert fan is not None
    early = pull_arrival(fan, rest.pull_c, now_s).quantile_s(0.5)
    done = told.finish.quantile_s(0.5)
    assert early is not None
    assert done is not None
    assert now_s <= early < done
