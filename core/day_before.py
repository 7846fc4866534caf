"""What comes before the fire for one piece: thawing, salt, drying, and what is too late for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.brine import WET_SOURCE, SoakTime, dry_time, wet_time
from core.day_thaw import READY_S, Thawing, thawing
from core.day_times import (
    DRY_HIGH_S,
    DRY_LOW_S,
    RUB_EARLY_S,
    RUB_S,
    by_day,
    evening_before,
    is_day,
    later,
    seconds_between,
)
from core.day_values import (
    COMMON,
    Brine,
    Conflict,
    ConflictKey,
    DayWish,
    Piece,
    Remedy,
    RemedyKey,
    Step,
    StepKey,
)
from core.thaw import ThawMethod


@dataclass(frozen=True, slots=True)
class Before:
    """Steps and conflicts before the fire, and how the piece is thawed."""

    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    thaw: ThawMethod | None


def before(piece: Piece, on_at: datetime, wish: DayWish) -> Before:
    """Lay out backwards from meat-on what comes before the fire."""
    rub_at, ready_by = later(on_at, -RUB_S), later(on_at, -READY_S)
    soak = _soak(piece)
    salt, salt_from = _salt(piece, soak, on_at, wish.now, wish)
    wanted = (salt_from, salt[0].late, rub_at, ready_by) if salt else (rub_at, ready_by)
    thaw = thawing(piece, wanted, on_at, wish)
    if soak is not None and thaw.free_at > salt_from:
        # what thawing leaves is what the salt gets
        salt, _ = _salt(piece, soak, on_at, max(wish.now, thaw.free_at), wish)
    conflicts = [*thaw.conflicts, *_short_of_salt(piece, soak, salt, thaw, on_at, wish)]
    free_at = max(wish.now, thaw.free_at, *(step.at for step in salt))
    return Before((*thaw.steps, *salt, _rub(piece, rub_at, on_at, free_at)), tuple(conflicts),
                  thaw.method)  # fmt: skip


def _rub(piece: Piece, rub_at: datetime, on_at: datetime, free_at: datetime) -> Step:
    at = min(max(rub_at, free_at), on_at)
    early = min(max(later(on_at, -RUB_EARLY_S), free_at), at)
    why = (("before_s", seconds_between(at, on_at)),)
    return Step(StepKey.RUB, at, early, on_at, piece.name, why)


def _soak(piece: Piece) -> SoakTime | None:
    if piece.brine is Brine.WET:
        return wet_time(piece.plan)
    return dry_time(piece.plan) if piece.brine is Brine.DRY else None


def _salt(
    piece: Piece, soak: SoakTime | None, on_at: datetime, first: datetime, wish: DayWish
) -> tuple[tuple[Step, ...], datetime]:
    """Steps of brine or dry salt from `first` on, and when the meat must be thawed.

    No steps if it is too late for them.
    """
    rub_at = later(on_at, -RUB_S)
    if soak is None:
        return (), rub_at
    if piece.brine is Brine.DRY:
        found = _soaked(piece, StepKey.DRY_SALT, soak, on_at, first, wish)
        return ((), rub_at) if found is None else ((found,), found.at)
    end = later(rub_at, -DRY_LOW_S)
    into = _soaked(piece, StepKey.BRINE_IN, soak, end, first, wish)
    evening = evening_before(end, wish.zone)
    pinned = wish.pin(StepKey.BRINE_IN, piece.name) is not None
    if (
        into is not None
        and not pinned
        and not is_day(into.at, wish.zone)
        and evening >= later(rub_at, -DRY_HIGH_S)
    ):
        # out in the evening and dry overnight, rather than into the brine at night
        other = _soaked(piece, StepKey.BRINE_IN, soak, evening, first, wish)
        if other is not None and is_day(other.at, wish.zone):
            into, end = other, evening
    if into is None:
        return (), rub_at
    return (into, _out(piece, soak, into, end, rub_at, on_at, wish)), into.at


def _out(
    piece: Piece,
    soak: SoakTime,
    into: Step,
    end: datetime,
    rub_at: datetime,
    on_at: datetime,
    wish: DayWish,
) -> Step:
    """Out of the brine: after its time, early enough to dry, or where the cook has put it."""
    dry = (("dry_low_s", DRY_LOW_S), ("dry_high_s", DRY_HIGH_S))
    pin = wish.pin(StepKey.BRINE_OUT, piece.name)
    if pin is not None:
        return Step(StepKey.BRINE_OUT, pin.at, pin.at, pin.at, piece.name, dry)
    first, last = later(into.at, soak.low_s), later(into.at, soak.high_s)
    end = min(max(end, first, wish.now), max(last, wish.now), on_at)
    early = min(max(later(rub_at, -DRY_HIGH_S), first), end)
    late = min(max(min(later(rub_at, -DRY_LOW_S), last), end), on_at)
    return Step(StepKey.BRINE_OUT, end, early, late, piece.name, dry)


def _soaked(
    piece: Piece, key: StepKey, soak: SoakTime, end: datetime, first: datetime, wish: DayWish
) -> Step | None:
    """Into the salt in the middle of the range before `end`, by day; None if it is too late."""
    why = (("soak_low_s", soak.low_s), ("soak_high_s", soak.high_s))
    pin = wish.pin(key, piece.name)
    if pin is not None:
        return Step(key, pin.at, pin.at, pin.at, piece.name, why, soak.source)
    early, late = max(later(end, -soak.high_s), first), later(end, -soak.low_s)
    at = max(later(end, -0.5 * (soak.low_s + soak.high_s)), first)
    if at > late:
        return None
    return Step(key, by_day(at, early, wish.zone), early, late, piece.name, why, soak.source)


def _short_of_salt(
    piece: Piece,
    soak: SoakTime | None,
    salt: tuple[Step, ...],
    thaw: Thawing,
    on_at: datetime,
    wish: DayWish,
) -> list[Conflict]:
    """No time for the wished salt, or less than it needs between the cook's own times."""
    if soak is None:
        return []
    wet = piece.brine is Brine.WET
    left = RUB_S + DRY_LOW_S if wet else 0.0
    if salt:
        end = salt[1].at if wet else on_at
        have = seconds_between(salt[0].at, end)
        if have >= soak.low_s - 1.0:
            return []
        numbers = (("needed_s", soak.low_s), ("left_s", max(have, 0.0)))
        return [Conflict(ConflictKey.BRINE_LATE, piece.name, numbers, ())]
    have = seconds_between(max(wish.now, thaw.free_at), on_at)
    numbers = (("needed_s", soak.low_s + left), ("left_s", max(have, 0.0)))
    remedies = [Remedy(RemedyKey.NO_BRINE, None, (), COMMON)]
    if wet and have >= dry_time(piece.plan).low_s:
        dry = dry_time(piece.plan)
        span = (("soak_low_s", dry.low_s), ("soak_high_s", dry.high_s))
        at = max(wish.now, thaw.free_at)
        remedies.insert(0, Remedy(RemedyKey.SHORTER_BRINE, at, span, WET_SOURCE))
    return [Conflict(ConflictKey.BRINE_LATE, piece.name, numbers, tuple(remedies))]
