"""Speed of a forecast, beside one stiff solution of the same heat equation (pytest-benchmark).

pytest tests/bench/test_forecast_bench.py --benchmark-enable --benchmark-only
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.integrate import solve_ivp

from core.answers import FloatArray
from core.catalogue import body_of, cut_named
from core.cook import Cook, Plan
from core.food import properties
from core.forecast import forecast, hindcast
from core.moisture import FREED_SHARE, set_share, spread_c, supply
from core.surface import Exchange, balance
from tests.core.cooks import made_cook

TWELVE_HOURS_S = 12.0 * 3600.0
SHOULDER = Plan("pork_shoulder", 3.6, 115.0)


def twelve_hour_cook(readings: int) -> Cook:
    """A shoulder known for twelve hours with that many readings, still cooking."""
    made = made_cook(
        SHOULDER, 97.0, every_s=TWELVE_HOURS_S / readings, departures=(0.5, 0, 0.5, 0, 0, 0, 0, 0)
    )
    return made.cook.known_at(TWELVE_HOURS_S)


@pytest.mark.parametrize("readings", [10, 60, 100, 1000])
def test_forecast_of_a_twelve_hour_cook(benchmark: BenchmarkFixture, readings: int) -> None:
    cook = twelve_hour_cook(readings)
    made = benchmark(forecast, cook, TWELVE_HOURS_S)
    assert made.arrivals


@pytest.mark.parametrize("hours", [3, 6, 12, 24])
def test_forecast_by_length(benchmark: BenchmarkFixture, hours: int) -> None:
    cook = twelve_hour_cook(60)
    share = hours * 3600.0 / TWELVE_HOURS_S
    readings = tuple(replace(r, elapsed_s=r.elapsed_s * share) for r in cook.readings)
    benchmark(forecast, replace(cook, readings=readings), hours * 3600.0)


def test_hindcast_of_sixty_readings(benchmark: BenchmarkFixture) -> None:
    cook = twelve_hour_cook(60)
    made = benchmark.pedantic(hindcast, (cook,), rounds=2, iterations=1)
    assert len(made) >= 59


def test_one_stiff_solution_of_the_same_equation(benchmark: BenchmarkFixture) -> None:
    """One member over the same span (past and outlook), by the method of lines and BDF."""
    plan = SHOULDER
    body, food = body_of(plan), properties(cut_named(plan.cut).composition, 45.0)
    cells = 24
    edges = np.linspace(0.0, body.half_thickness_m, cells + 1)
    area = edges**body.shape_exponent
    volume = np.diff(edges ** (body.shape_exponent + 1.0)) / (body.shape_exponent + 1.0)
    width = edges[1] - edges[0]
    k, rho_cp = float(food.k), float(food.rho * food.cp)

    area_per_m = np.array([(body.shape_exponent + 1.0) / body.half_thickness_m])
    thick = np.array([body.half_thickness_m])
    releasable = np.array([FREED_SHARE * 1060.0 * cut_named(plan.cut).composition.water])

    def rate(_t: float, y: FloatArray) -> FloatArray:
        temps, evaporated = y[:-1], y[-1:]
        mean = np.array([temps @ volume / volume.sum()])
        fed = supply(
            set_share(*spread_c(mean, temps[-1:])), evaporated, area_per_m, thick, releasable
        )
        around = Exchange(np.array([115.0]), np.array([12.0]), 1.0, fed, 3000.0, 0.36)
        half = np.array([width / 2.0 / k])
        _, flux, lost = balance(temps[-1:], half, around, temps[-1:])
        flow = np.concatenate([[0.0], k * np.diff(temps) / width, flux]) * area
        return np.append(np.diff(flow) / volume / rho_cp, max(float(lost[0]), 0.0))

    def solve() -> int:
        start = np.append(np.full(cells, 4.0), 0.0)
        span = (0.0, 2.0 * TWELVE_HOURS_S)
        return int(solve_ivp(rate, span, start, method="BDF", rtol=1e-4).nfev)

    assert benchmark(solve) > 0
