"""From the posterior ahead: when each milestone is passed, the fan, the rest and its peak."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray, IndexArray
from core.body import (
    BARE,
    FOIL,
    ROOM_C,
    Cover,
    Happened,
    State,
    Stepper,
    Surroundings,
    advance,
    loosened,
)
from core.cook import Milestone, Probe
from core.discrepancy import Discrepancy
from core.errors import ForecastCancelled
from core.fire import FirePath
from core.posterior import Posterior
from core.prior import pit_unknowns

_STRETCH = (1.0, 1.0, 1.5, 2.5, 4.0, 7.0, 12.0, 20.0)
_STEPS_A_PHASE = 14
_REST_STEPS = 36
_WRAP_PATIENCE_S = 2700.0
"""A planned wrap that is this long overdue is taken as given up [s]."""

_SEED = 7


def ahead_grid(now_s: float, step_s: float) -> FloatArray:
    """Times from `now_s` on, in phases of growing steps [s]."""
    steps = np.repeat(np.array(_STRETCH) * step_s, _STEPS_A_PHASE)
    return now_s + np.concatenate([[0.0], np.cumsum(steps)])


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """The members' future.

    Attributes
    ----------
    grid_s : array, shape (m,)
        From the last believed reading (or meat-on) on [s].
    shown_c : array, shape (m, n)
        What the probe will show, the model's error included [°C].
    crossed_s : dict of milestone to array, shape (n,)
        First passage of each planned threshold; inf for never.
    rested_s, peak_c : array, shape (n,)
        Time and temperature of the peak after the pull.
    """

    grid_s: FloatArray
    shown_c: FloatArray
    crossed_s: dict[Milestone, FloatArray]
    rested_s: FloatArray
    peak_c: FloatArray


@dataclass(slots=True, eq=False)
class _Run:
    """What the walk ahead has collected so far."""

    shown: list[FloatArray]
    wrapped: FloatArray  # 0 or 1: whether the planned wrap is on
    at_target: State
    pulled_s: FloatArray


def look_ahead(
    posterior: Posterior,
    probe: Probe,
    fire: FirePath,
    happened: Happened,
    error: Discrepancy,
    step_s: float,
    cancelled: Callable[[], bool],
) -> Outlook:
    """Run every member on from now until well after its target."""
    now = float(posterior.grid_s[-1])
    rng = np.random.default_rng(_SEED)
    grid = ahead_grid(now, step_s)
    n = posterior.z.shape[0]
    middles = 0.5 * (grid[1:] + grid[:-1])
    normals = rng.standard_normal((fire.knots_s.size, n))
    grate = fire.sample(middles, pit_unknowns(posterior.z), normals) + posterior.bodies.offset_c
    whims = rng.standard_normal((n,))
    offsets = _error_paths(posterior, error, grid, whims)
    run = _Run(
        shown=[posterior.probe_c[-1] + offsets[0]],
        wrapped=np.zeros(n),
        at_target=posterior.state.chosen(np.arange(n)),
        pulled_s=np.full(n, np.inf),
    )
    _walk(posterior, probe, happened, run, grid, grate, offsets, cancelled)
    since, before = _since_last_reading(posterior, error, whims)
    full_grid = np.concatenate([since, grid[: len(run.shown)]])
    shown = np.vstack([*before, *run.shown]) if len(before) else np.vstack(run.shown)
    crossed = {
        milestone: first_passage(full_grid, shown, threshold)
        for milestone in (Milestone.GLAZE, Milestone.WRAP, Milestone.TARGET)
        if (threshold := probe.threshold_c(milestone)) is not None
    }
    if happened.resting_at(now):
        rested, peak = _peak_since(full_grid, shown)
    else:
        rested, peak = _rest(posterior, run, crossed[Milestone.TARGET], probe.target_c)
    return Outlook(full_grid, shown, crossed, rested, peak)


def _error_paths(
    posterior: Posterior, error: Discrepancy, t_s: FloatArray, normals: FloatArray
) -> FloatArray:
    """The model's error for each member, shape (len(t_s), n): one smooth path a member."""
    mean, sd = error.carried(posterior.seen, posterior.misfit_c, t_s)
    return mean + sd[:, None] * normals


