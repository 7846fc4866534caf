"""The values of one cook: what was planned, what was read, what happened.

All times are seconds from meat-on (`elapsed_s`, may be negative before it), all temperatures °C.
Values are frozen, so a forecast worker can hold a whole :class:`Cook` while typing goes on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum


class Shape(StrEnum):
    """The body that a cut is nearest to in conduction."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    BALL = "ball"


class EventKind(StrEnum):
    """What can happen in a cook, spelled as in the cook document."""

    LID_OPEN = "lid_open"
    GLAZED = "glazed"
    WRAPPED = "wrapped"
    UNWRAPPED = "unwrapped"
    SPRITZED = "spritzed"
    TURNED = "turned"
    FUEL_ADDED = "fuel_added"
    WOOD_ADDED = "wood_added"
    VENTS = "vents"
    PROBE_MOVED = "probe_moved"
    SPOT_CHECK = "spot_check"
    PULLED = "pulled"
    SERVED = "served"
    NOTE = "note"


class Milestone(StrEnum):
    """What the forecast is asked about, for each probe."""

    GLAZE = "glaze"
    WRAP = "wrap"
    TARGET = "target"
    RESTED = "rested"
    """The peak of the core's temperature after it left the heat (carryover)."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What the cook set out to do.

    Attributes
    ----------
    cut : str
        A key of the cut catalogue.
    mass_kg : float
        Raw mass [kg].
    pit_c : float
        Pit temperature to hold [°C].
    pit_low_c, pit_high_c : float or None
        The band to hold it in [°C].
    serve_s : float or None
        The meal, in seconds from meat-on.
    rest_s : float or None
        Planned rest between pull and carving [s].
    shape, thickness_m
        Only for the cut ``other``: the nearest body and its full thickness or diameter [m].
    """

    cut: str
    mass_kg: float
    pit_c: float
    pit_low_c: float | None = None
    pit_high_c: float | None = None
    serve_s: float | None = None
    rest_s: float | None = None
    shape: Shape | None = None
    thickness_m: float | None = None


@dataclass(frozen=True, slots=True)
class Probe:
    """One thermometer in the meat and what is wanted from it [°C]."""

    name: str
    target_c: float
    start_c: float | None = None
    glaze_c: float | None = None
    wrap_c: float | None = None

    def threshold_c(self, milestone: Milestone) -> float | None:
        """Temperature that `milestone` waits for, None if it has none."""
        return {
            Milestone.GLAZE: self.glaze_c,
            Milestone.WRAP: self.wrap_c,
            Milestone.TARGET: self.target_c,
            Milestone.RESTED: None,
        }[milestone]


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read at one time: the pit, some probes, or both [°C].

    ``meat_c`` holds (probe name, temperature) pairs in the order of the cook's probes.
    """

    elapsed_s: float
    pit_c: float | None = None
    meat_c: tuple[tuple[str, float], ...] = ()

    def of(self, probe: str) -> float | None:
        """Temperature that `probe` showed, None if it was not read."""
        return next((temp for name, temp in self.meat_c if name == probe), None)


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened, with the words that were typed after it."""

    elapsed_s: float
    kind: EventKind
    note: str = ""


@dataclass(frozen=True, slots=True)
class Cook:
    """All that a forecast may know: plan, probes, and readings and events in time order."""

    plan: Plan
    probes: tuple[Probe, ...]
    readings: tuple[Reading, ...] = ()
    events: tuple[Event, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(
            self, "readings", tuple(sorted(self.readings, key=lambda r: r.elapsed_s))
        )
        object.__setattr__(self, "events", tuple(sorted(self.events, key=lambda e: e.elapsed_s)))

    def probe(self, name: str) -> Probe:
        """The probe of that name; KeyError if there is none."""
        for probe in self.probes:
            if probe.name == name:
                return probe
        raise KeyError(name)

    def known_at(self, now_s: float) -> Cook:
        """The same cook as it was known at `now_s`: nothing later than that."""
        return replace(
            self,
            readings=tuple(r for r in self.readings if r.elapsed_s <= now_s),
            events=tuple(e for e in self.events if e.elapsed_s <= now_s),
        )

    def first_event(self, kind: EventKind) -> Event | None:
        """The earliest event of `kind`, None if there was none."""
        return next((e for e in self.events if e.kind is kind), None)
