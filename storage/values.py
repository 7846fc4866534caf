"""What the store takes and gives: frozen values, with no row or session in them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.cook import Cook, Event, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit


@dataclass(frozen=True, slots=True)
class SavedLine:
    """One accepted line, as it was typed and as it was read.

    Attributes
    ----------
    id, cook_id : int
    text : str
        What was typed.
    typed_at : datetime
        When Enter was pressed, aware, UTC.
    at : datetime
        The time it speaks of, aware, UTC.
    readings, events : tuple
        Core values, ``elapsed_s`` from meat-on.
    deleted : bool
        Taken back or deleted; kept so that it can be restored.
    replaces_id, replaced_by_id : int or None
        The line that this one corrects, and the live correction of this one.
    """

    id: int
    cook_id: int
    text: str
    typed_at: datetime
    at: datetime
    readings: tuple[Reading, ...]
    events: tuple[Event, ...]
    deleted: bool
    replaces_id: int | None
    replaced_by_id: int | None

    @property
    def live(self) -> bool:
        """Whether it counts: neither deleted nor replaced by a correction."""
        return not self.deleted and self.replaced_by_id is None


@dataclass(frozen=True, slots=True)
class SavedCook:
    """One cook as the file holds it.

    Attributes
    ----------
    id : int
    title : str
    started_at : datetime
        Meat-on, aware, with the offset it was given in.
    unit, mass_unit
        What the cook types and reads in.
    cook : Cook
        Plan, probes and what the live lines say.
    lines : tuple of SavedLine
        All lines, deleted and replaced ones included, in order of ``at``, then id.
    ended_at : datetime or None
        Aware, UTC.
    invented : bool
        A sample, not a real cook.
    """

    id: int
    title: str
    started_at: datetime
    unit: TemperatureUnit
    mass_unit: MassUnit
    cook: Cook
    lines: tuple[SavedLine, ...]
    ended_at: datetime | None
    invented: bool


@dataclass(frozen=True, slots=True)
class NewCook:
    """What is needed to begin a cook; `started_at` must be aware and its offset is kept."""

    title: str
    started_at: datetime
    unit: TemperatureUnit
    mass_unit: MassUnit
    plan: Plan
    probes: tuple[Probe, ...]
    invented: bool = False


@dataclass(frozen=True, slots=True)
class CookSummary:
    """One row of a list of cooks; `readings` counts the live ones."""

    id: int
    title: str
    started_at: datetime
    cut: str
    mass_kg: float
    pit_c: float
    readings: int
    ended_at: datetime | None
    invented: bool
