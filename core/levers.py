"""The chance of being ready by the meal, and what would change it.

Each line is the fitted model run ahead under one change (:mod:`core.what_if`), so the lines can be
compared. Ready is at the pull temperature, plus the rest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from core.answers import Arrival
from core.catalogue import POULTRY, cut_named
from core.cook import Cook, EventKind
from core.prior import Prior
from core.what_if import Change, Outcome, WhatIf

PIT_LOW_C, PIT_HIGH_C = 95.0, 205.0
"""Pits between which a lever is looked for (200 to 400 °F; common practice, no source) [°C]."""

MEDIAN_CHANCE, WANTED_CHANCE = 0.5, 0.9
LATER_S = 1200.0
LEAST_RISE_K = 0.5
_GRID, _TRIES, _NEAR = 5, 4, 0.05


class LeverKey(StrEnum):
    """What a cook can do."""

    AS_IT_IS = "as_it_is"
    PIT_MEDIAN = "pit_median"
    PIT_WANTED = "pit_wanted"
    WRAP_NOW = "wrap_now"
    PULL_LOWER = "pull_lower"
    EAT_LATER = "eat_later"


@dataclass(frozen=True, slots=True)
class Lever:
    """One line of the table.

    Attributes
    ----------
    key : LeverKey
    chance : float
        Chance of being ready by the meal.
    ready_low_s, ready_s, ready_high_s : float or None
        10, 50 and 90 % quantiles of the time it is ready, rest included [s from meat-on]; None
        for never.
    pit_c : float or None
        Pit to bring the fire to and hold [°C].
    attainable : bool
        False if no pit between the limits gives the chance: the line then shows the nearest.
    pull_below_k, peak_above_k : float or None
        Pulled so far below the target, and the median peak against the target [K].
    serve_s : float
        The meal that the chance is for [s].
    cautions : tuple of str
        Keys of what must be said beside it.
    """

    key: LeverKey
    chance: float
    ready_low_s: float | None
    ready_s: float | None
    ready_high_s: float | None
    serve_s: float
    pit_c: float | None = None
    attainable: bool = True
    pull_below_k: float | None = None
    peak_above_k: float | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Levers:
    """The table, and what it holds for."""

    now_s: float
    rest_s: float
    levers: tuple[Lever, ...]

    def of(self, key: LeverKey) -> Lever | None:
        """The line of that key, None if it makes no sense in this cook."""
        return next((lever for lever in self.levers if lever.key is key), None)


def rest_of(cook: Cook) -> float:
    """Rest between pull and carving [s]: the plan's, else the cut's usual."""
    planned = cook.plan.rest_s
    return cut_named(cook.plan.cut).rest_s if planned is None else planned


def levers(
    cook: Cook,
    now_s: float,
    *,
    prior: Prior | None = None,
    later_s: float = LATER_S,
    cancelled: Callable[[], bool] = lambda: False,
) -> Levers | None:
    """The table of levers at `now_s`; None without a meal time or once the meat is off the fire.

    Parameters
    ----------
    cook : Cook
    now_s : float
        Seconds from meat-on.
    prior : Prior, optional
        As for :func:`core.forecast.forecast`.
    later_s : float
        How much later the meal of the last line is [s].
    cancelled : callable
    """
    serve_s = cook.plan.serve_s
    known = cook.known_at(now_s)
    if serve_s is None or known.first_event(EventKind.PULLED) is not None:
        return None
    asked = WhatIf(known, now_s, prior, cancelled)
    table = _Table(asked, serve_s, rest_of(cook))
    base = asked.run()
    found = [table.line(LeverKey.AS_IT_IS, base), *table.pits(base)]
    if not _wrapped(known):
        softer = ("softens_skin",) if cut_named(cook.plan.cut).minimum is POULTRY else ()
        wrapped = asked.run(Change(wrap=True))
        found.append(table.line(LeverKey.WRAP_NOW, wrapped, cautions=softer))
    found += table.pull_lower(base)
    found.append(table.line(LeverKey.EAT_LATER, base, serve_s=serve_s + later_s))
    return Levers(now_s, table.rest_s, tuple(found))


def _wrapped(cook: Cook) -> bool:
    wraps = [e.kind for e in cook.events if e.kind in (EventKind.WRAPPED, EventKind.UNWRAPPED)]
    return bool(wraps) and wraps[-1] is EventKind.WRAPPED


@dataclass(frozen=True, slots=True, eq=False)
class _Table:
    """What all lines share."""

    asked: WhatIf
    serve_s: float
    rest_s: float

    def chance(self, finish: Arrival, serve_s: float | None = None) -> float:
        by = self.serve_s if serve_s is None else serve_s
        return finish.chance_by(by - self.rest_s)

    def line(
        self,
        key: LeverKey,
        outcome: Outcome,
        *,
        serve_s: float | None = None,
        pit_c: float | None = None,
        attainable: bool = True,
        cautions: tuple[str, ...] = (),
    ) -> Lever:
        low, middle, high = (outcome.finish.quantile_s(q) for q in (0.1, 0.5, 0.9))
        meal = self.serve_s if serve_s is None else serve_s
        return Lever(
            key=key,
            chance=self.chance(outcome.finish, meal),
            ready_low_s=None if low is None else low + self.rest_s,
            ready_s=None if middle is None else middle + self.rest_s,
            ready_high_s=None if high is None else high + self.rest_s,
            serve_s=meal,
            pit_c=pit_c,
            attainable=attainable,
            cautions=cautions,
        )

    def pits(self, base: Outcome) -> list[Lever]:
        """The pits that give an even chance and the wanted one."""
        if base.finish.reached_s is not None:
            return []
        runs = {
            float(pit): self.asked.run(Change(pit_c=float(pit)))
            for pit in np.linspace(PIT_LOW_C, PIT_HIGH_C, _GRID)
        }
        wanted = ((LeverKey.PIT_MEDIAN, MEDIAN_CHANCE), (LeverKey.PIT_WANTED, WANTED_CHANCE))
        return [self._pit(key, chance, runs) for key, chance in wanted]

    def _pit(self, key: LeverKey, chance: float, runs: dict[float, Outcome]) -> Lever:
        pit, reached = PIT_HIGH_C, False
        for _ in range(_TRIES):
            pit = self._crossing(chance, runs)
            if pit not in runs:
                runs[pit] = self.asked.run(Change(pit_c=pit))
            reached = abs(self.chance(runs[pit].finish) - chance) < _NEAR
            if reached or pit in (PIT_LOW_C, PIT_HIGH_C):
                break
        hot = ("hot_pit",) if pit > self.asked.cook.plan.pit_c + 30.0 else ()
        return self.line(key, runs[pit], pit_c=pit, attainable=reached, cautions=hot)

    def _crossing(self, chance: float, runs: dict[float, Outcome]) -> float:
        """Lowest pit whose chance is as wanted, by a line between the two runs around it."""
        pits = sorted(runs)
        chances = np.maximum.accumulate([self.chance(runs[pit].finish) for pit in pits])
        above = int(np.searchsorted(chances, chance))
        if above == 0:
            return pits[0]
        if above == len(pits):
            return pits[int(np.searchsorted(chances, chances[-1]))]
        low, high = float(chances[above - 1]), float(chances[above])
        share = (chance - low) / (high - low)
        return round(pits[above - 1] + share * (pits[above] - pits[above - 1]), 1)

    def pull_lower(self, base: Outcome) -> list[Lever]:
        """Pulled so low that nine of ten still rise to the target while they rest."""
        if base.rise_k.size == 0:
            return []
        below = float(np.quantile(base.rise_k, 0.1))
        if below < LEAST_RISE_K:
            return []
        outcome = self.asked.run(Change(pull_below_k=below))
        lever = self.line(
            LeverKey.PULL_LOWER, outcome, cautions=("see_target_in_rest", "minimum_holds")
        )
        peak = float(np.median(outcome.rise_k)) - below if outcome.rise_k.size else None
        return [
            Lever(
                lever.key, lever.chance, lever.ready_low_s, lever.ready_s, lever.ready_high_s,
                lever.serve_s, pull_below_k=below, peak_above_k=peak, cautions=lever.cautions,
            )
        ]  # fmt: skip
