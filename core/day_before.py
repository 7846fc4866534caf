"""What comes before the fire for one piece: thawing, salt, drying, and what is too late for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo

from core.brine import WET_SOURCE, SoakTime, dry_time, wet_time
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
    Brine,
    Conflict,
    ConflictKey,
    Piece,
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


@dataclass(frozen=True, slots=True)
class Before:
    """Steps and conflicts before the fire, and whether the piece is thawed in time."""

    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    thaw: ThawMethod | None
    thawed: bool


def before(piece: Piece, on_at: datetime, now: datetime, zone: tzinfo) -> Before:
    """Lay out backwards from meat-on what comes before the fire."""
    rub_at, ready_by = later(on_at, -RUB_S), later(on_at, -READY_S)
    soak = _soak(piece)
    salt, salt_from = _salt(piece, soak, on_at, now, zone)
    wanted = (salt_from, salt[0].late, rub_at, ready_by) if salt else (rub_at, ready_by)
    thaw = _thaw(piece, wanted, on_at, now, zone)
    if soak is not None and thaw.free_at > salt_from:
        # what thawing leaves is what the salt gets
        salt, _ = _salt(piece, soak, on_at, max(now, thaw.free_at), zone)
    conflicts = list(thaw.conflicts)
    if soak is not None and not salt:
        conflicts.append(_too_late_for_salt(piece, soak, thaw, on_at, now))
    rub = _rub(piece, rub_at, on_at, max(now, thaw.free_at))
    return Before((*thaw.steps, *salt, rub), tuple(conflicts), thaw.method, thaw.thawed)


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
    piece: Piece, soak: SoakTime | None, on_at: datetime, first: datetime, zone: tzinfo
) -> tuple[tuple[Step, ...], datetime]:
    """Steps of brine or dry salt from `first` on, and when the meat must be thawed.

    No steps if it is too late for them.
    """
    rub_at = later(on_at, -RUB_S)
    if soak is None:
        return (), rub_at
    if piece.brine is Brine.DRY:
        found = _soaked(piece, StepKey.DRY_SALT, soak, on_at, first, zone)
        return ((), rub_at) if found is None else ((found,), found.at)
    end = later(rub_at, -DRY_LOW_S)
    into = _soaked(piece, StepKey.BRINE_IN, soak, end, first, zone)
    evening = evening_before(end, zone)
    if into is not None and not is_day(into.at, zone) and evening >= later(rub_at, -DRY_HIGH_S):
        # out in the evening and dry overnight, rather than into the brine at night
        other = _soaked(piece, StepKey.BRINE_IN, soak, evening, first, zone)
        if other is not None and is_day(other.at, zone):
            into, end = other, evening
    if into is None:
        return (), rub_at
    early = min(max(later(rub_at, -DRY_HIGH_S), later(into.at, soak.low_s)), end)
    late = max(min(later(rub_at, -DRY_LOW_S), later(into.at, soak.high_s)), end)
    dry = (("dry_low_s", DRY_LOW_S), ("dry_high_s", DRY_HIGH_S))
    return (into, Step(StepKey.BRINE_OUT, end, early, late, piece.name, dry)), into.at


def _soaked(
    piece: Piece, key: StepKey, soak: SoakTime, end: datetime, first: datetime, zone: tzinfo
) -> Step | None:
    """Into the salt in the middle of the range before `end`, by day; None if it is too late."""
    early, late = max(later(end, -soak.high_s), first), later(end, -soak.low_s)
    at = max(later(end, -0.5 * (soak.low_s + soak.high_s)), first)
    if at > late:
        return None
    at = by_day(at, early, zone)
    return Step(key, at, early, late, piece.name, _span("soak", soak), soak.source)


def _span(name: str, soak: SoakTime) -> tuple[tuple[str, float], ...]:
    return ((f"{name}_low_s", soak.low_s), (f"{name}_high_s", soak.high_s))


@dataclass(frozen=True, slots=True)
class _Thawing:
    """How a piece is thawed, and from when on it can be salted or cooked."""

    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    method: ThawMethod | None
    free_at: datetime
    thawed: bool = True


def _thaw(
    piece: Piece, wanted: tuple[datetime, ...], on_at: datetime, now: datetime, zone: tzinfo
) -> _Thawing:
    """Thaw by the first of `wanted` that can be kept, else say what can still be done."""
    if piece.state is MeatState.THAWED:
        return _Thawing((), (), None, now)
    mass, state, cut = piece.plan.mass_kg, piece.state, piece.plan.cut
    cold = thaw_time(mass, ThawMethod.REFRIGERATOR, state, cut)
    water = thaw_time(mass, ThawMethod.COLD_WATER, state, cut)
    if piece.thaw is not ThawMethod.COLD_WATER:
        # thawed meat keeps two days at most until it is cooked
        longest = later(on_at, -cold.high_s - HOLD_HIGH_S)
        for by in wanted:
            if later(by, -cold.high_s) >= now:
                return _in_refrigerator(piece, cold, by, max(now, longest), zone)
    since = later(wanted[-1], -cold.high_s)
    # cold-water thawed meat is cooked at once, so salt beforehand is not waited for
    for by in wanted[-2:]:
        start = later(by, -water.high_s)
        if start >= now:
            late = (_late(piece, since, water, start),)
            steps = (_in_water(piece, water, start, later(wanted[-1], -water.low_s)),)
            told = () if piece.thaw is ThawMethod.COLD_WATER else late
            return _Thawing(steps, told, ThawMethod.COLD_WATER, by)
    steps = (_in_water(piece, water, now, now),)
    done = later(now, water.high_s)
    late = (_late(piece, since, water, None),)
    return _Thawing(steps, late, ThawMethod.COLD_WATER, done, thawed=False)


def _in_water(piece: Piece, water: ThawTime, at: datetime, late: datetime) -> Step:
    why = (*_thaw_span(water), ("change_water_s", WATER_CHANGE_S), ("cold_water", 1.0))
    return Step(StepKey.THAW, at, at, late, piece.name, why, water.source)


def _in_refrigerator(
    piece: Piece, cold: ThawTime, by: datetime, first: datetime, zone: tzinfo
) -> _Thawing:
    """Thawed by `by`, begun up to a day sooner but not before `first`."""
    at = later(by, -cold.high_s)
    early, late = min(max(later(at, -HOLD_LOW_S), first), at), max(later(by, -cold.low_s), at)
    at = by_day(at, early, zone)
    why = (*_thaw_span(cold), ("keeps_s", HOLD_LOW_S), ("cold_water", 0.0))
    step = Step(StepKey.THAW, at, early, late, piece.name, why, cold.source)
    return _Thawing((step,), (), ThawMethod.REFRIGERATOR, by)


def _thaw_span(time: ThawTime) -> tuple[tuple[str, float], ...]:
    return (("thaw_low_s", time.low_s), ("thaw_high_s", time.high_s))


def _late(piece: Piece, since: datetime, water: ThawTime, by: datetime | None) -> Conflict:
    """Should have been thawing in the refrigerator since then; cold water by `by`, or no way."""
    remedy = Remedy(RemedyKey.COLD_WATER, by, _thaw_span(water), USDA)
    numbers = (("in_time", float(by is not None)),)
    return Conflict(ConflictKey.THAW_LATE, piece.name, numbers, (remedy,), since)


def _too_late_for_salt(
    piece: Piece, soak: SoakTime, thaw: _Thawing, on_at: datetime, now: datetime
) -> Conflict:
    """There is no time for the wished salt; a dry one at the surface, or none, still is."""
    have = seconds_between(max(now, thaw.free_at), on_at)
    left = RUB_S + DRY_LOW_S if piece.brine is Brine.WET else 0.0
    numbers = (("needed_s", soak.low_s + left), ("left_s", max(have, 0.0)))
    remedies = [Remedy(RemedyKey.NO_BRINE, None, (), "common practice, no source")]
    if piece.brine is Brine.WET and have >= dry_time(piece.plan).low_s:
        dry = dry_time(piece.plan)
        at = max(now, thaw.free_at)
        remedies.insert(0, Remedy(RemedyKey.SHORTER_BRINE, at, _span("soak", dry), WET_SOURCE))
    return Conflict(ConflictKey.BRINE_LATE, piece.name, numbers, tuple(remedies))
