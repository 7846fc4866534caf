"""Pulled early: the temperature from which the rest carries the core up to its target.

The forecast says how far each draw rises in the rest (:class:`core.answers.Rest`); pulled that much
below its target, the median peak is the target. When the core gets there is read off its fan.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from core.answers import LEVELS, Arrival, Fan
from core.cook import Milestone

_DRAWS = 200


def pull_arrival(
    fan: Fan,
    pull_c: float,
    now_s: float,
    readings: Sequence[tuple[float, float]] = (),
) -> Arrival:
    """When a core comes to the temperature at which it is pulled.

    Parameters
    ----------
    fan : Fan
        The forecast of that probe.
    pull_c : float
        Temperature to pull at [°C].
    now_s : float
        Seconds from meat-on.
    readings : sequence of (elapsed_s, temp_c)
        Believed ones in time order: one at `pull_c` settles it.
    """
    reached = _reached(readings, pull_c)
    if reached is not None:
        draws = np.full(_DRAWS, reached)
        return Arrival(fan.name, Milestone.TARGET, pull_c, draws, reached)
    # the hottest quantile gets there first: the earliest of the arrival's
    crossings = [_crossing(fan, row, pull_c, now_s) for row in reversed(range(len(LEVELS)))]
    shares = (np.arange(_DRAWS) + 0.5) / _DRAWS
    known = [(level, at) for level, at in zip(LEVELS, crossings, strict=True) if at is not None]
    if not known:
        return Arrival(fan.name, Milestone.TARGET, pull_c, np.full(_DRAWS, np.inf))
    levels, times = zip(*known, strict=True)
    draws = np.interp(shares, levels, times)
    if len(known) < len(LEVELS):
        draws[shares > levels[-1]] = np.inf
    return Arrival(fan.name, Milestone.TARGET, pull_c, draws)


def _reached(readings: Sequence[tuple[float, float]], pull_c: float) -> float | None:
    if readings and readings[0][1] >= pull_c:
        return readings[0][0]
    for (start, first), (end, last) in pairwise(readings):
        if first < pull_c <= last:
            return start + (pull_c - first) / (last - first) * (end - start)
    return None


def _crossing(fan: Fan, row: int, pull_c: float, now_s: float) -> float | None:
    """Time from now on at which one quantile comes up to a temperature; None if it does not."""
    times = np.concatenate([[now_s], fan.elapsed_s[fan.elapsed_s > now_s]])
    temps = np.interp(times, fan.elapsed_s, fan.temp_c[row])
    above = np.flatnonzero(temps >= pull_c)
    if not above.size:
        return None
    at = int(above[0])
    if at == 0:
        return now_s
    share = (pull_c - temps[at - 1]) / (temps[at] - temps[at - 1])
    return float(times[at - 1] + share * (times[at] - times[at - 1]))
