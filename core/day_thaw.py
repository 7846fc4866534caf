"""Thawing one piece in time for what follows, and what can still be done when it is late."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.day_times import by_day, floored, later, seconds_between
from core.day_values import (
    Conflict,
    ConflictKey,
    DayWish,
    Piece,
    Pin,
    Remedy,
    RemedyKey,
    Step,
    StepKey,
)
from core.thaw import (
    COMMON,
    HOLD_HIGH_S,
    HOLD_LOW_S,
    USDA,
    WATER_CHANGE_S,
    MeatState,
    ThawMethod,
    ThawTime,
    thaw_time,
)

READY_S = 600.0
"""Shortest time between thawed and on the fire that is planned with [s]."""

WORTH_S = 6.0 * 3600.0
"""A shorter stay in the refrigerator before the water is not worth a step [s]."""

_SURELY_COLD = 2.0
"""Begun so many cold-water times ahead, it thaws in the refrigerator."""


@dataclass(frozen=True, slots=True)
class Thawing:
    """How a piece is thawed, and from when on it can be salted or cooked."""

    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    method: ThawMethod | None
    free_at: datetime


def thawing(piece: Piece, wanted: tuple[datetime, ...], on_at: datetime, wish: DayWish) -> Thawing:
    """Thaw by the first of `wanted` that can be kept, else say what can still be done."""
    now = wish.now
    if piece.state is MeatState.THAWED:
        return Thawing((), (), None, now)
    cold, water = _times(piece)
    pin = wish.pin(StepKey.THAW, piece.name)
    if pin is not None:
        return _begun(piece, pin, wanted[-1], on_at, wish)
    if piece.thaw is not ThawMethod.COLD_WATER:
        # thawed meat keeps two days at most until it is cooked
        longest = later(on_at, -cold.high_s - HOLD_HIGH_S)
        for by in wanted:
            if later(by, -cold.high_s) >= now:
                return _in_refrigerator(piece, cold, by, max(now, longest), wish)
    since = later(wanted[-1], -cold.high_s)
    # cold-water thawed meat is cooked at once, so salt and rub beforehand are not waited for
    by = wanted[-1]
    start = later(by, -water.high_s)
    if start < now:
        late = (_late(piece, since, water, None),)
        step = _in_water(piece, water, now, now)
        return Thawing((step,), late, ThawMethod.COLD_WATER, later(now, water.high_s))
    if piece.thaw is ThawMethod.COLD_WATER:
        return Thawing((_water_by(piece, water, by, now),), (), ThawMethod.COLD_WATER, by)
    finish_at, share = _finish_in_water(now, by, now, cold, water)
    if seconds_between(now, finish_at) < WORTH_S:
        step = _water_by(piece, water, by, now)
        late = (_late(piece, since, water, step.at),)
        return Thawing((step,), late, ThawMethod.COLD_WATER, by)
    # what the refrigerator does until then need not be done by water
    steps = (_cold_step(piece, cold, now, now, now), _finish(piece, water, finish_at, share))
    late = (_late(piece, since, water, finish_at, share),)
    return Thawing(steps, late, ThawMethod.COLD_WATER, by)


def _finish_in_water(
    begun: datetime, by: datetime, now: datetime, cold: ThawTime, water: ThawTime
) -> tuple[datetime, float]:
    """When what a refrigerator has left over goes into cold water, to be thawed `by`; its share.

    A refrigerator does an even share of the thawing in each hour (common practice, no source).
    """
    ahead_s = seconds_between(begun, by)
    in_cold_s = max((ahead_s - water.high_s) / (1.0 - water.high_s / cold.high_s), 0.0)
    at = max(floored(later(begun, in_cold_s)), now)
    return at, _share_left(begun, at, cold)


def _finish(piece: Piece, water: ThawTime, at: datetime, share: float) -> Step:
    why = (*_span(water, share), ("change_water_s", WATER_CHANGE_S))
    return Step(StepKey.THAW_FINISH, at, at, at, piece.name, why, f"{water.source}; {COMMON}")


def _water_by(piece: Piece, water: ThawTime, by: datetime, now: datetime) -> Step:
    start = max(floored(later(by, -water.high_s)), now)
    return _in_water(piece, water, start, max(later(by, -water.low_s), start))


def thawed_at_best(piece: Piece, wish: DayWish) -> datetime:
    """The earliest that a piece can be thawed, by the quickest way that is allowed."""
    now = wish.now
    if piece.state is MeatState.THAWED:
        return now
    cold, water = _times(piece)
    pin, moved = (wish.pin(key, piece.name) for key in (StepKey.THAW, StepKey.THAW_FINISH))
    if pin is not None:
        # the quickest way left is water, from now on or since what is left went into it
        into = max(now, pin.at) if moved is None else max(moved.at, pin.at)
        share = _share_left(pin.at, into, cold)
        return min(later(pin.at, cold.high_s), later(into, share * water.high_s))
    methods = [m for m in ThawMethod if piece.thaw in (None, m)]
    return later(now, min({ThawMethod.REFRIGERATOR: cold, ThawMethod.COLD_WATER: water}[m].high_s
                          for m in methods))  # fmt: skip


def _times(piece: Piece) -> tuple[ThawTime, ThawTime]:
    mass, state, cut = piece.plan.mass_kg, piece.state, piece.plan.cut
    return (
        thaw_time(mass, ThawMethod.REFRIGERATOR, state, cut),
        thaw_time(mass, ThawMethod.COLD_WATER, state, cut),
    )


def _share_left(begun: datetime, at: datetime, cold: ThawTime) -> float:
    """Share of the thawing that a refrigerator has left to do."""
    return min(max(1.0 - seconds_between(begun, at) / cold.high_s, 0.0), 1.0)


def _begun(piece: Piece, pin: Pin, by: datetime, on_at: datetime, wish: DayWish) -> Thawing:
    """Thawing that begins, or began, at a time of the cook's own."""
    cold, water = _times(piece)
    method = piece.thaw
    if method is None:
        ahead = seconds_between(pin.at, on_at)
        long = ahead >= min(_SURELY_COLD * water.high_s, cold.low_s)
        method = ThawMethod.REFRIGERATOR if long else ThawMethod.COLD_WATER
    steps: tuple[Step, ...]
    if method is ThawMethod.COLD_WATER:
        free_at = later(pin.at, water.high_s)
        steps = (_in_water(piece, water, pin.at, pin.at),)
    else:
        free_at = later(pin.at, cold.high_s)
        steps = (_cold_step(piece, cold, pin.at, pin.at, pin.at),)
    moved = wish.pin(StepKey.THAW_FINISH, piece.name)
    if moved is not None and method is ThawMethod.REFRIGERATOR:
        share = _share_left(pin.at, moved.at, cold)
        steps = (*steps, _finish(piece, water, moved.at, share))
        free_at = min(free_at, later(moved.at, share * water.high_s))
    if free_at <= on_at:
        return Thawing(steps, (), method, free_at)
    usual = water if method is ThawMethod.COLD_WATER else cold
    since = later(by, -usual.high_s)
    if method is ThawMethod.COLD_WATER or moved is not None:
        return Thawing(steps, (_late(piece, since, water, None),), method, on_at)
    at, share = _finish_in_water(pin.at, by, max(wish.now, pin.at), cold, water)
    in_time = later(at, share * water.high_s - READY_S) <= by
    told = _late(piece, since, water, at if in_time else None, share)
    return Thawing((*steps, _finish(piece, water, at, share)), (told,), method, on_at)


