"""The posterior of one probe's meat: adaptive importance sampling with linearised proposals.

Round 0 draws from the prior. Small clouds of members then find the posterior's centre by
Gauss-Newton steps, and the next rounds draw around it. All rounds stay in the pool with the weights
of the whole mixture, so what is finally resampled is the posterior of the *nonlinear* model: the
linearisation only says where to look. Where even the last round holds too few effective members,
the likelihood is tempered until enough are left: a wider band rather than a false one.

Source: Cornuet, Marin, Mira, Robert, Adaptive multiple importance sampling, Scand. J. Stat. 39
(2012), from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

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
SCOUTS, SCOUTS_MAX = 40, 5
ROUNDS_MAX = 3
ENOUGH = 90.0
FEWEST = 45.0
MEMBERS = 400
_INFLATE = 1.4
_START_FROM = 12.0
_CLOUD, _CLOSE, _STEP_MAX = 0.3, 0.7, 3.0
_DOUBT_SIGMAS = 4.0
DOUBTS_MIN, DOUBTS_SHARE = 2, 4
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

    def coarser(self) -> Setting:
        """The same on half the steps, for finding the way."""
        if self.grid_s.size < 5:
            return self
        return replace(self, grid_s=np.append(self.grid_s[:-1:2], self.grid_s[-1]))


class _Pool:
    """All members drawn so far: unknowns, predictions, and what they were drawn from."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.z: FloatArray = np.empty((0, DIMENSIONS))
        self.probe_c: FloatArray = np.empty((setting.grid_s.size, 0))
        self.states: list[State] = []
        self._proposals: list[tuple[FloatArray, FloatArray]] = []

    def draw(
        self,
        centre: FloatArray,
        root: FloatArray,
        rng: np.random.Generator,
        cancelled: Callable[[], bool],
    ) -> None:
        """Add one round drawn from the normal with that centre and Cholesky root."""
        drawn = centre + _normals(rng, DRAWS_A_ROUND) @ root.T
        _, probe, state = run_members(self.setting, drawn, cancelled)
        self.z = np.vstack([self.z, drawn])
        self.probe_c = np.hstack([self.probe_c, probe])
        self.states.append(state)
        self._proposals.append((centre, root))

    def predicted(self, seen: Sightings) -> FloatArray:
        """Model at the readings, shape (members, readings)."""
        return at_times(self.setting.grid_s, self.probe_c, seen.times_s).T

    def log_prior_over_proposal(self) -> FloatArray:
        """Log of prior over the mixture of all rounds' proposals, up to a constant."""
        parts = []
        for centre, root in self._proposals:
            scaled = np.linalg.solve(root, (self.z - centre).T)
            log_volume = np.log(np.diag(root)).sum()
            parts.append(-0.5 * np.einsum("ij,ij->j", scaled, scaled) - log_volume)
        stacked = np.array(parts)
        top = stacked.max(axis=0)
        mixture = top + np.log(np.exp(stacked - top).sum(axis=0))
        out: FloatArray = -0.5 * np.einsum("ij,ij->i", self.z, self.z) - mixture
        return out


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
    pool = _Pool(setting)
    pool.draw(np.zeros(DIMENSIONS), np.eye(DIMENSIONS), rng, cancelled)
    if not seen.times_s.size:
        return _resampled(pool, seen, error, (), rng)
    found = _scout(pool, seen, error, rng, cancelled)
    if len(found.doubts) > max(DOUBTS_MIN, seen.times_s.size // DOUBTS_SHARE):
        # so many odd readings are no slips: it is the model that is odd, and they that are right
        found = _scout(pool, seen, error, rng, cancelled, doubting=False)
    centre, root, seen = found.centre, found.root, found.seen
    for _ in range(ROUNDS_MAX):
        pool.draw(centre, np.sqrt(_INFLATE) * root, rng, cancelled)
        log_w = pool.log_prior_over_proposal() + log_likelihood(pool.predicted(seen), seen, error)
        if _effective(log_w) >= ENOUGH:
            break
        centre, root = _moments(pool, seen, error)
    return _resampled(pool, seen, error, found.doubts, rng)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """Where the posterior lies: centre and Cholesky root of its covariance, what to believe."""

    centre: FloatArray
    root: FloatArray
    seen: Sightings
    doubts: tuple[tuple[float, float, float], ...]


def _scout(
    pool: _Pool,
    seen: Sightings,
    error: Discrepancy,
    rng: np.random.Generator,
    cancelled: Callable[[], bool],
    *,
    doubting: bool = True,
) -> _Found:
    """Find the posterior's centre by Gauss-Newton steps on small clouds of members.

    Each cloud, much narrower than the posterior, gives the slopes of all predictions at once; a
    step that made the fit worse is halved.
    """
    doubts: list[tuple[float, float, float]] = []
    log_l = log_likelihood(pool.predicted(seen), seen, error)
    _, weights = _tempered(np.zeros_like(log_l), log_l, _START_FROM)
    centre = weights @ pool.z
    root = np.eye(DIMENSIONS)
    best, best_fit, size = centre, -np.inf, 1.0
    coarse = pool.setting.coarser()
    for _ in range(SCOUTS_MAX):
        cloud = centre + _CLOUD * (_normals(rng, SCOUTS) @ root.T)
        cloud[0] = centre
        _, probe, _ = run_members(coarse, cloud, cancelled)
        predicted = at_times(coarse.grid_s, probe, seen.times_s).T
        line = _line(cloud, predicted)
        if doubting:
            seen, line = _doubt(seen, line, error, doubts)
        predicted = at_times(coarse.grid_s, probe, seen.times_s).T
        fit = float(log_likelihood(predicted[:1], seen, error)[0] - 0.5 * centre @ centre)
        if fit < best_fit - 0.5:
            size *= 0.5
            centre = 0.5 * (best + centre)
            if size < 0.2:
                break
            continue
        best, best_fit = centre, fit
        target, root = _laplace(seen, line, error)
        step = target - centre
        length = float(np.sqrt(step @ step))
        centre = centre + step * min(1.0, _STEP_MAX / max(length, 1e-9))
        if float(np.linalg.norm(np.linalg.solve(root, step))) < _CLOSE:
            best = centre
            break
    return _Found(best, root, seen, tuple(doubts))


def _normals(rng: np.random.Generator, count: int) -> FloatArray:
    """Standard normals, shape (count, DIMENSIONS): antithetic, unit variance, centred."""
    half = rng.standard_normal((count // 2, DIMENSIONS))
    both = np.vstack([half, -half])
    out: FloatArray = both / both.std(axis=0)
    return out


def log_likelihood(predicted_c: FloatArray, seen: Sightings, error: Discrepancy) -> FloatArray:
    """Log likelihood of the readings, up to a constant, for predictions (members, readings)."""
    root = np.linalg.cholesky(error.of_readings(seen))
    misfit = seen.temps_c - predicted_c
    misfit = np.where(np.isfinite(misfit), misfit, 1e3)
    whitened = np.linalg.solve(root, misfit.T)
    out: FloatArray = -0.5 * np.einsum("ij,ij->j", whitened, whitened)
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


def _line(z: FloatArray, predicted_c: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Straight line through predictions: intercept (readings,) and slopes (readings, D)."""
    features = np.column_stack([np.ones(z.shape[0]), z])
    ridge = 1e-9 * np.eye(DIMENSIONS + 1)
    solved = np.linalg.solve(features.T @ features + ridge, features.T @ predicted_c)
    return np.asarray(solved[0], float), np.asarray(solved[1:].T, float)


def _laplace(
    seen: Sightings, line: tuple[FloatArray, FloatArray], error: Discrepancy
) -> tuple[FloatArray, FloatArray]:
    """Centre and Cholesky root of the linearised model's posterior."""
    intercept, slopes = line
    inner = np.linalg.solve(error.of_readings(seen), slopes)
    covariance = np.linalg.inv(np.eye(DIMENSIONS) + slopes.T @ inner)
    centre = covariance @ (inner.T @ (seen.temps_c - intercept))
    return centre, np.asarray(np.linalg.cholesky(0.5 * (covariance + covariance.T)), float)


def _moments(pool: _Pool, seen: Sightings, error: Discrepancy) -> tuple[FloatArray, FloatArray]:
    """Centre and Cholesky root of the pool's weighted members."""
    log_l = log_likelihood(pool.predicted(seen), seen, error)
    _, weights = _tempered(pool.log_prior_over_proposal(), log_l, 4.0 * DIMENSIONS)
    centre = weights @ pool.z
    spread = pool.z - centre
    covariance = (spread * weights[:, None]).T @ spread
    shrunk = 0.9 * covariance + 0.1 * np.diag(np.diag(covariance)) + 1e-6 * np.eye(DIMENSIONS)
    return centre, np.asarray(np.linalg.cholesky(shrunk), float)


def _doubt(
    seen: Sightings,
    line: tuple[FloatArray, FloatArray],
    error: Discrepancy,
    doubts: list[tuple[float, float, float]],
) -> tuple[Sightings, tuple[FloatArray, FloatArray]]:
    """Set aside readings that all others together do not expect, worst first.

    Uses the leave-one-out residuals of the linearised model (Rasmussen and Williams, ch. 5.4).
    """
    intercept, slopes = line
    while seen.times_s.size > 1:
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
        intercept, slopes = intercept[~flags], slopes[~flags]
    return seen, (intercept, slopes)


def _systematic(weights: FloatArray, count: int, rng: np.random.Generator) -> IndexArray:
    """Systematic resampling: `count` members with those weights."""
    places = (np.arange(count) + rng.random()) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), places), weights.size - 1)


def _resampled(
    pool: _Pool,
    seen: Sightings,
    error: Discrepancy,
    doubts: tuple[tuple[float, float, float], ...],
    rng: np.random.Generator,
) -> Posterior:
    log_w = pool.log_prior_over_proposal()
    log_l = np.zeros_like(log_w)
    if seen.times_s.size:
        log_l = log_likelihood(pool.predicted(seen), seen, error)
    if not np.all(np.isfinite(log_w + log_l)):
        raise ForecastFailed("no member of the ensemble gives a finite prediction")
    _, weights = _tempered(log_w, log_l, FEWEST)
    index = _systematic(weights, MEMBERS, rng)
    z, setting = pool.z[index], pool.setting
    return Posterior(
        z=z,
        bodies=bodies_of(setting.plan, setting.start, setting.prior, z),
        state=State.joined(pool.states).chosen(index),
        grid_s=setting.grid_s,
        probe_c=pool.probe_c[:, index],
        misfit_c=seen.temps_c - pool.predicted(seen)[index],
        seen=seen,
        doubts=doubts,
        effective=float(1.0 / np.sum(weights**2)),
    )
