"""Replaying a sample as if it were typed live, faster than life.

Pure: which line is typed when, and what the clock of the replay says. The Tend screen asks.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from app.line.parse import parse_line
from app.line.spell import spell_event, spell_readings
from app.line.tokens import LONGEST
from app.line.values import LineContext, LogLine, TypedEvent
from core.cook import Event, EventKind
from core.units import MassUnit, TemperatureUnit
from storage.documents import CookDocument
from storage.values import NewCook

USUAL_SPEED = 120.0
"""Two minutes of the cook in a second: an afternoon in three minutes."""
SPEEDS = (1.0, 7200.0)
LEAD_S = 60.0
"""The replay starts so long before its first line [s]."""


@dataclass(frozen=True, slots=True)
class Demo:
    """A sample and how fast it is replayed: seconds of the cook in a second."""

    document: CookDocument
    speed: float = USUAL_SPEED


@dataclass(frozen=True, slots=True)
class ReplayLine:
    """One line, typed at `elapsed_s` from meat-on."""

    elapsed_s: float
    text: str


@dataclass(frozen=True, slots=True)
class Pace:
    """The clock of a replay: it showed `shown` when a steady clock stood at `steady_s`."""

    steady_s: float
    shown: datetime
    speed: float

    def now(self, steady_s: float) -> datetime:
        """What the replay's clock shows."""
        return self.shown + timedelta(seconds=(steady_s - self.steady_s) * self.speed)

    def at_speed(self, steady_s: float, speed: float) -> Pace:
        """The same clock going on from here at another speed, kept within `SPEEDS`; 0 stops it."""
        speed = 0.0 if speed <= 0.0 else min(max(speed, SPEEDS[0]), SPEEDS[1])
        return Pace(steady_s, self.now(steady_s), speed)


def start_pace(demo: Demo, steady_s: float) -> Pace:
    """The clock at the beginning of a replay."""
    lines = schedule(demo.document)
    first_s = min(0.0, lines[0].elapsed_s) if lines else 0.0
    shown = demo.document.started_at + timedelta(seconds=first_s - LEAD_S)
    return Pace(steady_s, shown, 0.0).at_speed(steady_s, demo.speed)


def new_cook(document: CookDocument) -> NewCook:
    """The cook of a sample before anything was typed."""
    celsius = document.unit is TemperatureUnit.CELSIUS
    return NewCook(
        title=document.title,
        started_at=document.started_at,
        unit=document.unit,
        mass_unit=MassUnit.KILOGRAM if celsius else MassUnit.POUND,
        plan=document.plan,
        probes=document.probes,
        invented=document.invented,
    )


def schedule(document: CookDocument) -> tuple[ReplayLine, ...]:
    """All lines of a sample in the order they are typed, spelled as the line is typed."""
    names = tuple(probe.name for probe in document.probes)
    lines = [
        ReplayLine(
            reading.elapsed_s,
            " ".join(spell_readings(reading.pit_c, reading.meat_c, names, document.unit)),
        )
        for reading in document.readings
    ]
    lines += [
        ReplayLine(event.elapsed_s, _event_text(event, document)) for event in document.events
    ]
    return tuple(sorted(lines, key=lambda line: line.elapsed_s))


def due(lines: tuple[ReplayLine, ...], since_s: float, until_s: float) -> tuple[ReplayLine, ...]:
    """The lines typed after `since_s` and not after `until_s` (seconds from meat-on)."""
    return tuple(line for line in lines if since_s < line.elapsed_s <= until_s)


def _event_text(event: Event, document: CookDocument) -> str:
    """The event as a line; with plainer words, or none, if the line could not carry them."""
    plain = "".join(c if c.isprintable() else " " for c in event.note)[: LONGEST // 2]
    for note in (event.note.strip(), " ".join(plain.replace("@", "at ").split())):
        text = spell_event(TypedEvent(event.kind, note), document.unit)
        if _carries(text, event, document):
            return text
    nothing = TypedEvent(event.kind, "no words" if event.kind is EventKind.NOTE else "")
    return spell_event(nothing, document.unit)


def _carries(text: str, event: Event, document: CookDocument) -> bool:
    """Whether a typed line is read as just that event, now."""
    names = tuple(probe.name for probe in document.probes)
    start = document.started_at
    parsed = parse_line(text, LineContext(names, document.unit, start, start, UTC))
    if not isinstance(parsed, LogLine) or parsed.at is not None or parsed.pit_c is not None:
        return False
    return not parsed.meat_c and [typed.kind for typed in parsed.events] == [event.kind]
