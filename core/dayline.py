"""The day counted back from the meal, on the prior forecast.

The meat goes on so early that it is rested and carved by the meal with the chance that was asked
for: early meat can be held hot, late meat cannot be hurried. Everything before follows from that,
everything after from the forecast's quantiles. What does not fit is said with what can be done.
Steps that were moved or done stand where the cook has put them, and the rest is laid out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from core.answers import Arrival, Forecast
from core.catalogue import cut_named
from core.cook import Cook, Milestone, Plan
from core.day_after import after_meat_on, shared_steps
from core.day_before import before
from core.day_conflicts import (
    below_minimum,
    fire_early,
    late_conflict,
    long_hold,
    never_reached,
    pits_differ,
    running_late,
    wish_conflicts,
)
from core.day_thaw import READY_S, thawed_at_best
from core.day_times import (
    LIGHT_HIGH_S,
    LIGHT_LOW_S,
    carve_span_s,
    ceiled,
    floored,
    later,
    needed_s,
    seconds_between,
)
from core.day_values import (
    Conflict,
    Dayline,
    DayWish,
    LivePiece,
    Piece,
    PieceDay,
    Step,
    StepKey,
)
from core.forecast import forecast
from core.thaw import MeatState

Forecaster = Callable[[Cook], Forecast]
CAUTIONS = (
    "raw_meat_cold", "coldest_spot", "local_codes", "charcoal_outdoors", "hot_coals_and_fat",
)  # fmt: skip
PAST_ONCE_ON = frozenset({
    StepKey.THAW, StepKey.THAW_FINISH, StepKey.BRINE_IN, StepKey.BRINE_OUT, StepKey.DRY_SALT,
    StepKey.RUB,
})  # fmt: skip
"""What is behind a piece that is on the fire."""

PASSES = frozenset({
    StepKey.LIGHT, StepKey.FIRE_STEADY, StepKey.SMOKE, StepKey.FIRST_LOOK, StepKey.MEAT_LOOK,
    StepKey.FINISH_LOOK,
})  # fmt: skip
"""Steps that nobody waits for any more once their time has gone and the meat is on."""

BEHIND_THE_MEAL = PASSES | {
    StepKey.GLAZE, StepKey.WRAP, StepKey.PULL, StepKey.REST, StepKey.HOLD, StepKey.CARVE,
}  # fmt: skip
"""Steps that are behind once it is eaten, whether anybody ticked them or not."""

_ORDER = {key: place for place, key in enumerate(StepKey)}


def prior_forecast(cook: Cook) -> Forecast:
    """The book's forecast of a cook that has not begun."""
    return forecast(cook, 0.0, explain=False)


def plan_day(
    wish: DayWish,
    *,
    forecast_of: Forecaster = prior_forecast,
    live: Mapping[str, LivePiece] | None = None,
) -> Dayline:
    """Lay out the day.

    Parameters
    ----------
    wish : DayWish
    forecast_of : callable
        Forecast of a cook without readings; tests and personal priors put their own in.
    live : mapping of str to LivePiece, optional
        Pieces that are on the fire, by name: their own forecast takes the place of the book's.

    Raises
    ------
    UnknownCut, InvalidValue, ForecastFailed
    """
    meal = wish.pin(StepKey.EAT)
    if meal is not None and not meal.done:
        wish = replace(wish, serve_at=meal.at.astimezone(wish.zone))
    live = live or {}
    on_pins = (wish.pin(StepKey.MEAT_ON, piece.name) for piece in wish.pieces)
    hot = bool(live) or any(pin is not None and pin.done for pin in on_pins)
    conflicts = wish_conflicts(wish)
    days: list[PieceDay] = []
    steps: list[Step] = []
    for piece in wish.pieces:
        planner = _Planner(wish, piece, forecast_of, live.get(piece.name), hot)
        day, own, found = planner.plan()
        days.append(day)
        steps += own
        conflicts += found
    conflicts += pits_differ(wish, tuple(days), forecast_of)
    conflicts += fire_early(wish, tuple(days))
    steps += shared_steps(wish, tuple(days), tuple(steps))
    on = any(day.on for day in days)
    stood = (_stood(step, wish) for step in steps)
    kept = (step for step in stood if not _gone(step, wish, on=on))
    ordered = sorted(kept, key=lambda s: (s.at, _ORDER[s.key]))
    return Dayline(wish, tuple(days), tuple(ordered), tuple(conflicts), CAUTIONS)


def _gone(step: Step, wish: DayWish, *, on: bool) -> bool:
    """Whether nobody waits for a step any more that was neither ticked nor moved."""
    if step.pin is not None:
        return False
    meal = wish.pin(StepKey.EAT)
    if meal is not None and meal.done and step.key in BEHIND_THE_MEAL:
        return True
    return on and step.key in PASSES and step.at < wish.now


def _stood(step: Step, wish: DayWish) -> Step:
    """The step where the cook has put it, if that is so."""
    pin = wish.pins.get(step.id)
    return step if pin is None else replace(step, at=pin.at, early=pin.at, late=pin.at, pin=pin)


