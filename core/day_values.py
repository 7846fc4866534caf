"""The values of a day's plan: what is wished for, the steps, and what stands in the way.

Every instant is an aware datetime in UTC, so that sums and differences are real time whatever the
clocks do that night. What is said to a cook is chosen elsewhere: here are keys and numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from enum import StrEnum

from core.answers import Arrival, Forecast
from core.cook import Plan, Probe
from core.errors import InvalidValue
from core.thaw import MeatState, ThawMethod

PRIOR = "prior forecast"
COMMON = "common practice, no source"
SAME_PIT_C = 5.0
"""Pits so near to each other are one fire [K]."""

Numbers = tuple[tuple[str, float], ...]
"""Named numbers in SI units: seconds, °C, kg, shares."""


class Brine(StrEnum):
    """What is done with salt beforehand."""

    NONE = "none"
    WET = "wet"
    DRY = "dry"


class StepKey(StrEnum):
    """The steps of a day, in their usual order."""

    THAW = "thaw"
    THAW_FINISH = "thaw_finish"
    BRINE_IN = "brine_in"
    BRINE_OUT = "brine_out"
    DRY_SALT = "dry_salt"
    RUB = "rub"
    LIGHT = "light"
    FIRE_STEADY = "fire_steady"
    MEAT_ON = "meat_on"
    SMOKE = "smoke"
    FIRST_LOOK = "first_look"
    MEAT_LOOK = "meat_look"
    GLAZE = "glaze"
    WRAP = "wrap"
    FINISH_LOOK = "finish_look"
    PULL = "pull"
    REST = "rest"
    HOLD = "hold"
    CARVE = "carve"
    EAT = "eat"
    LEFTOVERS = "leftovers"


class ConflictKey(StrEnum):
    """What does not go as wished."""

    SERVE_PAST = "serve_past"
    THAW_LATE = "thaw_late"
    BRINE_LATE = "brine_late"
    MEAT_ON_LATE = "meat_on_late"
    RUNNING_LATE = "running_late"
    NEVER_REACHED = "never_reached"
    LONG_HOLD = "long_hold"
    PITS_DIFFER = "pits_differ"
    BELOW_MINIMUM = "below_minimum"
    SMALL_FOR_PEOPLE = "small_for_people"
    FIRE_EARLY = "fire_early"


class RemedyKey(StrEnum):
    """What can still be done."""

    COLD_WATER = "cold_water"
    FROM_FROZEN = "from_frozen"
    SHORTER_BRINE = "shorter_brine"
    NO_BRINE = "no_brine"
    EAT_AT = "eat_at"
    HOTTER_PIT = "hotter_pit"
    FIRMER_PIT = "firmer_pit"
    WRAP = "wrap"
    LOWER_CHANCE = "lower_chance"
    ONE_PIT = "one_pit"
    MORE_MEAT = "more_meat"


@dataclass(frozen=True, slots=True)
class Pin:
    """A step that stands at a time of the cook's own: moved there, or done then."""

    at: datetime
    done: bool = False


def step_id(key: StepKey, piece: str | None) -> str:
    """Name of a step in its day: ``light``, ``meat_on:duck``."""
    return key.value if piece is None else f"{key.value}:{piece}"


