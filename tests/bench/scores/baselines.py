"""What one would do without the program: plain guesses of the finish, each a single time [s].

``inf`` means that the method says never. All get what the forecast gets: a cook as known so far.
"""

from __future__ import annotations

import warnings
from collections import defaultdict
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from scipy.optimize import OptimizeWarning, curve_fit

from core.cook import Cook
from core.units import kg_to_lb
from tests.bench.truth import SimCook

Array = npt.NDArray[np.float64]


def meat_readings(cook: Cook) -> tuple[Array, Array]:
    """Times [s] and temperatures [°C] of the first probe, its known start included."""
    probe = cook.probes[0]
    pairs = [(r.elapsed_s, r.of(probe.name)) for r in cook.readings]
    points = [(t, c) for t, c in pairs if c is not None]
    if probe.start_c is not None and (not points or points[0][0] > 60.0):
        points.insert(0, (0.0, probe.start_c))
    if not points:
        return np.empty(0), np.empty(0)
    times, temps = zip(*points, strict=True)
    return np.array(times), np.array(temps)


def known_pit_c(cook: Cook) -> float:
    """Mean of the pit readings, or the plan [°C]."""
    seen = [r.pit_c for r in cook.readings if r.pit_c is not None]
    return float(np.mean(seen)) if seen else cook.plan.pit_c


def last_line(cook: Cook, threshold_c: float) -> float:
    """Line through the last three readings, carried on to the threshold."""
    t, c = (values[-3:] for values in meat_readings(cook))
    if t.size < 2 or np.ptp(t) < 1.0:
        return np.inf
    slope, level = np.polyfit(t - t[-1], c, 1)
    return float(t[-1] + (threshold_c - level) / slope) if slope > 1e-9 else np.inf


def newton(cook: Cook, threshold_c: float) -> float:
    """One exponential towards the known pit, fitted to all readings."""
    t, c = meat_readings(cook)
    pit = max(known_pit_c(cook), float(c.max(initial=0.0)) + 1.0)
    if t.size < 2 or threshold_c >= pit:
        return np.inf
    slope, level = np.polyfit(t, np.log(pit - c), 1)
    return float((np.log(pit - threshold_c) - level) / slope) if slope < -1e-12 else np.inf


def _rise(t: Array, end_c: float, gap_c: float, rate: float) -> Array:
    return end_c - gap_c * np.exp(-rate * t)


def three_exponential(cook: Cook, threshold_c: float) -> float:
    """End, gap and rate fitted to all readings; the Newton fit where that fails."""
    t, c = meat_readings(cook)
    if t.size < 4:
        return newton(cook, threshold_c)
    hours, pit = t / 3600.0, known_pit_c(cook)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", OptimizeWarning)
            warnings.simplefilter("ignore", RuntimeWarning)
            found, _ = curve_fit(_rise, hours, c, p0=(pit, pit - c[0], 0.3), maxfev=2000)
    except RuntimeError:
        return newton(cook, threshold_c)
    end, gap, rate = found
    ratio = (end - threshold_c) / gap if gap else np.nan
    if not np.isfinite(ratio) or ratio <= 0.0 or rate == 0.0:
        return np.inf
    return float(-np.log(ratio) / rate * 3600.0)


def minutes_per_pound(tuning: list[SimCook]) -> dict[str, float]:
    """Each cut's median seconds per pound to the target, from the tuning cooks."""
    rates: dict[str, list[float]] = defaultdict(list)
    for sim in tuning:
        if sim.truth.target_s is not None:
            rates[sim.cut].append(sim.truth.target_s / kg_to_lb(sim.cook.plan.mass_kg))
    return {cut: float(np.median(values)) for cut, values in rates.items()}


def by_weight(cook: Cook, per_pound: Mapping[str, float]) -> float:
    """Weight times the cut's usual time per pound; holds for the target only."""
    return per_pound[cook.plan.cut] * kg_to_lb(cook.plan.mass_kg)
