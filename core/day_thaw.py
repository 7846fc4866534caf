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
    if start >= now:
        start = max(floored(start), now)
        told = () if piece.thaw is ThawMethod.COLD_WATER else (_late(piece, since, water, start),)
        steps = (_in_water(piece, water, start, later(by, -water.low_s)),)
        return Thawing(steps, told, ThawMethod.COLD_WATER, by)
    late = (_late(piece, since, water, None),)
    steps = (_in_water(piece, water, now, now),)
    return Thawing(steps, late, ThawMethod.COLD_WATER, later(now, water.high_s))


def thawed_at_best(piece: Piece, wish: DayWish) -> datetime:
    """The earliest that a piece can be thawed, by the quickest way that is allowed."""
    now = wish.now
    if piece.state is MeatState.THAWED:
        return now
    cold, water = _times(piece)
    pin = wish.pin(StepKey.THAW, piece.name)
    if pin is not None:
        share = _share_left(pin.at, max(now, pin.at), cold)
        return min(later(pin.at, cold.high_s), later(max(now, pin.at), share * water.high_s))
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
    if method is ThawMethod.COLD_WATER:
        free_at = later(pin.at, water.high_s)
        steps = (_in_water(piece, water, pin.at, pin.at),)
    else:
        free_at = later(pin.at, cold.high_s)
        steps = (_cold_step(piece, cold, pin.at, pin.at, pin.at),)
    if free_at <= on_at:
        return Thawing(steps, (), method, free_at)
    start = max(wish.now, pin.at)
    share = 1.0 if method is ThawMethod.COLD_WATER else _share_left(pin.at, start, cold)
    latest = floored(later(by, -share * water.high_s))
    told = _late(piece, later(by, -(water if method is ThawMethod.COLD_WATER else cold).high_s),
                 water, latest if latest >= start else None, share)  # fmt: skip
    return Thawing(steps, (told,), method, on_at)


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
    remedy = Remedy(RemedyKey.COLD_WATER, by, _span(water, share), USDA)
    numbers = (("in_time", float(by is not None)),)
    return Conflict(ConflictKey.THAW_LATE, piece.name, numbers, (remedy,), since)
