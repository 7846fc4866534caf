"""The posterior of one probe's meat: adaptive importance sampling with linearised proposals.

Round 0 draws from the prior. Each later round fits a straight line through the pooled members'
predictions (weighted by a tempered likelihood), takes the normal posterior of that linear model as
its proposal and draws again. All rounds stay in the pool with the weights of the whole mixture, so
what is finally resampled is the posterior of the *nonlinear* model: the line only says where to
look. Where even the last round holds too few effective members, the likelihood is tempered until
enough are left: a wider band rather than a false one.

Source: Cornuet, Marin, Mira, Robert, Adaptive multiple importance sampling, Scand. J. Stat. 39
(2012), from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.answers import BoolArray, FloatArray, IndexArray
from core.body import Bodies, Happened, State, run_past
from core.cook import Plan
from core.discrepancy import Discrepancy
from core.errors import ForecastCancelled, ForecastFailed
from core.fire import FirePath
from core.prior import DIMENSIONS, Prior, Start, bodies_of, pit_unknowns
from core.sightings import Sightings

DRAWS_A_ROUND = 240
ROUNDS_MAX = 4
ENOUGH = 110.0
FEWEST = 45.0
MEMBERS = 400
_INFLATE = 1.7
_DOUBT_SIGMAS = 4.0
_SEED = 20260509


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Equally likely members that fit the readings; `n` of them.

    Attributes
    ----------
    z : array, shape (n, DIMENSIONS)
        Standard normal unknowns.
    bodies : Bodies
    state : State
        At the last time of the grid.
    grid_s : array, shape (m + 1,)
    probe_c : array, shape (m + 1, n)
        Model temperature at the probe over the past.
    misfit_c : array, shape (n, readings)
        Reading minus model at the believed readings.
    seen : Sightings
        Believed and doubted readings.
    doubts : tuple of (elapsed_s, found_c, expected_c)
    effective : float
        Effective number of members behind the resampling.
    """

    z: FloatArray
    bodies: Bodies
    state: State
    grid_s: FloatArray
    probe_c: FloatArray
    misfit_c: FloatArray
    seen: Sightings
    doubts: tuple[tuple[float, float, float], ...]
    effective: float


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What is given to the inference besides the readings."""

    plan: Plan
    start: Start
    prior: Prior
    fire: FirePath
    happened: Happened
    grid_s: FloatArray


@dataclass(slots=True, eq=False)
class _Pool:
    """All rounds so far: unknowns, predictions, and what they were drawn from."""

    z: FloatArray
    probe_c: FloatArray
    states: list[State]
    centres: list[FloatArray]
    roots: list[FloatArray]


def run_members(
    setting: Setting, z: FloatArray, cancelled: Callable[[], bool]
) -> tuple[Bodies, FloatArray, State]:
    """Bodies of the unknowns `z`, their probe temperatures over the grid and their end state."""
    bodies = bodies_of(setting.plan, setting.start, setting.prior, z)
    middles = 0.5 * (setting.grid_s[1:] + setting.grid_s[:-1])
    grate = setting.fire.at(middles, pit_unknowns(z)) + bodies.offset_c
    probe, state = run_past(bodies, setting.grid_s, grate, setting.happened, cancelled)
    if cancelled():
        raise ForecastCancelled
    return bodies, probe, state


def at_times(grid_s: FloatArray, values: FloatArray, t_s: FloatArray) -> FloatArray:
    """Rows of `values`, shape (m + 1, n), interpolated to `t_s`; shape (len(t_s), n)."""
    if grid_s.size == 1:
        return np.repeat(values, t_s.size, axis=0)
    index = np.clip(np.searchsorted(grid_s, t_s) - 1, 0, grid_s.size - 2)
    share = np.clip((t_s - grid_s[index]) / (grid_s[index + 1] - grid_s[index]), 0.0, 1.0)
    out: FloatArray = values[index] + share[:, None] * (values[index + 1] - values[index])
    return out


def infer(
    setting: Setting, seen: Sightings, error: Discrepancy, cancelled: Callable[[], bool]
) -> Posterior:
    """Draw the posterior of one probe's meat.

    Raises
    ------
    ForecastCancelled
    ForecastFailed
        No member gives a finite prediction.
    """
    rng = np.random.default_rng(_SEED)
    doubts: list[tuple[float, float, float]] = []
    z = _normals(rng)
    pool = _Pool(np.empty((0, DIMENSIONS)), np.empty((setting.grid_s.size, 0)), [], [], [])
    centre, root = np.zeros(DIMENSIONS), np.eye(DIMENSIONS)
    for round_ in range(ROUNDS_MAX):
        drawn = z if round_ == 0 else centre + _normals(rng) @ root.T
        _, probe, state = run_members(setting, drawn, cancelled)
        pool.z = np.vstack([pool.z, drawn])
        pool.probe_c = np.hstack([pool.probe_c, probe])
        pool.states.append(state)
        pool.centres.append(centre)
        pool.roots.append(root)
        if not seen.times_s.size:
            break
        if round_ > 0:
            seen = _doubt(pool, setting, seen, error, doubts)
        log_l = _log_likelihood(pool, setting, seen, error)
        base = _log_prior_over_proposal(pool)
        if round_ > 0 and _effective(base + log_l) >= ENOUGH:
            break
        centre, root = _proposal(pool, setting, seen, error, base, log_l)
    return _resampled(pool, setting, seen, error, doubts, rng)


def _normals(rng: np.random.Generator) -> FloatArray:
    """Standard normals, shape (DRAWS_A_ROUND, DIMENSIONS): antithetic, unit variance, centred."""
    half = rng.standard_normal((DRAWS_A_ROUND // 2, DIMENSIONS))
    both = np.vstack([half, -half])
    out: FloatArray = both / both.std(axis=0)
    return out


def _predicted(pool: _Pool, setting: Setting, seen: Sightings) -> FloatArray:
    """Model at the readings, shape (members, readings)."""
    return at_times(setting.grid_s, pool.probe_c, seen.times_s).T


def _log_likelihood(
    pool: _Pool, setting: Setting, seen: Sightings, error: Discrepancy
) -> FloatArray:
    root = np.linalg.cholesky(error.of_readings(seen))
    misfit = seen.temps_c - _predicted(pool, setting, seen)
    misfit = np.where(np.isfinite(misfit), misfit, 1e3)
    whitened = np.linalg.solve(root, misfit.T)
    out: FloatArray = -0.5 * np.einsum("ij,ij->j", whitened, whitened)
    return out


def _log_prior_over_proposal(pool: _Pool) -> FloatArray:
    """Log of prior over the mixture of all rounds' proposals, up to a constant."""
    parts = []
    for centre, root in zip(pool.centres, pool.roots, strict=True):
        scaled = np.linalg.solve(root, (pool.z - centre).T)
        parts.append(-0.5 * np.einsum("ij,ij->j", scaled, scaled) - np.log(np.diag(root)).sum())
    stacked = np.array(parts)
    top = stacked.max(axis=0)
    mixture = top + np.log(np.exp(stacked - top).sum(axis=0))
    prior = -0.5 * np.einsum("ij,ij->i", pool.z, pool.z)
    out: FloatArray = prior - mixture
    return out


