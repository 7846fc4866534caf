"""The day counted back from the meal, on the prior forecast.

The meat goes on so early that it is rested and carved by the meal with the chance that was asked
for: early meat can be held hot, late meat cannot be hurried. Everything before follows from that,
everything after from the forecast's quantiles. What does not fit is said with what can be done.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from core.answers import Arrival, Forecast
from core.catalogue import cut_named
from core.cook import Cook
from core.day_after import after_meat_on, shared_steps
from core.day_before import READY_S, before
from core.day_conflicts import (
    below_minimum,
    late_conflict,
    long_hold,
    never_reached,
    wish_conflicts,
)
from core.day_times import (
    LIGHT_HIGH_S,
    carve_span_s,
    ceiled,
    floored,
    later,
    needed_s,
    seconds_between,
)
from core.day_values import Conflict, Dayline, DayWish, Piece, PieceDay, Step, StepKey
from core.forecast import forecast
from core.thaw import MeatState, ThawMethod, thaw_time

Forecaster = Callable[[Cook], Forecast]
CAUTIONS = (
    "raw_meat_cold", "coldest_spot", "local_codes", "charcoal_outdoors", "hot_coals_and_fat",
)  # fmt: skip
_ORDER = {key: place for place, key in enumerate(StepKey)}


def prior_forecast(cook: Cook) -> Forecast:
    """The book's forecast of a cook that has not begun."""
    return forecast(cook, 0.0, explain=False)


def plan_day(wish: DayWish, *, forecast_of: Forecaster = prior_forecast) -> Dayline:
    """Lay out the day.

    Parameters
    ----------
    wish : DayWish
    forecast_of : callable
        Forecast of a cook without readings; tests and personal priors put their own in.

    Raises
    ------
    UnknownCut, InvalidValue, ForecastFailed
    """
    pit_c = wish.pieces[0].plan.pit_c
    conflicts = wish_conflicts(wish)
    days: list[PieceDay] = []
    steps: list[Step] = []
    for piece in wish.pieces:
        day, own, found = _plan_piece(wish, piece, pit_c, forecast_of)
        days.append(day)
        steps += own
        conflicts += found
    steps += shared_steps(wish, tuple(days), tuple(steps))
    ordered = sorted(steps, key=lambda s: (s.at, _ORDER[s.key]))
    return Dayline(wish, tuple(days), tuple(ordered), tuple(conflicts), CAUTIONS)


def _plan_piece(
    wish: DayWish, piece: Piece, pit_c: float, forecast_of: Forecaster
) -> tuple[PieceDay, list[Step], list[Conflict]]:
    plan = replace(piece.plan, pit_c=pit_c, serve_s=None)
    if piece.plan.pit_c != pit_c:
        plan = replace(plan, pit_low_c=None, pit_high_c=None)
    told = forecast_of(Cook(plan, piece.probes))
    finish = told.finish
    carve_s = carve_span_s(wish.people)
    rest_s = cut_named(plan.cut).rest_s if plan.rest_s is None else plan.rest_s
    wished = _meat_on(wish, finish, rest_s + carve_s)
    on_at = max(wished, ceiled(_earliest_on(wish, piece)))
    prepared = before(replace(piece, plan=plan), on_at, wish.now, wish.zone)
    serve_s = seconds_between(on_at, wish.serve_at)
    day = PieceDay(
        piece=piece,
        plan=replace(plan, serve_s=serve_s),
        on_at=on_at,
        finish=finish,
        rest_s=rest_s,
        carve_s=carve_s,
        chance=finish.chance_by(serve_s - rest_s - carve_s),
        thaw=prepared.thaw,
    )
    conflicts = list(prepared.conflicts)
    conflicts += never_reached(wish, day, forecast_of)
    if on_at > wished:
        conflicts.append(late_conflict(wish, day, wished, forecast_of))
    else:
        conflicts += long_hold(wish, day, forecast_of)
    conflicts += below_minimum(piece)
    return day, [*prepared.steps, *after_meat_on(wish, day, told)], conflicts


def _meat_on(wish: DayWish, finish: Arrival, after_s: float) -> datetime:
    """Latest five-minute mark that gives the wanted chance, or the best there is."""
    enough = needed_s(finish, min(wish.chance, 0.98 * (1.0 - finish.probability_never)))
    if enough is None:
        enough = 0.0
    return floored(later(wish.serve_at, -after_s - enough))


def _earliest_on(wish: DayWish, piece: Piece) -> datetime:
    """Earliest that the meat can go on: the fire lit now, and thawed the quickest way."""
    lit = later(wish.now, LIGHT_HIGH_S)
    if piece.state is MeatState.THAWED:
        return lit
    quickest = min(
        thaw_time(piece.plan.mass_kg, method, piece.state, piece.plan.cut).high_s
        for method in ThawMethod
        if piece.thaw in (None, method)
    )
    return max(lit, later(wish.now, quickest + READY_S))
