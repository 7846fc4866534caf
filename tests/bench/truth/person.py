"""The person at the cooker: when they look, what they type, and what they do to the fire and meat.

One object a cook, with its own random stream, so that a cook does not depend on its batch.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from core.cook import Event, EventKind, Reading
from tests.bench.truth.cuts import KINDS, Kind
from tests.bench.truth.scenario import Plan

TURN_UP_AFTER = 1.3
"""Share of the expected time after which some lose patience."""

LARGEST_TRIM_C = 25.0
"""Nobody opens or shuts the vents by more at a time, nor again before the fire has answered."""


@dataclass(slots=True)
class Acts:
    """What one look does."""

    gap_s: float = 600.0
    lid_share: float = 0.0
    trim_c: float = 0.0
    fuel: bool = False
    wrap: str | None = None
    water_kg_m2: float = 0.0
    pull: bool = False


@dataclass
class Person:
    """Habits drawn once, and what has been done so far."""

    plan: Plan
    rng: np.random.Generator
    steady_fire: bool
    readings: list[Reading] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    wrapped: bool = False
    glazed: bool = False
    pulled_s: float | None = None
    turned_up: bool = False
    last_spritz_s: float = 0.0
    aim_c: float = 0.0
    last_trim_s: float = -1e9
    last_seen: tuple[float, float] | None = None
    kind: Kind = field(init=False)
    expected_s: float = field(init=False)

    def __post_init__(self) -> None:
        rng, plan = self.rng, self.plan
        self.kind = KINDS[plan.cut]
        self.aim_c = plan.pit_c
        self.expected_s = expected_s(plan)
        self.base_gap_s = float(np.clip(self.expected_s / rng.uniform(8.0, 20.0), 300.0, 2700.0))
        self.lid_habit = bool(rng.random() < 0.35)
        if self.lid_habit:
            self.base_gap_s = min(1.5 * self.base_gap_s, 2700.0)
        self.dial = bool(plan.fahrenheit and rng.random() < 0.35)
        self.tolerance_c = float(rng.uniform(6.0, 16.0))
        self.gain = float(rng.uniform(0.4, 0.9))
        self.pit_seldom = float(rng.choice([0.08, 0.08, 0.3, 0.85], p=[0.5, 0.3, 0.15, 0.05]))
        self.pit_gap_s = self._quiet_span(0.1)
        self.logs_lid = bool(rng.random() < 0.6)
        self.spritzes = bool(rng.random() < self.kind.spritz)
        self.does_wrap = plan.wrap_c is not None and bool(rng.random() < 0.92)
        self.rash_wrap = plan.wrap_c is None and bool(rng.random() < 0.35) and self.kind.wrap[0] > 0
        self.paper = bool(rng.random() < 0.3)
        self.impatient = bool(rng.random() < 0.6)
        self.fuel_every_s = float(rng.uniform(1.6, 4.5)) * 3600.0
        self.last_fuel_s = 0.0
        self.late_turn_up = bool(rng.random() < 0.06)
        self.patience_s = float(rng.uniform(900.0, 2400.0))

    def _quiet_span(self, chance: float) -> tuple[float, float]:
        """A stretch for which the pit is not read."""
        if self.rng.random() >= chance:
            return (0.0, 0.0)
        start = float(self.rng.uniform(0.1, 0.7)) * self.expected_s
        return (start, start + float(self.rng.uniform(0.2, 0.5)) * self.expected_s)

    def _round(self, temp_c: float, step_f: float) -> float:
        if self.plan.fahrenheit:
            return (round((temp_c * 1.8 + 32.0) / step_f) * step_f - 32.0) / 1.8
        return float(round(temp_c))

    def log(self, t: float, kind: EventKind, note: str = "") -> None:
        """Write an event down."""
        self.events.append(Event(t, kind, note))

    def look(self, t: float, meat_c: float, gauge_c: float, crossed: bool) -> Acts:
        """One look at the cooker: read, type, act."""
        rng = self.rng
        shown = self._round(meat_c + 0.25 * rng.normal(), 1.0)
        gauge = self._round(gauge_c + 0.8 * rng.normal(), 5.0 if self.dial else 1.0)
        read_pit, read_meat = rng.random(), rng.random()
        if self.pulled_s is not None:
            return self._rest_look(t, shown, read_meat)
        quiet = self.pit_gap_s[0] <= t < self.pit_gap_s[1] or read_pit < self.pit_seldom
        skip_meat = read_meat < 0.06 and not quiet and shown < self.plan.target_c - 8.0
        pairs = () if skip_meat else ((self.kind.probe, shown),)
        self.readings.append(Reading(t, None if quiet else gauge, pairs))
        acts = Acts(gap_s=self._gap(t, shown))
        if self.lid_habit:
            acts.lid_share = float(rng.uniform(0.04, 0.14))
        if shown >= self.plan.target_c - 0.01 and crossed:
            acts.pull = True
            self.pulled_s = t
            self.log(t, EventKind.PULLED)
            acts.gap_s = float(rng.uniform(240.0, 900.0))
            return acts
        self._tend_fire(t, gauge, quiet, acts)
        self._tend_meat(t, shown, acts)
        if acts.lid_share > 0.0 and self.logs_lid and not (acts.wrap or acts.water_kg_m2):
            self.log(t, EventKind.LID_OPEN)
        return acts

    def _gap(self, t: float, shown: float) -> float:
        left = self.plan.target_c - shown
        gap = self.base_gap_s
        if left < 12.0 and self.last_seen is not None:
            then, was = self.last_seen
            pace = max(shown - was, 0.3) / max(t - then, 60.0)
            gap = min(gap, max(0.5 * left / pace, 0.3 * gap))
        self.last_seen = (t, shown)
        gap *= float(np.exp(0.35 * self.rng.normal()))
        if self.rng.random() < 0.06 and left > 10.0:
            gap *= float(self.rng.uniform(2.0, 4.0))
        return float(np.clip(gap, 150.0, 3.0 * 3600.0))

    def _tend_fire(self, t: float, gauge: float, quiet: bool, acts: Acts) -> None:
        rng = self.rng
        blind = quiet and rng.random() < 0.4  # most look at the gauge even if they type nothing
        due = t - self.last_fuel_s > self.fuel_every_s
        low = gauge < self.aim_c - 1.5 * self.tolerance_c and t - self.last_fuel_s > 2700.0
        if not self.steady_fire and (due or (low and not blind)):
            acts.fuel, self.last_fuel_s = True, t
            acts.lid_share = max(acts.lid_share, float(rng.uniform(0.08, 0.22)))
            if rng.random() < 0.85:
                self.log(t, EventKind.FUEL_ADDED)
        late = t > TURN_UP_AFTER * self.expected_s and self.impatient and not self.turned_up
        if late or (self.late_turn_up and t > 0.6 * self.expected_s and not self.turned_up):
            self.turned_up = True
            self.aim_c += float(rng.uniform(8.0, 25.0))
        miss = gauge - self.aim_c
        waited = t - self.last_trim_s > self.patience_s and not acts.fuel
        if not blind and waited and abs(miss) > self.tolerance_c:
            self.last_trim_s = t
            acts.trim_c = float(np.clip(-self.gain * miss, -LARGEST_TRIM_C, LARGEST_TRIM_C))
            if rng.random() < 0.6 and not self.steady_fire:
                self.log(t, EventKind.VENTS)

    def _tend_meat(self, t: float, shown: float, acts: Acts) -> None:
        rng, plan = self.rng, self.plan
        open_lid = float(rng.uniform(0.08, 0.25))
        stuck = self.rash_wrap and t > 0.6 * self.expected_s and shown > 62.0
        due = self.does_wrap and plan.wrap_c is not None and shown >= plan.wrap_c - 0.01
        if not self.wrapped and (due or stuck):
            self.wrapped = True
            acts.wrap, acts.lid_share = ("paper" if self.paper else "foil"), open_lid
            self.log(t, EventKind.WRAPPED, acts.wrap)
            return
        if plan.glaze_c is not None and not self.glazed and shown >= plan.glaze_c - 0.01:
            self.glazed = True
            acts.water_kg_m2, acts.lid_share = 0.1, open_lid
            self.log(t, EventKind.GLAZED)
        hungry = self.spritzes and not self.wrapped and t > 5400.0
        if hungry and t - self.last_spritz_s > 2700.0:
            self.last_spritz_s = t
            acts.water_kg_m2 += float(rng.uniform(0.05, 0.15))
            acts.lid_share = max(acts.lid_share, open_lid)
            self.log(t, EventKind.SPRITZED)

    def _rest_look(self, t: float, shown: float, read_meat: float) -> Acts:
        assert self.pulled_s is not None
        if t < self.pulled_s + 2400.0 and read_meat < 0.6:
            self.readings.append(Reading(t, None, ((self.kind.probe, shown),)))
        return Acts(gap_s=float(self.rng.uniform(300.0, 900.0)))


def expected_s(plan: Plan) -> float:
    """How long the person thinks that it will take [s]."""
    kind = KINDS[plan.cut]
    pits = sum(w * (a + b) / 2.0 for w, a, b in kind.pits) / sum(w for w, _, _ in kind.pits)
    minutes = kind.minutes_per_kg * kind.mass_kg * (plan.mass_kg / kind.mass_kg) ** 0.6
    aims = sum(w * (a + b) / 2.0 for w, a, b in kind.targets) / sum(w for w, _, _ in kind.targets)
    share = np.log((pits - 4.0) / (pits - aims))
    mine = np.log((plan.pit_c - 4.0) / max(plan.pit_c - plan.target_c, 6.0))
    return float(60.0 * minutes * mine / share)
