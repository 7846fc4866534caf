"""What does not go as wished, and what can still be done, with the numbers of the forecast."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from core.answers import Arrival, Forecast
from core.catalogue import cut_named
from core.cook import Cook, Plan, Probe
from core.day_times import (
    EARLY_LEVEL,
    FIRE_EARLY_S,
    HOLD_LONG_S,
    LIGHT_HIGH_S,
    PORTIONS_KG,
    ceiled,
    floored,
    heads_fed,
    later,
    needed_s,
    seconds_between,
)
from core.day_values import (
    COMMON,
    PRIOR,
    SAME_PIT_C,
    Conflict,
    ConflictKey,
    DayWish,
    Piece,
    PieceDay,
    Remedy,
    RemedyKey,
    StepKey,
)
from core.thaw import FROM_FROZEN_FACTOR, USDA, MeatState

PIT_STEPS_C = (10.0, 20.0, 35.0, 50.0)
PIT_MOST_C = 205.0
ROAST_C = 160.0
"""Lowest pit at which cooking from frozen is offered: the guidance is for an oven at 325 °F."""

WRAP_C = 71.0
"""Usual temperature to wrap at, 160 °F (common practice, no source) [°C]."""

_WRAPPABLE = ("pork_shoulder", "beef_brisket", "pork_ribs")
_TOUCH_C = 0.05
_LESS_SURE = 0.75
_FIRMER_SHARE = 0.7
_WORTH_SAYING = 0.1


def wish_conflicts(wish: DayWish) -> list[Conflict]:
    """What is wrong with the wish itself."""
    found = []
    if wish.serve_at <= wish.now:
        late = (("late_s", seconds_between(wish.serve_at, wish.now)),)
        found.append(Conflict(ConflictKey.SERVE_PAST, None, late, (), wish.serve_at))
    fed = sum(heads_fed(piece.plan) for piece in wish.pieces)
    if wish.people is not None and fed < wish.people - 0.5:
        a_head = PORTIONS_KG.get(wish.pieces[0].plan.cut, PORTIONS_KG["other"])
        more = Remedy(
            RemedyKey.MORE_MEAT, None, (("mass_kg", (wish.people - fed) * a_head),), COMMON
        )
        numbers = (("people", float(wish.people)), ("fed", fed))
        found.append(Conflict(ConflictKey.SMALL_FOR_PEOPLE, None, numbers, (more,)))
    return found


def pits_differ(
    wish: DayWish, days: tuple[PieceDay, ...], forecast_of: Callable[[Cook], Forecast]
) -> list[Conflict]:
    """One fire has one pit: the day is planned between those wanted; each of them is offered."""
    wanted = sorted({piece.plan.pit_c for piece in wish.pieces})
    if wanted[-1] - wanted[0] <= SAME_PIT_C or any(day.on for day in days):
        return []
    remedies = []
    for pit_c in (wanted[0], wanted[-1]):
        on: list[tuple[str, float]] = []
        for day in days:
            plan = replace(day.plan, pit_c=pit_c, pit_low_c=None, pit_high_c=None)
            enough = needed_s(_asked(day, forecast_of, plan), wish.chance)
            if enough is None:
                break
            on.append((f"ahead_s {day.piece.name}", enough + day.rest_s + day.carve_s))
        if len(on) == len(days):
            first = floored(later(wish.serve_at, -max(ahead for _, ahead in on)))
            if first >= wish.now:
                numbers = (("pit_c", pit_c), *on)
                remedies.append(Remedy(RemedyKey.ONE_PIT, first, numbers, PRIOR))
    pits = tuple((f"pit_c {piece.name}", piece.plan.pit_c) for piece in wish.pieces)
    numbers = (("fire_c", wish.fire_c), *pits)
    return [Conflict(ConflictKey.PITS_DIFFER, None, numbers, tuple(remedies))]


def running_late(wish: DayWish, day: PieceDay, *, over: bool) -> list[Conflict]:
    """A piece on the fire that is less sure for the meal than was wanted."""
    if over or day.chance >= wish.chance - _WORTH_SAYING:
        return []
    numbers = (("chance", day.chance), ("wanted", wish.chance))
    return [Conflict(ConflictKey.RUNNING_LATE, day.piece.name, numbers, tuple(_eat_at(wish, day)))]


def fire_early(wish: DayWish, days: tuple[PieceDay, ...]) -> list[Conflict]:
    """A fire that burns long before any meat is on it."""
    lit = wish.pin(StepKey.LIGHT)
    if lit is None or not lit.done or any(day.on for day in days):
        return []
    ahead_s = seconds_between(lit.at, min(day.on_at for day in days))
    if ahead_s <= FIRE_EARLY_S:
        return []
    return [Conflict(ConflictKey.FIRE_EARLY, None, (("ahead_s", ahead_s),), (), lit.at)]


def below_minimum(piece: Piece) -> list[Conflict]:
    """Targets below the published minimum: allowed, and said."""
    minimum = cut_named(piece.plan.cut).minimum
    return [
        Conflict(
            ConflictKey.BELOW_MINIMUM, piece.name,
            (("target_c", probe.target_c), ("minimum_c", minimum.temp_c)), (),
        )
        for probe in piece.probes
        if probe.target_c < minimum.temp_c - _TOUCH_C
    ]  # fmt: skip


def never_reached(
    wish: DayWish, day: PieceDay, forecast_of: Callable[[Cook], Forecast]
) -> list[Conflict]:
    """The wanted chance cannot be had at this pit however early the meat goes on."""
    if needed_s(day.finish, wish.chance) is not None:
        return []
    numbers = (("never", day.finish.probability_never), ("wanted", wish.chance))
    remedies = (*_wrap(wish, day, forecast_of), *_hotter(wish, day, forecast_of, None))
    return [Conflict(ConflictKey.NEVER_REACHED, day.piece.name, numbers, remedies)]


def late_conflict(
    wish: DayWish, day: PieceDay, wished: datetime, forecast_of: Callable[[Cook], Forecast]
) -> Conflict:
    """The meat should have gone on before it can."""
    numbers = (
        ("late_s", seconds_between(wished, day.on_at)),
        ("chance", day.chance),
        ("wanted", wish.chance),
        ("moved", float(wish.pin(StepKey.MEAT_ON, day.piece.name) is not None)),
    )
    remedies = [*_eat_at(wish, day), *_hotter(wish, day, forecast_of, day.on_at)]
    remedies += _wrap(wish, day, forecast_of)
    remedies += _from_frozen(wish, day)
    return Conflict(ConflictKey.MEAT_ON_LATE, day.piece.name, numbers, tuple(remedies), wished)


def long_hold(
    wish: DayWish, day: PieceDay, forecast_of: Callable[[Cook], Forecast]
) -> list[Conflict]:
    """So unsure a finish that early meat would be held for very long."""
    early, late = day.finish.quantile_s(EARLY_LEVEL), needed_s(day.finish, wish.chance)
    if early is None or late is None or late - early <= HOLD_LONG_S:
        return []
    rested, carve = later(day.on_at, early + day.rest_s), later(wish.serve_at, -day.carve_s)
    numbers = (
        ("hold_s", seconds_between(rested, carve)), ("early_s", early), ("late_s", late)
    )  # fmt: skip
    remedies = [*_wrap(wish, day, forecast_of), *_firmer(wish, day, forecast_of, late - early)]
    less = needed_s(day.finish, _LESS_SURE)
    if less is not None and wish.chance > _LESS_SURE + 0.05:
        on_at = floored(later(wish.serve_at, -day.rest_s - day.carve_s - less))
        if on_at > wish.now:
            numbers_less = (("chance", _LESS_SURE), ("hold_s", less - early))
            remedies.append(Remedy(RemedyKey.LOWER_CHANCE, on_at, numbers_less))
    return [Conflict(ConflictKey.LONG_HOLD, day.piece.name, numbers, tuple(remedies))]


def _eat_at(wish: DayWish, day: PieceDay) -> list[Remedy]:
    """The earliest meal that keeps the wanted chance."""
    enough = needed_s(day.finish, wish.chance)
    if enough is None:
        return []
    at = ceiled(later(day.on_at, enough + day.rest_s + day.carve_s))
    return [Remedy(RemedyKey.EAT_AT, at, (("chance", wish.chance),))]


def _asked(
    day: PieceDay,
    forecast_of: Callable[[Cook], Forecast],
    plan: Plan | None = None,
    probes: tuple[Probe, ...] | None = None,
) -> Arrival:
    used = day.plan if plan is None else plan
    cook = Cook(replace(used, serve_s=None), day.piece.probes if probes is None else probes)
    return forecast_of(cook).finish


def _hotter(
    wish: DayWish,
    day: PieceDay,
    forecast_of: Callable[[Cook], Forecast],
    on_at: datetime | None,
) -> list[Remedy]:
    """The least hotter pit that keeps the chance; with `on_at` None the meat may go on earlier."""
    after_s = day.rest_s + day.carve_s
    for more in PIT_STEPS_C:
        pit_c = day.plan.pit_c + more
        if pit_c > PIT_MOST_C:
            break
        finish = _asked(day, forecast_of, replace(day.plan, pit_c=pit_c, pit_low_c=None,
                                                  pit_high_c=None))  # fmt: skip
        enough = needed_s(finish, wish.chance)
        if enough is None:
            continue
        start = (
            later(on_at, 0.0)
            if on_at is not None
            else floored(later(wish.serve_at, -after_s - enough))
        )
        if later(start, enough + after_s) <= wish.serve_at and start >= wish.now:
            chance = finish.chance_by(seconds_between(start, wish.serve_at) - after_s)
            return [Remedy(RemedyKey.HOTTER_PIT, start, (("pit_c", pit_c), ("chance", chance)))]
    return []


def _firmer(
    wish: DayWish, day: PieceDay, forecast_of: Callable[[Cook], Forecast], hold_s: float
) -> list[Remedy]:
    """The least hotter pit at which the finish is a good deal less unsure."""
    after_s = day.rest_s + day.carve_s
    for more in PIT_STEPS_C:
        pit_c = day.plan.pit_c + more
        if pit_c > PIT_MOST_C:
            break
        hotter = replace(day.plan, pit_c=pit_c, pit_low_c=None, pit_high_c=None)
        finish = _asked(day, forecast_of, hotter)
        early, late = finish.quantile_s(EARLY_LEVEL), needed_s(finish, wish.chance)
        if early is None or late is None or late - early > _FIRMER_SHARE * hold_s:
            continue
        on_at = floored(later(wish.serve_at, -after_s - late))
        if on_at < later(wish.now, LIGHT_HIGH_S):
            continue
        numbers = (("pit_c", pit_c), ("chance", wish.chance), ("hold_s", late - early))
        return [Remedy(RemedyKey.FIRMER_PIT, on_at, numbers)]
    return []


def _wrap(wish: DayWish, day: PieceDay, forecast_of: Callable[[Cook], Forecast]) -> list[Remedy]:
    """Wrapping through the stall, for cuts that have one and no wrap planned yet."""
    probes = day.piece.probes
    if day.plan.cut not in _WRAPPABLE or any(p.wrap_c is not None for p in probes):
        return []
    wrapped = tuple(replace(p, wrap_c=WRAP_C) if p.target_c > WRAP_C + 5.0 else p for p in probes)
    finish = _asked(day, forecast_of, probes=wrapped)
    enough, early = needed_s(finish, wish.chance), finish.quantile_s(EARLY_LEVEL)
    if enough is None or early is None:
        return []
    after_s = day.rest_s + day.carve_s
    earliest = later(wish.now, LIGHT_HIGH_S)
    on_at = max(floored(later(wish.serve_at, -after_s - enough)), ceiled(earliest))
    chance = finish.chance_by(seconds_between(on_at, wish.serve_at) - after_s)
    numbers = (("wrap_c", WRAP_C), ("chance", chance), ("hold_s", enough - early))
    return [Remedy(RemedyKey.WRAP, on_at, numbers)]


def _from_frozen(wish: DayWish, day: PieceDay) -> list[Remedy]:
    """Straight from the freezer at a roasting heat: at least half as long again (USDA)."""
    if day.piece.state is not MeatState.FROZEN or day.plan.pit_c < ROAST_C:
        return []
    enough = needed_s(day.finish, wish.chance)
    if enough is None:
        return []
    on_at = ceiled(later(wish.now, LIGHT_HIGH_S))
    longer = FROM_FROZEN_FACTOR * enough
    at = ceiled(later(on_at, longer + day.rest_s + day.carve_s))
    numbers = (("factor", FROM_FROZEN_FACTOR), ("enough_s", longer))
    return [Remedy(RemedyKey.FROM_FROZEN, at, numbers, USDA)]
