"""Contexts that lines are read against in tests: an invented goose, two probes."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from app.line.values import LineContext
from core.units import TemperatureUnit

CHICAGO = ZoneInfo("America/Chicago")


def context(
    now: str = "2026-10-10T16:20:00",
    started: str = "2026-10-10T13:05:00",
    *,
    probes: tuple[str, ...] = ("breast", "left thigh"),
    unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT,
    zone: ZoneInfo = CHICAGO,
    fold: int = 0,
) -> LineContext:
    """A context with local clock times in `zone`."""
    now_at = datetime.fromisoformat(now).replace(tzinfo=zone, fold=fold)
    started_at = datetime.fromisoformat(started).replace(tzinfo=zone)
    return LineContext(probes, unit, now_at, started_at, zone)
