"""Made forecasts for tests of the day's plan: the planner sees only draws."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from core.answers import Arrival, FireOutlook, Forecast, Rest
from core.catalogue import cut_named
from core.cook import Cook, Milestone

FIRE = FireOutlook(150.0, 145.0, 155.0, 0.0, 140.0, 160.0, 0.9, None, None)


def made_forecast(cook: Cook) -> Forecast:
    """Five hours for the usual weight at 120 °C, less when hotter or lighter, spread by a fifth."""
    cut = cut_named(cook.plan.cut)
    scale = (cook.plan.mass_kg / cut.typical_mass_kg) ** (2 / 3) * 100.0 / (cook.plan.pit_c - 20.0)
    spread = np.exp(np.linspace(-0.2, 0.2, 201))
    arrivals, rests = [], []
    for probe in cook.probes:
        target = 5.0 * 3600.0 * scale * spread
        for milestone, share in ((Milestone.GLAZE, 0.7), (Milestone.WRAP, 0.6),
                                 (Milestone.TARGET, 1.0), (Milestone.RESTED, 1.1)):  # fmt: skip
            threshold = probe.threshold_c(milestone)
            if threshold is None and milestone is not Milestone.RESTED:
                continue
            arrivals.append(Arrival(probe.name, milestone, threshold, share * target))
        rests.append(Rest(probe.name, probe.target_c, probe.target_c + 3, probe.target_c + 5, 70.0))
    return Forecast(0.0, tuple(arrivals), (), FIRE, None, tuple(rests))


def never_below(pit_c: float) -> Callable[[Cook], Forecast]:
    """A forecaster whose members stay short of their target on colder fires, a fifth of them."""

    def forecast_of(cook: Cook) -> Forecast:
        told = made_forecast(cook)
        if cook.plan.pit_c >= pit_c:
            return told
        arrivals = tuple(
            Arrival(a.probe, a.milestone, a.threshold_c,
                    np.where(np.arange(a.draws_s.size) < 160, a.draws_s, np.inf))
            for a in told.arrivals
        )  # fmt: skip
        return Forecast(0.0, arrivals, (), FIRE, None, told.rests)

    return forecast_of
