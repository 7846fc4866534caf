"""Invented cooks for the tests of the data file."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from core.cook import Event, EventKind, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit
from storage.values import NewCook

START = datetime(2026, 10, 17, 11, 40, tzinfo=timezone(timedelta(hours=2)))
NOW = datetime(2026, 10, 17, 13, 0, tzinfo=UTC)

GOOSE = NewCook(
    title="Goose for six (invented)",
    started_at=START,
    unit=TemperatureUnit.CELSIUS,
    mass_unit=MassUnit.KILOGRAM,
    plan=Plan("goose", 4.6, 160.0, 150.0, 175.0, serve_s=5 * 3600.0, rest_s=1200.0),
    probes=(Probe("thigh", 80.0, 5.0), Probe("breast", 74.0, 4.5, glaze_c=62.0)),
)


def at(minute: float) -> datetime:
    """UTC instant of that minute of the sample cook."""
    return (START + timedelta(minutes=minute)).astimezone(UTC)


def reading(minute: float, pit: float | None, **meat: float) -> Reading:
    """A reading at that minute."""
    return Reading(minute * 60.0, pit, tuple(meat.items()))


def typed(minute: float, pit: float | None = 155.0, **meat: float) -> dict[str, Any]:
    """Arguments for a line with one reading."""
    words = [str(pit), *(f"{name} {value}" for name, value in meat.items())]
    return {
        "text": " ".join(words),
        "typed_at": at(minute + 0.5),
        "at": at(minute),
        "readings": (reading(minute, pit, **meat),),
        "events": (),
    }


def happened(minute: float, kind: EventKind, note: str = "") -> dict[str, Any]:
    """Arguments for a line with one event."""
    return {
        "text": f"{kind} {note}".strip(),
        "typed_at": at(minute),
        "at": at(minute),
        "readings": (),
        "events": (Event(minute * 60.0, kind, note),),
    }


def filled(pages: int = 30) -> dict[str, Any]:
    """Arguments for a line that fills some pages of the file."""
    readings = tuple(reading(minute / 9, 150.0, thigh=20.0) for minute in range(pages * 60))
    return {**typed(0), "readings": readings}
