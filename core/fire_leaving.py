"""When the fire leaves its band if nothing is done, with a range, by the fire model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import Arrival
from core.cook import Cook, Milestone
from core.fire import PAST_MODES, fire_path
from core.fire_outlook import band_of

HORIZON_S = 4.0 * 3600.0
_STEPS, _DRAWS, _SEED = 97, 400, 13


@dataclass(frozen=True, slots=True)
class Leaving:
    """Time at which the fire leaves its band, if nothing is done.

    Attributes
    ----------
    low_s, median_s, high_s : float or None
        10, 50 and 90 % quantiles [s from meat-on]; None for not within the four hours ahead.
    below_share : float
        Share of the fires leaving that leave downwards.
    stays_chance : float
        Chance of staying inside for the four hours ahead.
    outside : bool
        True if it is outside now; the quantiles are then those of its return.
    """

    low_s: float | None
    median_s: float | None
    high_s: float | None
    below_share: float
    stays_chance: float
    outside: bool


def leaving(cook: Cook, now_s: float) -> Leaving:
    """When the gauge leaves the band; when it comes back, if it is outside now.

    The present side of the band is that of the median; a fire that has to be let come back is
    given as ``outside``.
    """
    low, high = band_of(cook)
    at = max(now_s, 0.0)
    fire = fire_path(cook.known_at(now_s), at, HORIZON_S)
    times = at + np.linspace(0.0, HORIZON_S, _STEPS)
    rng = np.random.default_rng(_SEED)
    unknowns = rng.standard_normal((_DRAWS, PAST_MODES))
    paths = fire.sample(times, unknowns, rng.standard_normal((fire.knots_s.size, _DRAWS)))
    middle = float(np.median(paths[0]))
    outside = not low <= middle <= high
    inside = (paths >= low) & (paths <= high)
    changed = inside if outside else ~inside
    ever = changed.any(axis=0)
    row = np.argmax(changed, axis=0)
    when = np.where(ever, times[row], np.inf)
    found = Arrival("pit", Milestone.TARGET, None, when)
    where = paths[row, np.arange(_DRAWS)][ever]
    below = float(np.mean(where < 0.5 * (low + high))) if where.size else 0.0
    if outside:
        below = float(middle < low)
    quantiles = (found.quantile_s(q) for q in (0.1, 0.5, 0.9))
    early, half, late = quantiles
    return Leaving(early, half, late, below, found.probability_never, outside)
