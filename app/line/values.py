"""What a typed line can turn out to be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from enum import StrEnum

from core.cook import EventKind
from core.units import TemperatureUnit


@dataclass(frozen=True, slots=True)
class LineContext:
    """What a line is read against.

    Attributes
    ----------
    probes : tuple of str
        Probe names in their order.
    unit : TemperatureUnit
        Of numbers without a unit.
    now : datetime
        Aware: when the line is typed.
    started_at : datetime
        Aware: meat-on.
    zone : tzinfo
        Zone of clock times.
    """

    probes: tuple[str, ...]
    unit: TemperatureUnit
    now: datetime
    started_at: datetime
    zone: tzinfo

    def __post_init__(self) -> None:
        # In UTC, or Python would subtract by the wall clock within one zone.
        object.__setattr__(self, "now", self.now.astimezone(UTC))
        object.__setattr__(self, "started_at", self.started_at.astimezone(UTC))


@dataclass(frozen=True, slots=True)
class LineError:
    """A line that was not understood: what was found and what is allowed."""

    found: str
    allowed: str

    @property
    def reason(self) -> str:
        """Both in one line."""
        return f"{self.found}; {self.allowed}"

    @property
    def message(self) -> str:
        """Both, and what became of the line."""
        return f"{self.reason}. Nothing was saved."


class Refusal(Exception):
    """Raised inside the parser where a line stops making sense; never leaves `app.line`."""

    def __init__(self, found: str, allowed: str) -> None:
        super().__init__(found)
        self.error = LineError(found, allowed)


@dataclass(frozen=True, slots=True)
class TypedEvent:
    """Something that happened, with the words after it."""

    kind: EventKind
    note: str = ""


@dataclass(frozen=True, slots=True)
class LogLine:
    """Readings, events, or both, at one time.

    Attributes
    ----------
    at : datetime or None
        Aware; None if the line names no time: now, or for a correction the time it had.
    pit_c : float or None
    meat_c : tuple of (str, float)
        In the order of the probes [°C].
    events : tuple of TypedEvent
    told : tuple of str
        Rules that were applied to the time and that the reader should hear of.
    """

    at: datetime | None
    pit_c: float | None = None
    meat_c: tuple[tuple[str, float], ...] = ()
    events: tuple[TypedEvent, ...] = ()
    told: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LineRef:
    """Which earlier line is meant: its number in the log, or the time it speaks of."""

    number: int | None = None
    at: datetime | None = None
    told: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FixLine:
    """Corrects an earlier line; without `ref` the last one that carries readings."""

    ref: LineRef | None
    body: LogLine


@dataclass(frozen=True, slots=True)
class DropLine:
    """Takes an earlier line out of the log."""

    ref: LineRef


@dataclass(frozen=True, slots=True)
class RestoreLine:
    """Brings a dropped line back."""

    ref: LineRef


@dataclass(frozen=True, slots=True)
class PlanLine:
    """Changes one field of the plan; `value` is read against the cook."""

    field: str
    value: str


class Word(StrEnum):
    """Lines of one word that say something about the log or the cook as a whole."""

    UNDO = "undo"
    HELP = "help"
    END = "end"
    REOPEN = "reopen"


ParsedLine = LogLine | FixLine | DropLine | RestoreLine | PlanLine | Word
