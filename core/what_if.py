"""The same fitted cook run ahead under another fire, another cover or another pull.

The fit is the dear part of a forecast, the run ahead the cheap one. A :class:`WhatIf` fits each
probe once and then answers as many questions as are asked, with the same random numbers, so that
two answers differ by the change alone. Every other module asks here and knows nothing of the fit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from core.answers import Arrival, FloatArray
from core.body import FOIL, Happened
from core.cook import Cook, EventKind, Milestone, Probe
from core.errors import InvalidValue
from core.fire import FirePath, fire_path
from core.forecast import grid_of, happened_of, step_and_error
from core.outlook import ahead_grid, look_ahead
from core.posterior import Posterior, Setting, infer
from core.prior import Prior, book_prior, start_of
from core.sightings import sightings

FIRE_FOLLOWS_S = 900.0
"""Time constant in which a fire follows its vents (common practice, no source) [s]."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is done differently from now on; nothing by default.

    Attributes
    ----------
    pit_c : float or None
        Gauge temperature that the fire is brought to and held at [°C].
    wrap : bool
        Whether the meat is wrapped in foil now.
    pull_below_k : float
        By how much lower than its target each probe is pulled [K].
    """

    pit_c: float | None = None
    wrap: bool = False
    pull_below_k: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What follows from a change.

    Attributes
    ----------
    finish : Arrival
        When the last probe is at its pull temperature.
    rise_k : array
        Carryover of the probe that is last at the median, draws [K]; empty if it never gets there.
    """

    finish: Arrival
    rise_k: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Fitted:
    probe: Probe
    posterior: Posterior
    done_s: float | None


class WhatIf:
    """One cook as known at one time, fitted, to be run ahead under changes.

    Parameters
    ----------
    cook : Cook
    now_s : float
        Seconds from meat-on; anything later is ignored.
    prior : Prior, optional
        The book's for the cut if not given.
    cancelled : callable
        Polled as in :func:`core.forecast.forecast`.

    Raises
    ------
    InvalidValue, UnknownCut, ForecastFailed, ForecastCancelled
    """

    def __init__(
        self,
        cook: Cook,
        now_s: float,
        prior: Prior | None = None,
        cancelled: Callable[[], bool] = lambda: False,
    ) -> None:
        if not cook.probes:
            raise InvalidValue("probes", "none", "at least one probe")
        self.cook, self.now_s = cook.known_at(now_s), max(now_s, 0.0)
        self._cancelled = cancelled
        self._step_s, self._error = step_and_error(self.cook)
        ahead = ahead_grid(self.now_s, self._step_s)
        self._fire = fire_path(self.cook, self.now_s, float(ahead[-1] - self.now_s))
        self._happened = happened_of(self.cook)
        believed = prior if prior is not None else book_prior(cook.plan.cut)
        self._fitted = tuple(self._fit(probe, believed) for probe in self.cook.probes)

    @property
    def pit_c(self) -> float:
        """Gauge temperature now, by the fire model [°C]."""
        return float(np.interp(self.now_s, self._fire.knots_s, self._fire.mean_c))

    def run(self, change: Change = Change()) -> Outcome:
        """The outcome of one change."""
        fire = self._fire if change.pit_c is None else held_at(self._fire, self.now_s, change.pit_c)
        happened = self._happened
        if change.wrap:
            happened = replace(happened, wraps=(*happened.wraps, (self.now_s, FOIL)))
        return _last_of([self._run_one(part, fire, happened, change) for part in self._fitted])

    def _fit(self, probe: Probe, prior: Prior) -> _Fitted:
        seen = sightings(self.cook, probe.name)
        grid = grid_of(self.now_s, self._step_s, seen.last_s)
        setting = Setting(
            self.cook.plan, start_of(probe, seen.first), prior, self._fire, self._happened, grid
        )
        posterior = infer(setting, seen, self._error, self._cancelled)
        above = posterior.seen.times_s[posterior.seen.temps_c >= probe.target_c]
        pulled = self.cook.first_event(EventKind.PULLED)
        done = float(above[0]) if above.size else (pulled.elapsed_s if pulled else None)
        return _Fitted(probe, posterior, done)

    def _run_one(
        self, part: _Fitted, fire: FirePath, happened: Happened, change: Change
    ) -> Outcome:
        pull_c = part.probe.target_c - change.pull_below_k
        if part.done_s is not None:
            draws = np.full(part.posterior.z.shape[0], part.done_s)
            done = Arrival(part.probe.name, Milestone.TARGET, pull_c, draws, part.done_s)
            return Outcome(done, np.empty(0))
        probe = replace(part.probe, target_c=pull_c)
        ahead = look_ahead(
            part.posterior, probe, fire, happened, self._error, self._step_s, self._cancelled
        )
        crossed = np.maximum(ahead.crossed_s[Milestone.TARGET], self.now_s)
        rise = ahead.peak_c[np.isfinite(ahead.rested_s)] - pull_c
        return Outcome(Arrival(probe.name, Milestone.TARGET, pull_c, crossed), rise)


def held_at(fire: FirePath, now_s: float, pit_c: float) -> FirePath:
    """The same fire brought to `pit_c` from `now_s` on, with its uncertainty as it was."""
    since = fire.knots_s - now_s
    here = float(np.interp(now_s, fire.knots_s, fire.mean_c))
    ahead = pit_c + (here - pit_c) * np.exp(-np.maximum(since, 0.0) / FIRE_FOLLOWS_S)
    return replace(fire, mean_c=np.where(since > 0.0, ahead, fire.mean_c))


def _last_of(parts: list[Outcome]) -> Outcome:
    """The whole cook: draw by draw, the last of its probes (as :attr:`Forecast.finish`)."""
    if len(parts) == 1:
        return parts[0]
    rng = np.random.default_rng(len(parts))
    draws = np.max([rng.permutation(p.finish.draws_s) for p in parts], axis=0)
    last = max(parts, key=lambda p: float(np.median(p.finish.draws_s)))
    return Outcome(replace(last.finish, draws_s=draws), last.rise_k)
