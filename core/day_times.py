"""The spans a day's plan is laid out with, and the chance that decides when the meat goes on."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta, tzinfo

from core.answers import Arrival
from core.cook import Plan

LIGHT_LOW_S, LIGHT_HIGH_S = 1800.0, 2700.0
"""How long before the meat a charcoal fire is lit (common practice, no source) [s]."""

STEADY_S = 600.0
RUB_S = 3600.0
RUB_EARLY_S = 12.0 * 3600.0
DRY_LOW_S, DRY_HIGH_S = 3600.0, 12.0 * 3600.0
"""Drying uncovered in the refrigerator after a wet brine (common practice, no source) [s]."""

SMOKE_S = 2.0 * 3600.0
"""Wood smoke matters in the first two hours (common practice, no source) [s]."""

HOLD_C = 60.0
HOLD_LONG_S = 4.0 * 3600.0
"""A hold that the plan warns about when it is likely to be longer (common practice) [s]."""

LEFTOVERS_S, LEFTOVERS_HOT_S, LEFTOVERS_HOT_C = 7200.0, 3600.0, 32.0
LEFTOVERS_SOURCE = "USDA FSIS two-hour rule"

FIRE_EARLY_S = 2 * 3600.0
"""A fire lit so long before the meat has burnt a good part of its fuel [s]. Common practice."""
LATE_LEVEL, EARLY_LEVEL = 0.9, 0.1
_CARVE_S, _CARVE_A_HEAD_S, _CARVE_MOST_S = 600.0, 30.0, 1500.0
_ROUND_S = 300
WAKES, SLEEPS = time(7, 0), time(22, 30)
"""Hours between which work is planned if there is a choice (common practice, no source)."""

PORTIONS_KG = {
    "pork_shoulder": 0.35, "pork_loin": 0.25, "pork_ribs": 0.45, "ham": 0.35,
    "beef_brisket": 0.40, "beef_rib_roast": 0.40, "leg_of_lamb": 0.35, "whole_chicken": 0.45,
    "chicken_pieces": 0.35, "whole_turkey": 0.55, "turkey_breast": 0.30, "duck": 0.60,
    "goose": 0.65, "salmon_side": 0.20, "other": 0.30,
}  # fmt: skip
"""Raw meat a head (common practice, no source) [kg]."""


def later(at: datetime, seconds: float) -> datetime:
    """The instant `seconds` after `at`, in UTC: real time, whatever the clocks do."""
    return at.astimezone(UTC) + timedelta(seconds=seconds)


def seconds_between(first: datetime, last: datetime) -> float:
    """Real time from `first` to `last` [s]."""
    return (last.astimezone(UTC) - first.astimezone(UTC)).total_seconds()


def floored(at: datetime) -> datetime:
    """The last five-minute mark at or before an instant."""
    past = at.timestamp() % _ROUND_S
    return later(at, -past)


def ceiled(at: datetime) -> datetime:
    """The first five-minute mark at or after an instant."""
    return later(at, -at.timestamp() % _ROUND_S)


def is_day(at: datetime, zone: tzinfo) -> bool:
    """Whether an instant falls in the hours of work there."""
    return WAKES <= at.astimezone(zone).time() <= SLEEPS


def evening_before(at: datetime, zone: tzinfo) -> datetime:
    """The last end of the day's work before an instant, in UTC."""
    local = at.astimezone(zone)
    day = local.date() if local.time() > SLEEPS else local.date() - timedelta(days=1)
    return datetime.combine(day, SLEEPS, tzinfo=zone).astimezone(UTC)


def by_day(at: datetime, early: datetime, zone: tzinfo) -> datetime:
    """An instant, moved back to the evening before if it falls in the night and `early` allows."""
    if is_day(at, zone):
        return at
    evening = evening_before(at, zone)
    return evening if evening >= early else at


def carve_span_s(people: int | None) -> float:
    """Time to carve and bring to the table (common practice, no source) [s]."""
    wanted = min(_CARVE_S + _CARVE_A_HEAD_S * (people or 0), _CARVE_MOST_S)
    return float(_ROUND_S * round(wanted / _ROUND_S))


def needed_s(finish: Arrival, chance: float) -> float | None:
    """Time on the fire that is enough with the wanted chance [s]; None if none is."""
    return finish.quantile_s(chance)


def heads_fed(plan: Plan) -> float:
    """How many people one piece feeds."""
    return plan.mass_kg / PORTIONS_KG.get(plan.cut, PORTIONS_KG["other"])
