"""The other way round: a line that was read, spelled so that it is read the same again.

Used to put an earlier line back into the entry for correction, and to type samples in a replay.
"""

from __future__ import annotations

from datetime import datetime

from app.display import other_unit, plain_number
from app.line.values import LineContext, LogLine, TypedEvent
from app.line.vocabulary import EVENT_PHRASES, phrase_at
from core.cook import Event, EventKind
from core.spots import UNNAMED, is_spot_text, spots_of
from core.units import TemperatureUnit, from_celsius, to_celsius

EXACT_C = 1e-6
SPOT_EXACT_C = 0.006
"""The text of a spot check keeps hundredths of a degree."""


def spell_line(line: LogLine, ctx: LineContext) -> str:
    """The line in the grammar: readings, time, events.

    Parameters
    ----------
    line : LogLine
    ctx : LineContext
        The cook that it will be read against.
    """
    parts = spell_readings(line.pit_c, line.meat_c, ctx.probes, ctx.unit)
    if line.at is not None:
        parts.append(spell_time(line.at))
    events = "; ".join(spell_event(event, ctx.unit) for event in _notes_last(line.events))
    return " ".join([*parts, events]).strip()


def spell_readings(
    pit_c: float | None,
    meat_c: tuple[tuple[str, float], ...],
    probes: tuple[str, ...],
    unit: TemperatureUnit,
) -> list[str]:
    """The readings as words, ``-`` for what was not read, none behind the last."""
    temps = dict(meat_c)
    values = [pit_c, *(temps.get(name) for name in probes)]
    while values and values[-1] is None:
        values.pop()
    return ["-" if value is None else _number(value, unit) for value in values]


def spell_time(at: datetime) -> str:
    """A time that can mean one instant only."""
    return f"@{at.isoformat()}"


def spell_event(event: TypedEvent, unit: TemperatureUnit) -> str:
    """The event's word on the card, and its text."""
    if event.kind is EventKind.SPOT_CHECK and is_spot_text(event.note):
        return f"{EVENT_PHRASES[event.kind][0]} {_spell_spots(event.note, unit)}"
    # A semicolon would end the text, except in a note.
    note = event.note if event.kind is EventKind.NOTE else event.note.replace(";", ",")
    behind = note.casefold().split()
    phrases = EVENT_PHRASES[event.kind]
    # `moved probe` is a phrase of its own, so that `moved` cannot carry the text `probe`.
    whole = (p for p in phrases if phrase_at([*p.split(), *behind]) == (event.kind, len(p.split())))
    return f"{next(whole, phrases[0])} {note}".strip()


def _spell_spots(note: str, unit: TemperatureUnit) -> str:
    spots = spots_of(Event(0.0, EventKind.SPOT_CHECK, note))
    words = ((s.place, _number(s.temp_c, unit, SPOT_EXACT_C)) for s in spots)
    return ", ".join(temp if place == UNNAMED else f"{place} {temp}" for place, temp in words)


def _notes_last(events: tuple[TypedEvent, ...]) -> list[TypedEvent]:
    # A note takes the rest of the line.
    return sorted(events, key=lambda event: event.kind is EventKind.NOTE)


def _number(temp_c: float, unit: TemperatureUnit, exact_c: float = EXACT_C) -> str:
    text = plain_number(from_celsius(temp_c, unit), 1)
    if abs(to_celsius(float(text), unit) - temp_c) < exact_c:
        return text
    # Typed in the other unit: only there it has one decimal.
    other = other_unit(unit)
    return f"{plain_number(from_celsius(temp_c, other), 1)}{other.value.lower()}"
