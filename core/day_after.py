"""What comes from lighting the fire on: the steps whose times the forecast gives."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.answers import Arrival, Forecast
from core.cook import Milestone
from core.day_times import (
    EARLY_LEVEL,
    HOLD_C,
    LATE_LEVEL,
    LEFTOVERS_HOT_C,
    LEFTOVERS_HOT_S,
    LEFTOVERS_S,
    LEFTOVERS_SOURCE,
    LIGHT_HIGH_S,
    LIGHT_LOW_S,
    SMOKE_S,
    STEADY_S,
    later,
    seconds_between,
)
from core.day_values import COMMON, PRIOR, DayWish, PieceDay, Step, StepKey
from core.next_look import CHANCE_PASSED, FIRE_WATCH_HOT_S, FIRE_WATCH_LOW_S, HOT_PIT_C

_TRIGGERS = ((Milestone.GLAZE, StepKey.GLAZE), (Milestone.WRAP, StepKey.WRAP))


def after_meat_on(wish: DayWish, day: PieceDay, told: Forecast) -> list[Step]:
    """Steps of one piece from meat-on to carving."""
    return [
        _meat_on(wish, day),
        *_looks(day, told),
        *_triggers(day, told),
        *_finish(wish, day, told),
    ]


def shared_steps(wish: DayWish, days: tuple[PieceDay, ...], own: tuple[Step, ...]) -> list[Step]:
    """Steps of the fire and of the meal, once however many pieces there are."""
    first = min(day.on_at for day in days)
    on = any(day.on for day in days)
    # what the clock has passed is not laid out in the past, unless the meat is on already
    now = min(wish.now, first) if not on else later(first, -LIGHT_HIGH_S)
    lit, last = max(later(first, -LIGHT_HIGH_S), now), max(later(first, -LIGHT_LOW_S), now)
    steady = max(later(first, -STEADY_S), now)
    pit = ("pit_c", days[0].plan.pit_c)
    carve_s = max(day.carve_s for day in days)
    # late meat is carved when it is rested, whatever the clock of the meal says
    rested = (step.at for step in own if step.key is StepKey.REST)
    ends = (later(at, day.rest_s) for at, day in zip(rested, days, strict=True))
    carve = max(later(wish.serve_at, -carve_s), *ends)
    served = wish.pin(StepKey.EAT)
    ate = served.at if served is not None and served.done else max(
        wish.serve_at, later(carve, carve_s)
    )  # fmt: skip
    away = later(ate, LEFTOVERS_S)
    return [
        *_first_look(days, first, own),
        Step(StepKey.LIGHT, lit, lit, last, None,
             (("before_low_s", LIGHT_LOW_S), ("before_high_s", LIGHT_HIGH_S), pit)),
        Step(StepKey.FIRE_STEADY, steady, steady, first, None, (pit,)),
        Step(StepKey.SMOKE, first, first, later(first, SMOKE_S), None, (("smoke_s", SMOKE_S),)),
        Step(StepKey.CARVE, carve, carve, max(carve, wish.serve_at), None,
             (("carve_s", carve_s),)),
        Step(StepKey.EAT, wish.serve_at, wish.serve_at, wish.serve_at, None,
             tuple((f"chance_{day.piece.name}", day.chance) for day in days), PRIOR),
        Step(StepKey.LEFTOVERS, away, later(ate, LEFTOVERS_HOT_S), away, None,
             (("leftovers_s", LEFTOVERS_S), ("hot_day_s", LEFTOVERS_HOT_S),
              ("hot_day_c", LEFTOVERS_HOT_C)), LEFTOVERS_SOURCE),
    ]  # fmt: skip


def _first_look(days: tuple[PieceDay, ...], first: datetime, own: tuple[Step, ...]) -> list[Step]:
    """The first look at the fire, unless a look at the meat comes before it."""
    watch = FIRE_WATCH_HOT_S if days[0].plan.pit_c >= HOT_PIT_C else FIRE_WATCH_LOW_S
    at = later(first, watch)
    if any(step.key is StepKey.MEAT_LOOK and step.at <= at for step in own):
        return []
    return [Step(StepKey.FIRST_LOOK, at, at, at, None, (("watch_s", watch),), COMMON)]


def _meat_on(wish: DayWish, day: PieceDay) -> Step:
    middle, late = day.finish.quantile_s(0.5), day.finish.quantile_s(wish.chance)
    why = [("chance", day.chance), ("wanted", wish.chance), ("pit_c", day.plan.pit_c)]
    why += [("median_s", middle)] if middle is not None else []
    why += [("enough_s", late)] if late is not None else []
    why += [("rest_s", day.rest_s), ("carve_s", day.carve_s)]
    return Step(StepKey.MEAT_ON, day.on_at, day.on_at, day.on_at, day.piece.name, tuple(why), PRIOR)


def _looks(day: PieceDay, told: Forecast) -> list[Step]:
    """Looks at the meat: before its first milestone, and before its finish."""
    waited = [
        a for a in told.arrivals if a.milestone is not Milestone.RESTED and a.reached_s is None
    ]
    due = [(q, a) for a in waited if (q := a.quantile_s(CHANCE_PASSED)) is not None]
    if not due:
        return []
    first, arrival = min(due, key=lambda pair: pair[0])
    steps = [_at(day, StepKey.MEAT_LOOK, first, _look_why(arrival), PRIOR)]
    target = [(q, a) for q, a in due if a.milestone is Milestone.TARGET]
    if target and arrival.milestone is not Milestone.TARGET:
        last, aim = min(target, key=lambda pair: pair[0])
        steps.append(_at(day, StepKey.FINISH_LOOK, last, _look_why(aim), PRIOR))
    return steps


def _look_why(arrival: Arrival) -> tuple[tuple[str, float], ...]:
    out = [("passed_chance", CHANCE_PASSED)]
    if arrival.threshold_c is not None:
        out.append(("threshold_c", arrival.threshold_c))
    return tuple(out)


def _at(
    day: PieceDay, key: StepKey, after_s: float, why: tuple[tuple[str, float], ...], source: str
) -> Step:
    at = later(day.on_at, after_s)
    return Step(key, at, at, at, day.piece.name, why, source)


def _triggers(day: PieceDay, told: Forecast) -> list[Step]:
    """Glaze and wrap, for the probe that gets there first."""
    steps = []
    for milestone, key in _TRIGGERS:
        arrivals = [a for a in told.arrivals if a.milestone is milestone]
        timed = [(q, a) for a in arrivals if (q := a.quantile_s(0.5)) is not None]
        if timed:
            _, arrival = min(timed, key=lambda pair: pair[0])
            steps.append(_quantile_step(day, key, arrival, 0.0))
    return steps


def _quantile_step(day: PieceDay, key: StepKey, arrival: Arrival, extra_s: float) -> Step:
    """A step at the median of an arrival, with its 80 % range; open to the end if that is never."""
    latest = later(day.on_at, day.plan.serve_s or 0.0)
    low, middle, high = (arrival.quantile_s(q) for q in (EARLY_LEVEL, 0.5, LATE_LEVEL))
    times = [max(latest, day.on_at) if q is None else later(day.on_at, q + extra_s)
             for q in (low, middle, high)]  # fmt: skip
    why = [("never", arrival.probability_never)]
    if arrival.threshold_c is not None:
        why.append(("threshold_c", arrival.threshold_c))
    return Step(key, times[1], times[0], max(times[2], times[1]), day.piece.name, tuple(why), PRIOR)


def _pull(wish: DayWish, day: PieceDay) -> Step:
    """Off the fire: by the forecast, or when the cook has moved it to."""
    pull = _quantile_step(day, StepKey.PULL, day.finish, 0.0)
    pin = wish.pin(StepKey.PULL, day.piece.name)
    return pull if pin is None else replace(pull, at=pin.at, early=pin.at, late=pin.at)


def _finish(wish: DayWish, day: PieceDay, told: Forecast) -> list[Step]:
    """Pull, rest and, where that leaves time, hold."""
    pull = _pull(wish, day)
    rest = replace(pull, key=StepKey.REST)
    carve = later(wish.serve_at, -day.carve_s)
    latest = later(carve, -day.rest_s)
    numbers = [(f"target_c {p.name}", p.target_c) for p in day.piece.probes]
    numbers += [(f"pull_c {r.probe}", r.pull_c) for r in told.rests if r.pull_c is not None]
    numbers.append(("latest_s", seconds_between(day.on_at, latest)))
    peaks = [(f"peak_c {r.probe}", r.peak_c) for r in told.rests]
    steps = [
        Step(pull.key, pull.at, pull.early, pull.late, pull.piece, (*pull.why, *numbers), PRIOR),
        Step(rest.key, rest.at, rest.early, rest.late, rest.piece,
             (("rest_s", day.rest_s), *peaks), PRIOR),
    ]  # fmt: skip
    rested = later(pull.at, day.rest_s)
    if rested < carve:
        steps.append(_hold(day, pull, rested, carve))
    return steps


def _hold(day: PieceDay, pull: Step, rested: datetime, carve: datetime) -> Step:
    """Early meat waits hot for the meal."""
    longest = max(seconds_between(later(pull.early, day.rest_s), carve), 0.0)
    shortest = max(seconds_between(later(pull.late, day.rest_s), carve), 0.0)
    why = (
        ("hold_s", seconds_between(rested, carve)),
        ("hold_low_s", shortest),
        ("hold_high_s", longest),
        ("hold_c", HOLD_C),
    )
    return Step(StepKey.HOLD, rested, min(later(pull.early, day.rest_s), rested), carve,
                day.piece.name, why, PRIOR)  # fmt: skip
