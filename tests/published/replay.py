"""Forecasts of published cooks: from the plan alone, or replayed reading by reading."""

from __future__ import annotations

from core.answers import Arrival
from core.cook import Cook, Milestone, Plan, Probe, Reading
from core.forecast import forecast
from core.units import lb_to_kg

START_C = 4.4
"""Meat straight from the refrigerator: 40 °F, as the charts and Chang 1998 take it."""

MINUTE_S = 60.0


def prior_arrival(plan: Plan, probe: Probe, start_c: float = START_C) -> Arrival:
    """Arrival at the target as forecast when the meat goes on, with one reading then."""
    first = Reading(0.0, plan.pit_c, ((probe.name, start_c),))
    arrival = forecast(Cook(plan, (probe,), (first,)), 0.0).arrival(probe.name, Milestone.TARGET)
    assert arrival is not None
    return arrival


def prior_median_s(plan: Plan, probe: Probe, start_c: float = START_C) -> float:
    """Median of `prior_arrival` [s from meat-on]; inf if it is never reached."""
    median = prior_arrival(plan, probe, start_c).quantile_s(0.5)
    return float("inf") if median is None else median


def prior_median_min(cut: str, mass_lb: float, pit_c: float, target_c: float) -> float:
    """Minutes from meat-on, for a chart row."""
    plan = Plan(cut, lb_to_kg(mass_lb), pit_c)
    return prior_median_s(plan, Probe("meat", target_c)) / MINUTE_S


def target_arrival(cook: Cook, now_s: float) -> Arrival:
    """Arrival of the only probe at its target, from what was known at `now_s`."""
    (probe,) = cook.probes
    arrival = forecast(cook.known_at(now_s), now_s).arrival(probe.name, Milestone.TARGET)
    assert arrival is not None
    return arrival


def quantile_min(arrival: Arrival, level: float) -> float:
    """Quantile of an arrival in minutes; inf if it is never reached."""
    found = arrival.quantile_s(level)
    return float("inf") if found is None else found / MINUTE_S
