"""What the fire does now and next, as the gauge shows it."""

from __future__ import annotations

import numpy as np

from core.answers import LEVELS, Fan, FireOutlook, FloatArray
from core.cook import Cook
from core.fire import PAST_MODES, FirePath, believed_pit

BAND_C = 14.0
"""Half-width of the band where the plan names none (25 °F; common practice, no source) [°C]."""

_DRAWS, _SEED = 300, 11
_SLOPE_S = 1200.0
_LOOK_S = 3.0 * 3600.0
_FLARE_STEPS = 8  # of the outlook's 5 min


def band_of(cook: Cook) -> tuple[float, float]:
    """The band to hold [°C]: the plan's, or the usual one around its pit."""
    plan = cook.plan
    low = plan.pit_low_c if plan.pit_low_c is not None else plan.pit_c - BAND_C
    high = plan.pit_high_c if plan.pit_high_c is not None else plan.pit_c + BAND_C
    return low, high


def _paths(fire: FirePath, t_s: FloatArray) -> FloatArray:
    rng = np.random.default_rng(_SEED)
    unknowns = rng.standard_normal((_DRAWS, PAST_MODES))
    return fire.sample(t_s, unknowns, rng.standard_normal((fire.knots_s.size, _DRAWS)))


def _lasting(paths: FloatArray) -> FloatArray:
    """Each path averaged over the next 40 min or so: a flare that passes is no drift."""
    sums = np.cumsum(np.vstack([paths, np.repeat(paths[-1:], _FLARE_STEPS, axis=0)]), axis=0)
    out: FloatArray = (sums[_FLARE_STEPS:] - sums[:-_FLARE_STEPS]) / _FLARE_STEPS
    return out


def fire_outlook(cook: Cook, fire: FirePath, now_s: float) -> FireOutlook:
    """Present pit, its trend, and when it leaves the band if nothing is done."""
    low, high = band_of(cook)
    times = now_s + np.linspace(0.0, _LOOK_S, 37)
    paths = _paths(fire, times)
    quantiles = np.quantile(paths[0], (0.1, 0.5, 0.9))
    inside = (paths >= low) & (paths <= high)
    lasting = _lasting(paths)
    trend = fire.at(np.array([now_s - _SLOPE_S, now_s]), np.zeros((1, PAST_MODES)))[:, 0]
    seen, _ = believed_pit(cook)
    leaves = None
    if low <= quantiles[1] <= high:
        out = (lasting < low) | (lasting > high)
        first = np.where(out.any(axis=0), times[np.argmax(out, axis=0)], np.inf)
        median = float(np.median(first))
        leaves = median if np.isfinite(median) else None
    return FireOutlook(
        pit_c=float(quantiles[1]),
        pit_c_low=float(quantiles[0]),
        pit_c_high=float(quantiles[2]),
        slope_c_per_s=float(trend[1] - trend[0]) / _SLOPE_S if now_s > _SLOPE_S else 0.0,
        band_low_c=low,
        band_high_c=high,
        in_band_chance=float(inside[0].mean()),
        leaves_band_s=leaves,
        last_pit_reading_s=float(seen[-1]) if seen.size else None,
    )


def pit_fan(fire: FirePath) -> Fan:
    """The gauge's fan over past and outlook."""
    paths = _paths(fire, fire.knots_s)
    return Fan("pit", fire.knots_s, np.quantile(paths, LEVELS, axis=1))
