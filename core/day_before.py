"""What comes before the fire for one piece: thawing, salt, drying, and what is too late for it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.brine import WET_SOURCE, SoakTime, dry_time, wet_time
from core.day_times import DRY_HIGH_S, DRY_LOW_S, RUB_EARLY_S, RUB_S, later, seconds_between
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
    HOLD_LOW_S,
    USDA,
    WATER_CHANGE_S,
    MeatState,
    ThawMethod,
    ThawTime,
    thaw_time,
)


@dataclass(frozen=True, slots=True)
class Before:
    """Steps and conflicts before the fire, and whether the piece is thawed in time."""

    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    thaw: ThawMethod | None
    thawed: bool


def before(piece: Piece, on_at: datetime, now: datetime) -> Before:
    """Lay out backwards from meat-on what comes before the fire."""
    rub_at = max(later(on_at, -RUB_S), min(now, on_at))
    rub = Step(
        StepKey.RUB, rub_at, max(later(on_at, -RUB_EARLY_S), min(now, rub_at)), on_at, piece.name,
        (("before_s", seconds_between(rub_at, on_at)),),
    )  # fmt: skip
    soak = _soak(piece)
    salt, salt_from = _salt(piece, soak, rub_at, on_at, now, None)
    thaw = _thaw(piece, salt_from, rub_at, now)
    if soak is None or seconds_between(thaw.free_at, salt_from) < 0.0:
        # what thawing leaves is what the salt gets
        salt, salt_from = _salt(piece, soak, rub_at, on_at, now, thaw.free_at)
    conflicts = list(thaw.conflicts)
    if soak is not None and not salt:
        conflicts.append(_too_late_for_salt(piece, soak, thaw, on_at, now))
    steps = (*thaw.steps, *salt, rub)
    return Before(steps, tuple(conflicts), thaw.method, thaw.thawed)


def _soak(piece: Piece) -> SoakTime | None:
    if piece.brine is Brine.WET:
        return wet_time(piece.plan)
    return dry_time(piece.plan) if piece.brine is Brine.DRY else None


def _salt(
    piece: Piece,
    soak: SoakTime | None,
    rub_at: datetime,
    on_at: datetime,
    now: datetime,
    free_at: datetime | None,
) -> tuple[tuple[Step, ...], datetime]:
    """Steps of brine or dry salt, and when the meat must be thawed; no steps if too late."""
    if soak is None:
        return (), rub_at
    first = now if free_at is None else max(now, free_at)
    if piece.brine is Brine.DRY:
        wished = later(on_at, -0.5 * (soak.low_s + soak.high_s))
        at = max(wished, first)
        last = later(on_at, -soak.low_s)
        if at > last:
            return (), rub_at
        step = Step(StepKey.DRY_SALT, at, max(later(on_at, -soak.high_s), min(now, at)), last,
                    piece.name, _span("soak", soak), soak.source)  # fmt: skip
        return (step,), at
    out_last = later(rub_at, -DRY_LOW_S)
    wished = later(out_last, -0.5 * (soak.low_s + soak.high_s))
    at, last = max(wished, first), later(out_last, -soak.low_s)
    if at > last:
        return (), rub_at
    steps = (
        Step(StepKey.BRINE_IN, at, max(later(out_last, -soak.high_s), min(now, at)), last,
             piece.name, _span("soak", soak), soak.source),
        Step(StepKey.BRINE_OUT, out_last,
             max(later(rub_at, -DRY_HIGH_S), later(at, soak.low_s)), out_last, piece.name,
             (("dry_low_s", DRY_LOW_S), ("dry_high_s", DRY_HIGH_S))),
    )  # fmt: skip
    return steps, at


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


def _thaw(piece: Piece, wanted_by: datetime, rub_at: datetime, now: datetime) -> _Thawing:
    """Thaw by `wanted_by` if that can be, else by `rub_at`, else say what can still be done."""
    if piece.state is MeatState.THAWED:
        return _Thawing((), (), None, now)
    mass, state, cut = piece.plan.mass_kg, piece.state, piece.plan.cut
    cold = thaw_time(mass, ThawMethod.REFRIGERATOR, state, cut)
    water = thaw_time(mass, ThawMethod.COLD_WATER, state, cut)
    if piece.thaw is not ThawMethod.COLD_WATER:
        for by in (wanted_by, rub_at):
            if later(by, -cold.high_s) >= now:
                return _in_refrigerator(piece, cold, by, now)
    since = later(wanted_by, -cold.high_s)
    late = () if piece.thaw is ThawMethod.COLD_WATER else (_late(piece, since, water, rub_at),)
    if later(rub_at, -water.high_s) >= now:
        start = later(rub_at, -water.high_s)
        step = Step(StepKey.THAW, start, start, later(rub_at, -water.low_s), piece.name,
                    (*_thaw_span(water), ("change_water_s", WATER_CHANGE_S), ("cold_water", 1.0)),
                    water.source)  # fmt: skip
        return _Thawing((step,), late, ThawMethod.COLD_WATER, rub_at)
    late = (_late(piece, since, water, None),)
    step = Step(StepKey.THAW, now, now, now, piece.name,
                (*_thaw_span(water), ("change_water_s", WATER_CHANGE_S), ("cold_water", 1.0)),
                water.source)  # fmt: skip
    done = later(now, water.high_s)
    return _Thawing((step,), late, ThawMethod.COLD_WATER, done, thawed=False)


def _in_refrigerator(piece: Piece, cold: ThawTime, by: datetime, now: datetime) -> _Thawing:
    at = later(by, -cold.high_s)
    early = max(later(at, -HOLD_LOW_S), now)
    step = Step(StepKey.THAW, at, early, max(later(by, -cold.low_s), at), piece.name,
                (*_thaw_span(cold), ("keeps_s", HOLD_LOW_S), ("cold_water", 0.0)),
                cold.source)  # fmt: skip
    return _Thawing((step,), (), ThawMethod.REFRIGERATOR, by)


def _thaw_span(time: ThawTime) -> tuple[tuple[str, float], ...]:
    return (("thaw_low_s", time.low_s), ("thaw_high_s", time.high_s))


def _late(piece: Piece, since: datetime, water: ThawTime, rub_at: datetime | None) -> Conflict:
    """Should have been thawing in the refrigerator since then."""
    by = None if rub_at is None else later(rub_at, -water.high_s)
    remedy = Remedy(RemedyKey.COLD_WATER, by, _thaw_span(water), USDA)
    return Conflict(ConflictKey.THAW_LATE, piece.name, (("in_time", float(by is not None)),),
                    (remedy,), since)  # fmt: skip


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
