"""What the store takes and gives: frozen values, with no row or session in them."""

from __future__ import annotations

from dataclasses import dataclass, field
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
    stamp : str
        As in `CookSummary`; empty if the cook is not from the file. Not compared.
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
    stamp: str = field(default="", compare=False)


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
    """One row of a list of cooks.

    `readings` counts the live ones. `stamp` is another one whenever a line, the plan, the start,
    the end or the outcome of the cook has changed, so what was computed from the cook under one
    stamp holds as long as the stamp does.
    """

    id: int
    title: str
    started_at: datetime
    cut: str
    mass_kg: float
    pit_c: float
    readings: int
    ended_at: datetime | None
    invented: bool
    stamp: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a cook turned out, as the person who ate it says; nothing needs to be said.

    Attributes
    ----------
    tender, juicy, skin, smoke : int or None
        1 (poor) to 5 (as good as can be); `skin` is skin or bark.
    words : str
        In their own words.
    change : str
        What they would change next time.
    wood : str
        The wood that was used.
    """

    tender: int | None = None
    juicy: int | None = None
    skin: int | None = None
    smoke: int | None = None
    words: str = ""
    change: str = ""
    wood: str = ""


@dataclass(frozen=True, slots=True)
class Mix:
    """A brine, a rub or a glaze.

    Attributes
    ----------
    id : int
    name : str
    kind : str
        "brine", "rub" or "glaze".
    lines : tuple of str
        The ingredients as they were typed.
    meat_kg : float or None
        The meat it was made for [kg].
    saved_at : datetime
        Aware, UTC.
    """

    id: int
    name: str
    kind: str
    lines: tuple[str, ...]
    meat_kg: float | None
    saved_at: datetime


@dataclass(frozen=True, slots=True)
class SavedStep:
    """What was done about one step of a day; times aware, UTC."""

    key: str
    ticked_at: datetime | None
    moved_to: datetime | None


@dataclass(frozen=True, slots=True)
class SavedDay:
    """One planned day.

    Attributes
    ----------
    id : int
    title : str
    wish : str
        JSON text of what is wished for, as the app wrote it.
    steps : tuple of SavedStep
        Those that were ticked off or moved, by key.
    cook_ids : tuple of int
        The cooks that were begun out of it and are not in the bin.
    created_at, closed_at : datetime
        Aware, UTC.
    """

    id: int
    title: str
    wish: str
    steps: tuple[SavedStep, ...]
    cook_ids: tuple[int, ...]
    created_at: datetime
    closed_at: datetime | None
