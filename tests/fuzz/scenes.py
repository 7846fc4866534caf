"""Where lines are typed while fuzzing: invented cooks at moments that are hard to read times in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit
from storage.values import SavedCook, SavedLine

CHICAGO, LORD_HOWE = ZoneInfo("America/Chicago"), ZoneInfo("Australia/Lord_Howe")
BREAST, THIGH = Probe("breast", 74.0, 4.0, 62.0), Probe("left thigh", 80.0, 4.0)


@dataclass(frozen=True, slots=True)
class Scene:
    """A cook, the present, and the zone that clocks show."""

    saved: SavedCook | None
    now: datetime
    zone: ZoneInfo

    @property
    def clock(self) -> Callable[[], datetime]:
        """The clock that stands still at `now`."""
        return lambda: self.now


def _scene(
    started: str,
    hours: float,
    *,
    zone: ZoneInfo = CHICAGO,
    probes: tuple[Probe, ...] = (BREAST, THIGH),
    unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT,
    readings: int = 0,
    served: bool = False,
) -> Scene:
    """A goose that went on at `started`, so many hours ago."""
    start = datetime.fromisoformat(started).replace(tzinfo=zone).astimezone(UTC)
    now = start + timedelta(hours=hours)
    step_s = hours * 3600.0 / max(readings + 1, 1)
    rows = tuple(
        Reading(step_s * (n + 1), 150.0 + n % 3, tuple((p.name, 8.0 + 5.0 * n) for p in probes))
        for n in range(readings)
    )
    events = (Event(step_s, EventKind.LID_OPEN), Event(step_s * 1.5, EventKind.NOTE, "wind"))
    lines = tuple(_line(n + 1, start, reading) for n, reading in enumerate(rows))
    if rows:
        lines += tuple(_line(len(rows) + n + 1, start, event) for n, event in enumerate(events))
    cook = Cook(
        Plan("goose", 4.6, 160.0, 150.0, 175.0, serve_s=5 * 3600.0), probes, rows,
        events if rows else (),
    )  # fmt: skip
    mass = MassUnit.POUND if unit is TemperatureUnit.FAHRENHEIT else MassUnit.KILOGRAM
    ended = now - timedelta(minutes=3) if served else None
    saved = SavedCook(7, "An invented goose", start, unit, mass, cook, lines, ended, True)
    return Scene(saved, now, zone)


def _line(number: int, start: datetime, part: Reading | Event) -> SavedLine:
    at = start + timedelta(seconds=part.elapsed_s)
    readings = (part,) if isinstance(part, Reading) else ()
    events = (part,) if isinstance(part, Event) else ()
    return SavedLine(number, 7, "typed", at, at, readings, events, number == 2, None, None)


SCENES = (
    _scene("2026-10-10T13:05", 3.2),
    _scene("2026-10-10T13:05", 3.2, readings=5),
    _scene("2026-10-10T13:05", 3.2, unit=TemperatureUnit.CELSIUS, readings=3),
    # the hour that comes twice, and the one that is skipped
    _scene("2026-10-31T22:00", 3.9, readings=2),
    _scene("2026-03-07T20:00", 7.5, readings=2),
    # a zone that moves its clocks by half an hour
    _scene("2026-04-04T21:00", 5.2, zone=LORD_HOWE, readings=2),
    _scene("2028-02-28T21:00", 6.0, readings=2),
    _scene("2026-12-31T20:00", 9.0, probes=(), readings=2),
    _scene("2026-10-10T13:05", 0.0),
    _scene("2026-10-10T13:05", -1.0),
    _scene("2026-10-10T13:05", 120.0, readings=9),
    _scene("2026-10-10T13:05", 4.0, readings=5, served=True),
    Scene(None, datetime(2026, 10, 10, 18, 5, tzinfo=UTC), CHICAGO),
)
