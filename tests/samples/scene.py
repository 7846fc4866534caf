"""What an invented cook is told in: pieces of meat, habits, and what happens when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.cook import EventKind, Plan, Probe
from core.units import TemperatureUnit


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of meat with a probe in it.

    ``hidden`` overrides what the simulator would draw for it (start, probe place, ...).
    """

    probe: Probe
    mass_kg: float
    seed: int
    hidden: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Act:
    """Something the person does once: at a minute, or at the look that shows a temperature.

    Attributes
    ----------
    kind, note
        The event that is logged.
    minute : float or None
        When, from meat-on.
    probe, temp_c
        Or: at the first look at which that probe shows at least that.
    delay_min : float
        How long after the look it is done and logged.
    lid : float
        Share of the pit's heat that the open lid costs.
    fuel, wrap, water_kg_m2, trim_c
        Coals added; ``foil`` or ``paper``; liquid brushed on; vents set for that much more heat.
    """

    kind: EventKind
    note: str = ""
    minute: float | None = None
    probe: str | None = None
    temp_c: float = 0.0
    delay_min: float = 1.0
    lid: float = 0.0
    fuel: bool = False
    wrap: str | None = None
    water_kg_m2: float = 0.0
    trim_c: float = 0.0


@dataclass(frozen=True, slots=True)
class Slip:
    """One mistyped reading: the first look after `minute` types the probe's digits swapped."""

    minute: float
    probe: str


@dataclass(frozen=True, slots=True)
class Scene:
    """One invented cook.

    Attributes
    ----------
    key : str
        File name without ending.
    title : str
    started_at, serve_at : str
        ISO times with offset.
    unit : TemperatureUnit
    plan : Plan
    pieces : tuple of Piece
    acts : tuple of Act
    gap_min : float
        Usual gap between looks.
    naps : tuple of (from, to)
        Minutes without a look.
    fuel_notes, vent_notes : tuple of str
        Words for coals and vents, used in turn.
    spot_check : str
        Words for the check of other spots before the meat comes off.
    ending : str
        Words for the pull.
    rest_min : float
        From pull to carving.
    rest_loss : float
        Share of an open rest's heat loss (a box with towels loses little).
    served : str
    seed : int
        Of the looks and the fire.
    fire : mapping
        Overrides of the fire that the simulator would draw.
    dial : bool
        The pit gauge is read to five degrees.
    slip : Slip or None
    """

    key: str
    title: str
    started_at: str
    serve_at: str
    unit: TemperatureUnit
    plan: Plan
    pieces: tuple[Piece, ...]
    acts: tuple[Act, ...]
    gap_min: float
    fuel_notes: tuple[str, ...]
    vent_notes: tuple[str, ...]
    spot_check: str
    ending: str
    rest_min: float
    served: str
    seed: int
    naps: tuple[tuple[float, float], ...] = ()
    fire: Mapping[str, float] = field(default_factory=dict)
    rest_loss: float = 1.0
    dial: bool = False
    slip: Slip | None = None
