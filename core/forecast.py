"""The forecast of a whole cook: the one function the rest of the program calls."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from core.answers import LEVELS, Arrival, Fan, FloatArray, Forecast, Holdback, Rest, Suspect
from core.body import BARE, REFERENCE_C, Happened, cover_named
from core.catalogue import body_of, cut_named
from core.cook import Cook, EventKind, Milestone, Probe
from core.discrepancy import Discrepancy
from core.errors import ForecastFailed, InvalidValue
from core.fire import FirePath, fire_path
from core.fire_outlook import fire_outlook, pit_fan
from core.food import properties
from core.holdback import holdback_of
from core.next_look import next_look
from core.outlook import Outlook, ahead_grid, look_ahead, past_fan
from core.posterior import Posterior, Setting, infer
from core.prior import Prior, book_prior, start_of
from core.sightings import Sightings, sightings

_STEPS_A_DIFFUSION, _STEP_MIN_S, _STEP_MAX_S = 25.0, 15.0, 240.0
_ENOUGH_TO_EXPLAIN = 3
PAST_STEPS_MAX = 100
"""Steps of the past at the most: a body that cooks that long is slow."""

_LONG_SILENCE, _STEPS_READ = 0.6, 0.7
"""Where less than that share of the past was read, that share of the steps goes to what was."""

_TOUCH_C = 0.05  # a reading this close below its threshold has reached it


@dataclass(frozen=True, slots=True, eq=False)
class _ProbeForecast:
    """Everything forecast for one probe."""

    probe: Probe
    posterior: Posterior
    outlook: Outlook
    error: Discrepancy


def forecast(
    cook: Cook,
    now_s: float,
    *,
    prior: Prior | None = None,
    explain: bool = True,
    cancelled: Callable[[], bool] = lambda: False,
) -> Forecast:
    """Forecast a cook from what is known at `now_s`.

    Parameters
    ----------
    cook : Cook
        Plan, probes, readings and events. Anything later than `now_s` is ignored.
    now_s : float
        Seconds from meat-on.
    prior : Prior, optional
        Prior of the unknowns; the book's for the cut if not given.
    explain : bool
        Whether to work out what holds the finish back (a little slower).
    cancelled : callable
        Polled between the stages of the fit.

    Returns
    -------
    Forecast

    Raises
    ------
    ForecastCancelled
        `cancelled` returned true.
    UnknownCut, InvalidValue
        The plan cannot be modelled.
    ForecastFailed
        The fit produced nothing usable.
    """
    if not cook.probes:
        raise InvalidValue("probes", "none", "at least one probe")
    known = cook.known_at(now_s)
    believed = prior if prior is not None else book_prior(cook.plan.cut)
    step_s, error = step_and_error(cook)
    end_s = max(now_s, 0.0)
    ahead = ahead_grid(end_s, step_s)
    fire = fire_path(known, end_s, float(ahead[-1] - end_s))
    parts = [
        _probe_forecast(known, probe, believed, fire, end_s, step_s, error, cancelled)
        for probe in known.probes
    ]
    arrivals = tuple(a for part in parts for a in _arrivals(known, part))
    outlook = fire_outlook(known, fire, end_s)
    return Forecast(
        now_s=now_s,
        arrivals=arrivals,
        fans=(*(_fan(part) for part in parts), pit_fan(fire)),
        fire=outlook,
        next_look=next_look(known, now_s, arrivals),
        rests=tuple(rest for part in parts if (rest := _rest(known, part)) is not None),
        suspects=tuple(s for part in parts for s in _suspects(part)),
        holdbacks=_holdbacks(known, parts, believed, fire, step_s) if explain else (),
        readings_used=sum(part.posterior.seen.times_s.size for part in parts),
    )


def hindcast(
    cook: Cook,
    *,
    at_s: tuple[float, ...] | None = None,
    prior: Prior | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> tuple[Forecast, ...]:
    """What the forecast would have said at each reading time (or at the times `at_s`).

    Parameters
    ----------
    cook : Cook
    at_s : tuple of float, optional
        Times from meat-on [s]; the distinct times of the readings if not given.
    prior : Prior, optional
    cancelled : callable
    """
    times = at_s if at_s is not None else tuple(sorted({r.elapsed_s for r in cook.readings}))
    return tuple(forecast(cook, t, prior=prior, explain=False, cancelled=cancelled) for t in times)


def step_and_error(cook: Cook) -> tuple[float, Discrepancy]:
    """Time step [s] and model error that suit the planned body."""
    body = body_of(cook.plan)
    food = properties(cut_named(cook.plan.cut).composition, REFERENCE_C)
    alpha = float(food.diffusivity)
    step = body.half_thickness_m**2 / alpha / _STEPS_A_DIFFUSION
    return (
        float(np.clip(step, _STEP_MIN_S, _STEP_MAX_S)),
        Discrepancy.of_body(body.half_thickness_m, alpha),
    )


def grid_of(end_s: float, step_s: float, last_s: float | None = None) -> FloatArray:
    """Times of the past, from meat-on to `end_s` [s].

    Equally spaced; where nothing was read for most of it, the part up to the last reading at
    `last_s` and the part after it each for itself, so that the readings keep short steps.
    """
    steps = min(int(np.ceil(end_s / step_s)), PAST_STEPS_MAX)
    if last_s is None or not 0.0 < last_s < _LONG_SILENCE * end_s:
        return np.linspace(0.0, end_s, steps + 1)
    read = min(int(np.ceil(last_s / step_s)), int(_STEPS_READ * PAST_STEPS_MAX))
    silent = min(int(np.ceil((end_s - last_s) / step_s)), PAST_STEPS_MAX - read)
    after = np.linspace(last_s, end_s, silent + 1)[1:]
    return np.concatenate([np.linspace(0.0, last_s, read + 1), after])


def happened_of(cook: Cook) -> Happened:
    """What the events say was done to the meat."""
    wraps = (EventKind.WRAPPED, EventKind.UNWRAPPED)
    wets = (EventKind.SPRITZED, EventKind.GLAZED)
    pulled = cook.first_event(EventKind.PULLED)
    return Happened(
        wraps=tuple(
            (e.elapsed_s, cover_named(e.note) if e.kind is EventKind.WRAPPED else BARE)
            for e in cook.events
            if e.kind in wraps
        ),
        spritzes=tuple(e.elapsed_s for e in cook.events if e.kind in wets),
        pulled_s=pulled.elapsed_s if pulled else None,
    )


def _probe_forecast(
    cook: Cook,
    probe: Probe,
    prior: Prior,
    fire: FirePath,
    end_s: float,
    step_s: float,
    error: Discrepancy,
    cancelled: Callable[[], bool],
) -> _ProbeForecast:
    seen = sightings(cook, probe.name)
    happened = happened_of(cook)
    grid = grid_of(end_s, step_s, seen.last_s)
    setting = Setting(cook.plan, start_of(probe, seen.first), prior, fire, happened, grid)
    posterior = infer(setting, seen, error, cancelled)
    outlook = look_ahead(posterior, probe, fire, happened, error, step_s, cancelled)
    return _ProbeForecast(probe, posterior, outlook, error)


def _reached_s(seen: Sightings, threshold_c: float) -> float | None:
    """Time at which the believed readings passed a threshold, None if they have not."""
    above = np.flatnonzero(seen.temps_c >= threshold_c - _TOUCH_C)
    if not above.size:
        return None
    i = int(above[0])
    if i == 0 or seen.temps_c[i] <= seen.temps_c[i - 1]:
        return float(seen.times_s[i])
    share = (threshold_c - seen.temps_c[i - 1]) / (seen.temps_c[i] - seen.temps_c[i - 1])
    gap = seen.times_s[i] - seen.times_s[i - 1]
    return float(seen.times_s[i - 1] + min(max(share, 0.0), 1.0) * gap)


_SETTLED_BY: Mapping[Milestone, EventKind] = {
    Milestone.GLAZE: EventKind.GLAZED,
    Milestone.WRAP: EventKind.WRAPPED,
}


def _arrivals(cook: Cook, part: _ProbeForecast) -> list[Arrival]:
    out = []
    for milestone, draws in part.outlook.crossed_s.items():
        threshold = part.probe.threshold_c(milestone)
        if threshold is None:
            continue
        reached = _reached_s(part.posterior.seen, threshold)
        event = cook.first_event(_SETTLED_BY[milestone]) if milestone in _SETTLED_BY else None
        if event is not None:
            reached = event.elapsed_s if reached is None else min(reached, event.elapsed_s)
        if reached is not None:
            draws = np.full_like(draws, reached)
        out.append(Arrival(part.probe.name, milestone, threshold, draws, reached))
    reached = _rested_s(cook, part.posterior.seen)
    rested = part.outlook.rested_s
    if np.isnan(rested).any():
        raise ForecastFailed("the carryover of some member is not a number")
    draws = np.full_like(rested, reached) if reached is not None else rested
    out.append(Arrival(part.probe.name, Milestone.RESTED, None, draws, reached))
    return out


def _rested_s(cook: Cook, seen: Sightings) -> float | None:
    """Time of the carryover peak if the readings after the pull fall from it, or it is served."""
    pulled, served = (cook.first_event(k) for k in (EventKind.PULLED, EventKind.SERVED))
    if pulled is None:
        return None
    after = np.flatnonzero(seen.times_s >= pulled.elapsed_s)
    if served is not None:
        seen_top = int(after[np.argmax(seen.temps_c[after])]) if after.size else None
        return float(seen.times_s[seen_top]) if seen_top is not None else served.elapsed_s
    if after.size < 2:
        return None
    top = int(after[np.argmax(seen.temps_c[after])])
    return float(seen.times_s[top]) if seen.temps_c[after[-1]] < seen.temps_c[top] - 0.4 else None


def _fan(part: _ProbeForecast) -> Fan:
    t, fitted = past_fan(part.posterior, part.error)
    keep = t < part.outlook.grid_s[0]
    grid = np.concatenate([t[keep], part.outlook.grid_s])
    values = np.vstack([fitted[keep], part.outlook.shown_c])
    return Fan(part.probe.name, grid, np.quantile(values, LEVELS, axis=1))


def _rest(cook: Cook, part: _ProbeForecast) -> Rest | None:
    peak = part.outlook.peak_c[np.isfinite(part.outlook.rested_s)]
    if not peak.size:
        return None
    low, middle, high = (float(v) for v in np.quantile(peak, (0.1, 0.5, 0.9)))
    target = part.probe.target_c
    pulled = cook.first_event(EventKind.PULLED) is not None
    return Rest(part.probe.name, low, middle, high, None if pulled else 2.0 * target - middle)


def _suspects(part: _ProbeForecast) -> list[Suspect]:
    seen, name = part.posterior.seen, part.probe.name
    doubts = {(t, c): expected for t, c, expected in part.posterior.doubts}
    out = []
    for at, found in seen.doubted:
        row = int(np.argmin(np.abs(part.posterior.grid_s - at)))
        model: FloatArray = part.posterior.probe_c[row]
        out.append(Suspect(at, name, found, doubts.get((at, found), float(np.median(model)))))
    return out


def _holdbacks(
    cook: Cook, parts: list[_ProbeForecast], prior: Prior, fire: FirePath, step_s: float
) -> tuple[Holdback, ...]:
    found = []
    for part in parts:
        if part.posterior.seen.times_s.size >= _ENOUGH_TO_EXPLAIN:
            seen = part.posterior.seen
            setting = Setting(
                cook.plan, start_of(part.probe, seen.first), prior, fire, happened_of(cook),
                part.posterior.grid_s,
            )  # fmt: skip
            explained = holdback_of(setting, part.posterior, part.probe, step_s)
            found.append(explained)
    return tuple(replace(h) for h in found if h is not None)