@dataclass(frozen=True, slots=True)
class _Planner:
    """Lays out one piece."""

    wish: DayWish
    piece: Piece
    forecast_of: Forecaster
    live: LivePiece | None
    hot: bool
    """Whether the fire has meat on it already."""

    def plan(self) -> tuple[PieceDay, list[Step], list[Conflict]]:
        """The piece's cook, its steps, and what stands in its way."""
        wish, piece = self.wish, self.piece
        plan = self._plan()
        told = self.forecast_of(Cook(plan, piece.probes)) if self.live is None else self.live.told
        rest_s = cut_named(plan.cut).rest_s if plan.rest_s is None else plan.rest_s
        carve_s = carve_span_s(wish.people)
        pin, pulled = (wish.pin(key, piece.name) for key in (StepKey.MEAT_ON, StepKey.PULL))
        wished = self._meat_on(told.finish, rest_s + carve_s)
        on_at = self._on_at(wished)
        finish = told.finish
        if pulled is not None and pulled.done:
            finish = _certain(finish, max(seconds_between(on_at, pulled.at), 0.0))
        serve_s = seconds_between(on_at, wish.serve_at)
        day = PieceDay(
            piece=piece,
            plan=replace(plan, serve_s=serve_s),
            on_at=on_at,
            finish=finish,
            rest_s=rest_s,
            carve_s=carve_s,
            chance=finish.chance_by(serve_s - rest_s - carve_s),
            thaw=None,
            on=self.live is not None or (pin is not None and pin.done),
        )
        if day.on:
            own, found = self._behind(), running_late(wish, day, over=self._over())
        else:
            prepared = before(replace(piece, plan=plan), on_at, wish)
            day = replace(day, thaw=prepared.thaw)
            own = list(prepared.steps)
            found = [*prepared.conflicts, *self._ahead(day, wished)]
        found += below_minimum(piece)
        return day, [*own, *after_meat_on(wish, day, told)], found

    def _on_at(self, wished: datetime) -> datetime:
        """When the meat goes on, or went: where it is, where it was put, or as early as it can."""
        pin = self.wish.pin(StepKey.MEAT_ON, self.piece.name)
        if self.live is not None:
            return self.live.on_at
        if pin is not None:
            return pin.at
        if wished >= self._earliest(LIGHT_LOW_S):
            return wished
        return ceiled(max(self._earliest(LIGHT_HIGH_S), wished))

    def _plan(self) -> Plan:
        """The piece's plan on the one fire."""
        plan = replace(self.piece.plan, pit_c=self.wish.fire_c, serve_s=None)
        if plan.pit_c != self.piece.plan.pit_c:
            plan = replace(plan, pit_low_c=None, pit_high_c=None)
        return plan

    def _over(self) -> bool:
        served = self.wish.pin(StepKey.EAT)
        return (self.live is not None and self.live.over) or (served is not None and served.done)

    def _behind(self) -> list[Step]:
        """What was done before the fire, as far as it was said."""
        done = []
        for key in PAST_ONCE_ON:
            pin = self.wish.pin(key, self.piece.name)
            if pin is not None and pin.done:
                done.append(Step(key, pin.at, pin.at, pin.at, self.piece.name))
        return done

    def _ahead(self, day: PieceDay, wished: datetime) -> list[Conflict]:
        """What stands in the way of a piece that is not on yet."""
        found = never_reached(self.wish, day, self.forecast_of)
        if day.on_at > wished:
            return [*found, late_conflict(self.wish, day, wished, self.forecast_of)]
        return [*found, *long_hold(self.wish, day, self.forecast_of)]

    def _meat_on(self, finish: Arrival, after_s: float) -> datetime:
        """Latest five-minute mark that gives the wanted chance, or the best there is."""
        most = 0.98 * (1.0 - finish.probability_never)
        enough = needed_s(finish, min(self.wish.chance, most))
        return floored(later(self.wish.serve_at, -after_s - (enough or 0.0)))

    def _earliest(self, light_s: float) -> datetime:
        """Earliest that the meat can go on: the fire lit now or when it was, and thawed."""
        wish = self.wish
        lit, steady = wish.pin(StepKey.LIGHT), wish.pin(StepKey.FIRE_STEADY)
        fire = later(wish.now if lit is None else lit.at, light_s)
        if self.hot:
            fire = wish.now
        elif steady is not None:
            fire = steady.at
        at_least = max(fire, wish.now)
        if self.piece.state is MeatState.THAWED:
            return at_least
        return max(at_least, later(thawed_at_best(self.piece, wish), READY_S))


def _certain(finish: Arrival, at_s: float) -> Arrival:
    """The finish of meat that was taken off the fire."""
    return Arrival(finish.probe, Milestone.TARGET, finish.threshold_c,
                   np.full_like(finish.draws_s, at_s), at_s)  # fmt: skip