def _since_last_reading(
    posterior: Posterior, error: Discrepancy, whims: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Grid and shown temperatures between the last reading and now (now left out)."""
    last = posterior.seen.last_s or 0.0
    rows = np.flatnonzero((posterior.grid_s >= last) & (posterior.grid_s < posterior.grid_s[-1]))
    t = posterior.grid_s[rows]
    if not rows.size:
        return t, np.empty((0, posterior.z.shape[0]))
    return t, posterior.probe_c[rows] + _error_paths(posterior, error, t, whims)


def _walk(
    posterior: Posterior,
    probe: Probe,
    happened: Happened,
    run: _Run,
    grid: FloatArray,
    grate: FloatArray,
    offsets: FloatArray,
    cancelled: Callable[[], bool],
) -> None:
    """Step the members through `grid`, wrapping each as planned, until all are done."""
    bodies, state = posterior.bodies, posterior.state
    resting = float(happened.resting_at(float(grid[0])))
    wrap_c = _wrap_still_planned(posterior, probe, happened)
    room = np.full_like(bodies.start_c, ROOM_C)
    worn = loosened(happened.cover_at(float(grid[0])), bodies)
    walker = Stepper(bodies)
    for i in range(grid.size - 1):
        duration = float(grid[i + 1] - grid[i])
        step = walker.step(duration, state)
        if i % _STEPS_A_PHASE == 0 and cancelled():
            raise ForecastCancelled
        if wrap_c is not None:
            run.wrapped = np.maximum(run.wrapped, run.shown[-1] >= wrap_c)
        cover = worn if wrap_c is None else _partly(run.wrapped, loosened(FOIL, bodies))
        around = Surroundings(room if resting else grate[i], cover, resting)
        state = advance(bodies, state, step, duration, around)
        shown = bodies.shown_c(state) + offsets[i + 1]
        run.shown.append(shown)
        fresh = np.flatnonzero((shown >= probe.target_c) & ~np.isfinite(run.pulled_s))
        if fresh.size:
            _keep(run.at_target, state, fresh)
            run.pulled_s[fresh] = grid[i + 1]
        if i >= 2 * _STEPS_A_PHASE and np.isfinite(run.pulled_s).all() and not resting:
            break


def _partly(wrapped: FloatArray, cover: Cover) -> Cover:
    """Each member's cover, where some are wrapped already and others are not."""
    return Cover(
        1.0 + wrapped * (cover.convection - 1.0),
        1.0 + wrapped * (cover.radiation - 1.0),
        1.0 + wrapped * (cover.leak - 1.0),
    )


def _keep(kept: State, state: State, index: IndexArray) -> None:
    """Copy the members at `index` from `state` into `kept`."""
    kept.amplitudes[:, index] = state.amplitudes[:, index]
    kept.surface_c[index] = state.surface_c[index]
    kept.scaled_flux[index] = state.scaled_flux[index]
    kept.evaporated_j[index] = state.evaporated_j[index]
    if state.film_j is not None and kept.film_j is not None:
        kept.film_j[index] = state.film_j[index]


def _wrap_still_planned(posterior: Posterior, probe: Probe, happened: Happened) -> float | None:
    """Trigger of a wrap that is still to come [°C], None if it is done, given up or unplanned."""
    if probe.wrap_c is None or happened.wraps or happened.pulled_s is not None:
        return None
    seen = posterior.seen
    past = seen.times_s[seen.temps_c >= probe.wrap_c]
    if past.size and float(posterior.grid_s[-1]) - float(past[0]) > _WRAP_PATIENCE_S:
        return None
    return probe.wrap_c


def first_passage(grid_s: FloatArray, shown_c: FloatArray, threshold_c: float) -> FloatArray:
    """Time at which each member first shows `threshold_c`, shape (n,); inf for never."""
    above = shown_c >= threshold_c
    row = np.argmax(above, axis=0)
    columns = np.arange(shown_c.shape[1])
    ever = above[row, columns]
    prev = np.maximum(row - 1, 0)
    low, high = shown_c[prev, columns], shown_c[row, columns]
    rise = np.where(high > low, high - low, 1.0)
    share = np.clip((threshold_c - low) / rise, 0.0, 1.0)
    when = grid_s[prev] + share * (grid_s[row] - grid_s[prev])
    return np.where(ever, when, np.inf)


def _rest(
    posterior: Posterior, run: _Run, crossed_s: FloatArray, target_c: float
) -> tuple[FloatArray, FloatArray]:
    """Time and height of the carryover peak of members pulled at their target."""
    bodies = posterior.bodies
    diffusion_s = float(np.median(bodies.half_thickness_m**2 / bodies.diffusivity))
    duration = float(np.clip(0.15 * diffusion_s, 1200.0, 10800.0)) / _REST_STEPS
    step = bodies.step(duration, run.at_target)
    room = np.full_like(bodies.start_c, ROOM_C)
    around = Surroundings(room, BARE, 1.0)
    state = run.at_target
    first = bodies.shown_c(state)
    path = [first]
    for _ in range(_REST_STEPS):
        state = advance(bodies, state, step, duration, around)
        path.append(bodies.shown_c(state))
    temps = np.array(path)
    best = np.argmax(temps, axis=0)
    rise = temps[best, np.arange(best.size)] - first
    return crossed_s + best * duration, target_c + rise


def _peak_since(grid_s: FloatArray, shown_c: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Time and height of the highest temperature still to come."""
    best = np.argmax(shown_c, axis=0)
    return grid_s[best], shown_c[best, np.arange(best.size)]


def past_fan(
    posterior: Posterior, error: Discrepancy, rows_max: int = 60
) -> tuple[FloatArray, FloatArray]:
    """Times and fitted temperatures, shape (k, n), of the members up to the last reading."""
    last = posterior.seen.last_s or 0.0
    count = int(np.searchsorted(posterior.grid_s, last))
    rows = np.unique(np.linspace(0, max(count - 1, 0), min(rows_max, max(count, 1))).astype(int))
    t = posterior.grid_s[rows]
    normals = np.random.default_rng(_SEED).standard_normal((posterior.z.shape[0],))
    return t, posterior.probe_c[rows] + _error_paths(posterior, error, t, normals)