def _in_water(piece: Piece, water: ThawTime, at: datetime, late: datetime) -> Step:
    why = (*_span(water), ("change_water_s", WATER_CHANGE_S), ("cold_water", 1.0))
    return Step(StepKey.THAW, at, at, late, piece.name, why, water.source)


def _in_refrigerator(
    piece: Piece, cold: ThawTime, by: datetime, first: datetime, wish: DayWish
) -> Thawing:
    """Thawed by `by`, begun up to a day sooner but not before `first`."""
    at = later(by, -cold.high_s)
    early, late = min(max(later(at, -HOLD_LOW_S), first), at), max(later(by, -cold.low_s), at)
    step = _cold_step(piece, cold, by_day(at, early, wish.zone), early, late)
    return Thawing((step,), (), ThawMethod.REFRIGERATOR, by)


def _cold_step(piece: Piece, cold: ThawTime, at: datetime, early: datetime, late: datetime) -> Step:
    why = (*_span(cold), ("keeps_s", HOLD_LOW_S), ("cold_water", 0.0))
    return Step(StepKey.THAW, at, early, late, piece.name, why, cold.source)


def _span(time: ThawTime, share: float = 1.0) -> tuple[tuple[str, float], ...]:
    return (("thaw_low_s", share * time.low_s), ("thaw_high_s", share * time.high_s))


def _late(
    piece: Piece, since: datetime, water: ThawTime, by: datetime | None, share: float = 1.0
) -> Conflict:
    """Should have been thawing since then; cold water by `by`, or no way in time."""
    numbers = (*_span(water, share), ("share", share))
    remedy = Remedy(RemedyKey.COLD_WATER, by, numbers, USDA)
    in_time = (("in_time", float(by is not None)),)
    return Conflict(ConflictKey.THAW_LATE, piece.name, in_time, (remedy,), since)