@dataclass(frozen=True, slots=True, eq=False)
class LivePiece:
    """A piece that is on the fire, with the forecast from its own readings.

    `over` is set once it was served or ended.
    """

    on_at: datetime
    told: Forecast
    over: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of meat of the meal.

    Attributes
    ----------
    name : str
        What to call it; unique in the day.
    plan : Plan
        Cut, mass, pit and rest; ``serve_s`` is set by the planner.
    probes : tuple of Probe
    state : MeatState
    brine : Brine
    thaw : ThawMethod or None
        None: the refrigerator while there is time, else cold water.
    """

    name: str
    plan: Plan
    probes: tuple[Probe, ...]
    state: MeatState = MeatState.THAWED
    brine: Brine = Brine.NONE
    thaw: ThawMethod | None = None


@dataclass(frozen=True, slots=True)
class DayWish:
    """What the cook wants.

    Attributes
    ----------
    pieces : tuple of Piece
        On one fire, which has one pit: see `fire_c`.
    serve_at, now : datetime
        Aware; the meal, and when the plan is made.
    people : int or None
    chance : float
        Wanted chance of being ready by the meal, 0.05 to 0.99.
    pins : mapping of str to Pin
        Steps that were moved or done, by `step_id`; the rest of the day follows from them.
    zone : tzinfo
        The zone that `serve_at` came in: what is done the day before is kept out of its nights.
    """

    pieces: tuple[Piece, ...]
    serve_at: datetime
    now: datetime
    people: int | None = None
    chance: float = 0.9
    pins: Mapping[str, Pin] = field(default_factory=dict)
    zone: tzinfo = field(init=False, repr=False, compare=False, default=UTC)

    def __post_init__(self) -> None:
        if not self.pieces:
            raise InvalidValue("pieces", "none", "at least one piece of meat")
        if len({p.name for p in self.pieces}) < len(self.pieces):
            raise InvalidValue("pieces", "two of one name", "a name of its own for each")
        for name in ("serve_at", "now"):
            value: datetime = getattr(self, name)
            if value.utcoffset() is None:
                raise InvalidValue(name, value, "a time with a time zone")
            if name == "serve_at":
                object.__setattr__(self, "zone", value.tzinfo)
            object.__setattr__(self, name, value.astimezone(UTC))
        if not 0.05 <= self.chance <= 0.99:
            raise InvalidValue("chance", self.chance, "0.05 to 0.99")
        if self.people is not None and not 1 <= self.people <= 10_000:
            raise InvalidValue("people", self.people, "1 to 10000")

    @property
    def fire_c(self) -> float:
        """The pit of the one fire [°C]: what all want, or the middle of what they want."""
        pits = [piece.plan.pit_c for piece in self.pieces]
        low, high = min(pits), max(pits)
        return pits[0] if high - low <= SAME_PIT_C else 0.5 * (low + high)

    def pin(self, key: StepKey, piece: str | None = None) -> Pin | None:
        """Where the cook has put that step, None if it follows the plan."""
        return self.pins.get(step_id(key, piece))


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the day.

    Attributes
    ----------
    key : StepKey
    at : datetime
        When it is planned or expected (UTC).
    early, late : datetime
        Range: of choice for what the cook does, 10 to 90 % for what the meat does.
    piece : str or None
        Whose step it is; None for the whole meal.
    why : tuple of (name, number)
        The numbers behind it.
    source : str
        Where they are from.
    pin : Pin or None
        Set when the cook has moved it or done it; it then stands at that time.
    """

    key: StepKey
    at: datetime
    early: datetime
    late: datetime
    piece: str | None = None
    why: Numbers = ()
    source: str = COMMON
    pin: Pin | None = None

    @property
    def id(self) -> str:
        """Its name in the day: ``light``, ``meat_on:duck``."""
        return step_id(self.key, self.piece)

    @property
    def done(self) -> bool:
        """Whether it has happened."""
        return self.pin is not None and self.pin.done

    def number(self, name: str) -> float | None:
        """One of the numbers behind it, None if it has none of that name."""
        return next((value for key, value in self.why if key == name), None)


@dataclass(frozen=True, slots=True)
class Remedy:
    """Something that can still be done, by when, with its numbers."""

    key: RemedyKey
    by: datetime | None = None
    numbers: Numbers = ()
    source: str = PRIOR


@dataclass(frozen=True, slots=True)
class Conflict:
    """Something that does not go as wished, and what can still be done."""

    key: ConflictKey
    piece: str | None
    numbers: Numbers
    remedies: tuple[Remedy, ...]
    at: datetime | None = None

    def number(self, name: str) -> float | None:
        """One of its numbers, None if it has none of that name."""
        return next((value for key, value in self.numbers if key == name), None)


@dataclass(frozen=True, slots=True, eq=False)
class PieceDay:
    """One piece's cook as planned.

    Attributes
    ----------
    piece : Piece
    plan : Plan
        With the fire's pit and the meal in seconds from meat-on.
    on_at : datetime
    finish : Arrival
        Of the prior forecast, from meat-on [s].
    rest_s, carve_s : float
    chance : float
        Of being rested and carved by the meal when it goes on at `on_at`.
    thaw : ThawMethod or None
        The method planned with; None if nothing is to be thawed.
    on : bool
        Whether it is on the fire.
    """

    piece: Piece
    plan: Plan
    on_at: datetime
    finish: Arrival
    rest_s: float
    carve_s: float
    chance: float
    thaw: ThawMethod | None
    on: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Dayline:
    """The whole day: conflicts first, steps in order of time."""

    wish: DayWish
    pieces: tuple[PieceDay, ...]
    steps: tuple[Step, ...]
    conflicts: tuple[Conflict, ...]
    cautions: tuple[str, ...]

    def step(self, key: StepKey, piece: str | None = None) -> Step | None:
        """The first step of that kind (and piece), None if there is none."""
        for step in self.steps:
            if step.key is key and (piece is None or step.piece == piece):
                return step
        return None

    def conflict(self, key: ConflictKey) -> Conflict | None:
        """The first conflict of that kind, None if there is none."""
        return next((c for c in self.conflicts if c.key is key), None)
