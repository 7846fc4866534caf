"""The simulated households: each cook alone is the simulator's; together they share their own."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from tests.bench.households_truth import draw_theta
from tests.bench.truth import scenario
from tests.bench.truth.scenario import Plan

PLAN = Plan("beef_brisket", 4.5, 110.0, 93.0, None, None, True, True, None, None)
HOMES = 400
NAMES = ("height_m", "radius_m", "fat", "h_conv", "dew_c", "wall_c", "gauge_offset_c", "fire_sd_c")


def drawn(day: int) -> dict[str, list[float]]:
    cooks = [draw_theta(home, day, PLAN) for home in range(HOMES)]
    return {name: [float(cook[name][0]) for cook in cooks] for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_each_cook_alone_is_drawn_as_the_simulator_draws(name: str) -> None:
    """Two samples of one distribution (Kolmogorov and Smirnov's test, as scipy has it)."""
    plain = scenario.draw_theta(np.random.default_rng(5), PLAN, 4000)
    assert stats.ks_2samp(drawn(0)[name], plain[name]).pvalue > 0.001


def test_a_household_keeps_its_cooker_its_gauge_and_its_butcher_but_not_its_meat() -> None:
    first, second = drawn(0), drawn(1)

    def alike(name: str) -> float:
        return float(stats.spearmanr(first[name], second[name]).statistic)

    assert alike("gauge_offset_c") > 0.85
    assert 0.7 < alike("h_conv") < 0.87
    assert 0.4 < alike("height_m") < 0.6
    assert abs(alike("fat")) < 0.15
