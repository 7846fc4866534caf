r"""The fire: what the gauge shows between readings and ahead of now.

The gauge's temperature is a Gaussian process around the planned pit,

.. math:: p(t) = p_{plan} + \ell + s(t) + f(t) + \sum_j b_j [t \ge t_j],

with a level :math:`\ell` the cook happens to hold, a slow mean-reverting part (fuel, weather), a
fast one (vents, flare-ups) and one free step for each change that two readings confirm. Readings
add noise. The posterior is exact; the part of its uncertainty that matters for the meat, the few
leading modes over the past, is handed to the inference as further unknowns, so that the meat's own
readings can also say what the fire did while nobody looked.

Source: Rasmussen and Williams, Gaussian Processes for Machine Learning, ch. 2 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import BoolArray, FloatArray
from core.cook import Cook, EventKind
from core.slips import exchanged

LEVEL_SD_C = 5.0
SLOW_SD_C, SLOW_S = 6.0, 3.0 * 3600.0
FAST_SD_C, FAST_S = 8.0, 20.0 * 60.0
GAUGE_SD_C = 1.2
STEP_SD_C = 60.0
STEP_MIN_C = 30.0
PAST_MODES = 2
_KNOTS_PAST, _KNOTS_AHEAD, _READINGS_MAX = 48, 36, 150
LID_DIP, LID_RECOVERY_S, AMBIENT_C = 0.15, 480.0, 20.0
FUEL_AGE_S, VENT_AGE_S = 2.0 * SLOW_S, 1.5 * SLOW_S
"""How much older the fire's past looks after new fuel or a change of vents [s]."""

_STIRS = {EventKind.FUEL_ADDED: FUEL_AGE_S, EventKind.VENTS: VENT_AGE_S}
_STIRRED_WITHIN_S = 1200.0


@dataclass(frozen=True, slots=True, eq=False)
class FirePath:
    """Posterior of the gauge's temperature over past and future knots.

    Attributes
    ----------
    knots_s : array, shape (m,)
        Increasing times from meat-on [s].
    mean_c : array, shape (m,)
    past_modes : array, shape (PAST_MODES, m)
        Loadings of the inferred unknowns, over all knots [°C].
    ahead_root : array, shape (m, m)
        Square root of the covariance that is left.
    lid_s : tuple of float
        Lid openings, for the dips.
    """

    knots_s: FloatArray
    mean_c: FloatArray
    past_modes: FloatArray
    ahead_root: FloatArray
    lid_s: tuple[float, ...]

    def at(self, elapsed_s: FloatArray, unknowns: FloatArray) -> FloatArray:
        """Gauge temperature, shape (len(elapsed_s), n), for unknowns of shape (n, PAST_MODES)."""
        mean = np.interp(elapsed_s, self.knots_s, self.mean_c)
        modes = np.stack([np.interp(elapsed_s, self.knots_s, row) for row in self.past_modes])
        return self._with_dips(elapsed_s, mean[:, None] + modes.T @ unknowns.T)

    def sample(
        self, elapsed_s: FloatArray, unknowns: FloatArray, normals: FloatArray
    ) -> FloatArray:
        """As :meth:`at`, with the left-over uncertainty drawn; `normals` has shape (m, n)."""
        rest = self.ahead_root @ normals
        weights = _interpolation(elapsed_s, self.knots_s)
        return self.at(elapsed_s, unknowns) + weights @ rest

    def _with_dips(self, elapsed_s: FloatArray, pit_c: FloatArray) -> FloatArray:
        if not self.lid_s:
            return pit_c
        since = np.maximum(elapsed_s[:, None] - np.array(self.lid_s), -1.0)
        share = np.where(since >= 0.0, LID_DIP * np.exp(-since / LID_RECOVERY_S), 0.0)
        left = np.prod(1.0 - share, axis=1)  # of the excess over the yard
        out: FloatArray = AMBIENT_C + left[:, None] * (pit_c - AMBIENT_C)
        return out


def _interpolation(x: FloatArray, knots: FloatArray) -> FloatArray:
    """Matrix of linear interpolation from `knots` to `x` (ends held)."""
    index = np.clip(np.searchsorted(knots, x) - 1, 0, knots.size - 2)
    share = np.clip((x - knots[index]) / (knots[index + 1] - knots[index]), 0.0, 1.0)
    out = np.zeros((x.size, knots.size))
    rows = np.arange(x.size)
    out[rows, index] = 1.0 - share
    out[rows, index + 1] += share
    return out