def _weights(log_w: FloatArray) -> FloatArray:
    weights = np.exp(log_w - log_w.max())
    out: FloatArray = weights / weights.sum()
    return out


def _effective(log_w: FloatArray) -> float:
    weights = _weights(log_w)
    return float(1.0 / np.sum(weights**2))


def _tempered(base: FloatArray, log_l: FloatArray, enough: float) -> tuple[float, FloatArray]:
    """Largest power of the likelihood that leaves `enough` effective members, and the weights."""
    if _effective(base + log_l) >= enough:
        return 1.0, _weights(base + log_l)
    low, high = 0.0, 1.0
    for _ in range(14):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _effective(base + middle * log_l) >= enough else (low, middle)
    return low, _weights(base + low * log_l)


def _line(
    pool: _Pool, setting: Setting, seen: Sightings, weights: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Weighted straight line through the predictions: intercept (readings,), slopes (.., D)."""
    features = np.column_stack([np.ones(pool.z.shape[0]), pool.z])
    weighted = features * weights[:, None]
    ridge = 1e-4 * np.eye(DIMENSIONS + 1)
    ridge[0, 0] = 1e-9
    solved = np.linalg.solve(
        features.T @ weighted + ridge, weighted.T @ _predicted(pool, setting, seen)
    )
    intercept: FloatArray = np.asarray(solved[0], float)
    slopes: FloatArray = np.asarray(solved[1:].T, float)
    return intercept, slopes


def _proposal(
    pool: _Pool,
    setting: Setting,
    seen: Sightings,
    error: Discrepancy,
    base: FloatArray,
    log_l: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Centre and Cholesky root of the next round's normal."""
    _, weights = _tempered(base, log_l, 2.5 * DIMENSIONS)
    intercept, slopes = _line(pool, setting, seen, weights)
    inner = np.linalg.solve(error.of_readings(seen), slopes)
    covariance = np.linalg.inv(np.eye(DIMENSIONS) + slopes.T @ inner)
    centre = covariance @ (inner.T @ (seen.temps_c - intercept))
    size = float(np.sqrt(centre @ centre))
    if size > 6.0:
        centre = centre * (6.0 / size)
    return centre, np.linalg.cholesky(_INFLATE * covariance)


def _doubt(
    pool: _Pool,
    setting: Setting,
    seen: Sightings,
    error: Discrepancy,
    doubts: list[tuple[float, float, float]],
) -> Sightings:
    """Set aside readings that all others together do not expect, worst first.

    Uses the leave-one-out residuals of the linearised model (Rasmussen and Williams, ch. 5.4).
    """
    while seen.times_s.size > 1:
        base = _log_prior_over_proposal(pool)
        _, weights = _tempered(base, _log_likelihood(pool, setting, seen, error), 2.5 * DIMENSIONS)
        intercept, slopes = _line(pool, setting, seen, weights)
        inverse = np.linalg.inv(slopes @ slopes.T + error.of_readings(seen))
        sharpness = np.diag(inverse)
        residual = inverse @ (seen.temps_c - intercept) / sharpness
        sigmas = np.abs(residual) * np.sqrt(sharpness)
        worst = int(np.argmax(sigmas))
        if sigmas[worst] < _DOUBT_SIGMAS or abs(residual[worst]) < 4.0:
            break
        found = float(seen.temps_c[worst])
        doubts.append((float(seen.times_s[worst]), found, found - float(residual[worst])))
        flags: BoolArray = np.zeros(seen.times_s.size, dtype=bool)
        flags[worst] = True
        seen = seen.without(flags)
    return seen


def _systematic(weights: FloatArray, count: int, rng: np.random.Generator) -> IndexArray:
    """Systematic resampling: `count` members with those weights."""
    places = (np.arange(count) + rng.random()) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), places), weights.size - 1)


def _resampled(
    pool: _Pool,
    setting: Setting,
    seen: Sightings,
    error: Discrepancy,
    doubts: list[tuple[float, float, float]],
    rng: np.random.Generator,
) -> Posterior:
    base = _log_prior_over_proposal(pool)
    log_l = (
        _log_likelihood(pool, setting, seen, error) if seen.times_s.size else np.zeros_like(base)
    )
    if not np.all(np.isfinite(base + log_l)):
        raise ForecastFailed("no member of the ensemble gives a finite prediction")
    _, weights = _tempered(base, log_l, FEWEST)
    index = _systematic(weights, MEMBERS, rng)
    z = pool.z[index]
    predicted = _predicted(pool, setting, seen)[index]
    return Posterior(
        z=z,
        bodies=bodies_of(setting.plan, setting.start, setting.prior, z),
        state=State.joined(pool.states).chosen(index),
        grid_s=setting.grid_s,
        probe_c=pool.probe_c[:, index],
        misfit_c=seen.temps_c - predicted,
        seen=seen,
        doubts=tuple(doubts),
        effective=float(1.0 / np.sum(weights**2)),
    )
