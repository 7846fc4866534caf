"""The list of past cooks in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo

from app.display import WEEKDAYS, Display, span
from core.catalogue import cut_named
from core.units import MassUnit, TemperatureUnit
from storage.values import CookSummary

HEADINGS = ("Meat on", "Cook", "Cut", "Weight", "Pit", "Readings", "State")


@dataclass(frozen=True, slots=True)
class CookRow:
    """One row, in the order of `HEADINGS`."""

    cook_id: int
    cells: tuple[str, ...]


def present_cooks(
    cooks: tuple[CookSummary, ...],
    now: datetime,
    zone: tzinfo,
    unit: TemperatureUnit,
    mass_unit: MassUnit,
) -> tuple[CookRow, ...]:
    """All cooks, newest first, in one person's units."""
    display = Display(unit, mass_unit, zone)
    return tuple(_row(cook, now, display) for cook in cooks)


def _row(cook: CookSummary, now: datetime, display: Display) -> CookRow:
    local = display.local(cook.started_at)
    if cook.ended_at is None:
        state = f"on for {span((now - cook.started_at).total_seconds())}"
        if cook.started_at > now:
            state = "not on yet"
    else:
        state = f"took {span((cook.ended_at - cook.started_at).total_seconds())}"
    if cook.invented:
        state += ", invented"
    cells = (
        f"{WEEKDAYS[local.weekday()]} {local:%Y-%m-%d %H:%M}",
        cook.title,
        cut_named(cook.cut).name,
        display.mass(cook.mass_kg),
        display.temp(cook.pit_c),
        str(cook.readings),
        state,
    )
    return CookRow(cook.id, cells)