def believed_pit(cook: Cook) -> tuple[FloatArray, FloatArray]:
    """Times [s] and values [°C] of the pit readings that no fire contradicts.

    A reading is left out if it is far from both its neighbours while they agree with each other
    (a slip), or colder than any fire that cooks.
    """
    wrong = {at for at, _ in exchanged(cook)}
    pairs = [
        (r.elapsed_s, r.pit_c)
        for r in cook.readings
        if r.pit_c is not None and r.elapsed_s not in wrong
    ]
    if not pairs:
        return np.empty(0), np.empty(0)
    times, values = np.array(pairs, dtype=float).T
    keep = (values > 30.0) & (values < 500.0)
    stirred = _near_stirs(times, cook)
    for i in range(values.size):
        if stirred[i]:
            continue  # an extreme is what new fuel is given for
        near = [j for j in (i - 1, i + 1) if 0 <= j < values.size]
        if len(near) == 2:
            low, high = sorted(values[near])
            keep[i] &= low - 45.0 <= values[i] <= high + 45.0 or high - low > 60.0
        else:
            reference = values[near[0]] if near else cook.plan.pit_c
            plan = cook.plan.pit_c
            keep[i] &= abs(values[i] - reference) < 70.0 or abs(values[i] - plan) < 70.0
    return times[keep], values[keep]


def _near_stirs(times: FloatArray, cook: Cook) -> BoolArray:
    """Whether each time lies close to new fuel or a change of vents."""
    stirs = np.sort([e.elapsed_s for e in cook.events if e.kind in _STIRS])
    if not stirs.size:
        return np.zeros(times.size, dtype=bool)
    after = np.searchsorted(stirs, times)
    before = np.maximum(after - 1, 0)
    after = np.minimum(after, stirs.size - 1)
    gap = np.minimum(np.abs(times - stirs[before]), np.abs(times - stirs[after]))
    out: BoolArray = gap < _STIRRED_WITHIN_S
    return out


def _steps(times: FloatArray, values: FloatArray) -> list[float]:
    """Times of lasting changes: a jump that the next reading confirms (or the last one shows)."""
    found = []
    for i in range(1, values.size):
        jump = values[i] - values[i - 1]
        later = values[i + 1] - values[i - 1] if i + 1 < values.size else jump
        if abs(jump) > STEP_MIN_C and abs(later) > 0.6 * abs(jump) and later * jump > 0:
            found.append(0.5 * (times[i] + times[i - 1]))
    return found[-6:]


def _aged(t_s: FloatArray, cook: Cook) -> FloatArray:
    """Times on the slow part's own clock, which jumps when the cook changes the fire."""
    out = t_s.copy()
    for event in cook.events:
        if event.kind in _STIRS:
            out = out + _STIRS[event.kind] * (t_s > event.elapsed_s)
    return out


def _covariance(a: FloatArray, b: FloatArray, steps: list[float], cook: Cook) -> FloatArray:
    gap = np.abs(a[:, None] - b[None, :])
    aged = np.abs(_aged(a, cook)[:, None] - _aged(b, cook)[None, :])
    out = LEVEL_SD_C**2 + SLOW_SD_C**2 * np.exp(-aged / SLOW_S)
    out += FAST_SD_C**2 * np.exp(-gap / FAST_S)
    for at in steps:
        out += STEP_SD_C**2 * np.outer(a >= at, b >= at)
    return out


def _thinned(times: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """At most _READINGS_MAX readings: neighbours in time are averaged. Also their counts."""
    if times.size <= _READINGS_MAX:
        return times, values, np.ones_like(times)
    groups = np.array_split(np.arange(times.size), _READINGS_MAX)
    return (
        np.array([times[g].mean() for g in groups]),
        np.array([np.median(values[g]) for g in groups]),
        np.array([float(g.size) for g in groups]),
    )


def fire_path(cook: Cook, now_s: float, horizon_s: float) -> FirePath:
    """Posterior of the gauge's temperature from meat-on to `now_s` + `horizon_s`."""
    times, values = believed_pit(cook)
    steps = _steps(times, values)
    times, values, counts = _thinned(times, values)
    last = max(now_s, 60.0)
    past = np.linspace(0.0, last, _KNOTS_PAST)
    ahead = last + horizon_s * np.linspace(0.0, 1.0, _KNOTS_AHEAD + 1)[1:] ** 2
    knots = np.concatenate([past, ahead])
    prior = _covariance(knots, knots, steps, cook)
    mean = np.full(knots.size, cook.plan.pit_c)
    if times.size:
        noise = GAUGE_SD_C**2 * (0.3 + 0.7 / counts)
        inner = _covariance(times, times, steps, cook) + np.diag(noise)
        cross = _covariance(knots, times, steps, cook)
        solved = np.linalg.solve(inner, np.column_stack([values - cook.plan.pit_c, cross.T]))
        mean = mean + cross @ solved[:, 0]
        prior = prior - cross @ solved[:, 1:]
    modes, left = _split(prior, past.size)
    lids = tuple(e.elapsed_s for e in cook.events if e.kind is EventKind.LID_OPEN)
    return FirePath(knots, mean, modes, left, lids)


def _split(covariance: FloatArray, past: int) -> tuple[FloatArray, FloatArray]:
    """Leading modes of the past with their reach into the future, and a root of what is left."""
    size, vectors = np.linalg.eigh(covariance[:past, :past])
    size = np.maximum(size[-PAST_MODES:], 1e-6)
    modes = (covariance[:, :past] @ vectors[:, -PAST_MODES:] / np.sqrt(size)).T
    left = covariance - modes.T @ modes
    return modes, np.linalg.cholesky(left + (1e-3 + 1e-9) * np.eye(left.shape[0]))
