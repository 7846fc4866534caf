"""Cook a scene in the two-dimensional simulator and write down what its person typed.

The meat and the fire are those of ``tests/bench/truth``, which the program's forecast knows nothing
of. The person reads rounded numbers at their own times, tends the fire by the gauge, and acts when
a reading says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from core.cook import Event, EventKind, Reading
from core.units import TemperatureUnit, from_celsius, to_celsius
from storage.documents import CookDocument
from tests.bench.truth import properties
from tests.bench.truth.fire import Fire, wander
from tests.bench.truth.meat import Air, Meat
from tests.bench.truth.run import WRAPS
from tests.bench.truth.scenario import Plan as TruthPlan
from tests.bench.truth.scenario import draw_theta
from tests.samples.scene import Act, Piece, Scene

MINUTE_S = 60.0
STEP_S = 20.0
LONGEST_S = 26 * 3600.0
FUEL_GAP_S, VENT_GAP_S, LID_GAP_S = 50 * 60.0, 20 * 60.0, 12 * 60.0


def _theta(scene: Scene, piece: Piece) -> dict[str, np.ndarray]:
    plan = scene.plan
    truth_plan = TruthPlan(
        plan.cut, piece.mass_kg, plan.pit_c, piece.probe.target_c, piece.probe.glaze_c,
        piece.probe.wrap_c, scene.unit is TemperatureUnit.FAHRENHEIT, True, None, None,
    )  # fmt: skip
    theta = draw_theta(np.random.default_rng([piece.seed, 2]), truth_plan)
    hidden = dict(piece.hidden) | dict(scene.fire)
    if piece.probe.start_c is not None:
        hidden = {"start_c": piece.probe.start_c, "start_core_c": piece.probe.start_c} | hidden
    unknown = set(hidden) - set(theta)
    if unknown:
        raise KeyError(f"no such hidden value: {sorted(unknown)}")
    return theta | {name: np.array([value]) for name, value in hidden.items()}


@dataclass
class Simulation:
    """One scene under way; everything the person has typed so far."""

    scene: Scene
    t: float = 0.0
    readings: list[Reading] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    due: list[tuple[float, Act]] = field(default_factory=list)
    waiting: list[Act] = field(default_factory=list)
    pulled_s: float | None = None
    wrap: str | None = None
    last_fuel_s: float = 0.0
    last_vent_s: float = 0.0
    last_lid_s: float = -LONGEST_S
    slipped: bool = False
    owned_up: bool = False

    def __post_init__(self) -> None:
        scene = self.scene
        thetas = [_theta(scene, piece) for piece in scene.pieces]
        joint = {name: np.concatenate([t[name] for t in thetas]) for name in thetas[0]}
        self.meat = Meat(joint)
        self.rng = np.random.default_rng([scene.seed, 4])
        fire = {name: value[:1] for name, value in joint.items()}
        noise = wander(np.random.default_rng([scene.seed, 3]), float(fire["fire_memory_s"][0]))
        self.fire = Fire(fire, noise[None, :])
        self.dt = min(STEP_S, float(self.meat.largest_step_s().min()))
        for act in scene.acts:
            if act.minute is not None:
                self.due.append((act.minute * MINUTE_S, act))
            else:
                self.waiting.append(act)
        self.fuel_notes, self.vent_notes = iter(scene.fuel_notes), iter(scene.vent_notes)

    def shown_c(self) -> np.ndarray:
        """What the probes show, unrounded [°C]."""
        return np.asarray(self.meat.probe_c() + self.meat.p["probe_bias_c"])

    def run(self) -> None:
        """Cook until the rest is over."""
        count, next_look = 0, 0.0
        while self.t < LONGEST_S:
            if self.t >= next_look:
                if self.pulled_s is not None and self._carved():
                    return
                next_look = self.t + self._look()
            for at, act in [pair for pair in self.due if pair[0] <= self.t]:
                self.due.remove((at, act))
                self._do(act, at)
            self.meat.step(np.full(self.meat.n, self.dt), self._air(), refresh=count % 4 == 0)
            self.t += self.dt
            self.fire.step(np.array([self.t]), np.array([self.dt]))
            count += 1
        raise RuntimeError(f"{self.scene.key} never got done")

    def _carved(self) -> bool:
        assert self.pulled_s is not None
        if self.t < self.pulled_s + self.scene.rest_min * MINUTE_S:
            return False
        self._log(self.t, EventKind.SERVED, self.scene.served)
        return True

    def _air(self) -> Air:
        p, one = self.meat.p, np.ones(self.meat.n)
        rest = self.pulled_s is not None
        pit = one * float(p["room_c"][0]) if rest else one * self.fire.pit
        vapour = properties.saturation_pa(p["dew_c"]) + p["damp_pa_s_kg"] * (
            self.meat.evaporation_rate
        )
        convection, radiation, leak = WRAPS[self.wrap]
        kept = self.scene.rest_loss if rest else 1.0
        return Air(
            temp_c=pit,
            wall_c=pit if rest else pit + p["wall_c"],
            vapour_pa=one * 1200.0 if rest else np.minimum(vapour, 4.5e4),
            convection=one * convection * kept * (0.45 if rest else 1.0),
            radiation=one * radiation * kept,
            leak=one * leak * kept * (0.5 if rest else 1.0),
        )

    # what the person does

    def _typed(self, temp_c: float, step: float) -> float:
        unit = self.scene.unit
        return to_celsius(round(from_celsius(temp_c, unit) / step) * step, unit)

    def _log(self, at_s: float, kind: EventKind, note: str = "") -> None:
        self.events.append(Event(_minutes(at_s) * MINUTE_S, kind, note))

    def _look(self) -> float:
        """Read, type, act; seconds until the next look."""
        scene, rng = self.scene, self.rng
        noisy = self.shown_c() + 0.2 * rng.normal(size=self.meat.n)
        shown = [self._typed(float(temp), 1.0) for temp in noisy]
        gauge = self._typed(float(self.fire.gauge[0]), 5.0 if scene.dial else 1.0)
        no_pit = self.pulled_s is not None or rng.random() < 0.08
        self._write(None if no_pit else gauge, shown)
        if self.pulled_s is not None:
            return float(rng.uniform(6.0, 12.0)) * MINUTE_S
        names = [piece.probe.name for piece in scene.pieces]
        by_name = dict(zip(names, shown, strict=True))
        self._act_on(by_name)
        self._tend_fire(gauge)
        left = max(piece.probe.target_c - by_name[piece.probe.name] for piece in scene.pieces)
        if left <= 0.01:
            self._pull()
            return float(rng.uniform(7.0, 10.0)) * MINUTE_S
        awaited = [a.temp_c - by_name[a.probe] for a in self.waiting if a.probe is not None]
        return self._gap_s(min([left, *awaited]))

    def _write(self, pit_c: float | None, shown: list[float]) -> None:
        if self.slipped and not self.owned_up:
            self.owned_up = True
            self._log(self.t, EventKind.NOTE, "The last reading had its digits swapped.")
        pairs = []
        for piece, temp_c in zip(self.scene.pieces, shown, strict=True):
            pairs.append((piece.probe.name, self._mistyped(piece.probe.name, temp_c)))
        self.readings.append(Reading(_minutes(self.t) * MINUTE_S, pit_c, tuple(pairs)))

    def _mistyped(self, name: str, temp_c: float) -> float:
        slip, unit = self.scene.slip, self.scene.unit
        if slip is None or self.slipped or slip.probe != name or self.t < slip.minute * MINUTE_S:
            return temp_c
        digits = str(round(from_celsius(temp_c, unit)))
        if abs(int(digits[-1]) - int(digits[-2])) < 2:
            return temp_c  # too near to be noticed; the next look slips
        self.slipped = True
        return to_celsius(float(digits[:-2] + digits[-1] + digits[-2]), unit)

    def _gap_s(self, left_c: float) -> float:
        near = 0.35 if left_c < 3.0 else 0.6 if left_c < 8.0 else 1.0
        gap = self.scene.gap_min * near * float(np.exp(0.3 * self.rng.normal())) * MINUTE_S
        for start, end in self.scene.naps:
            if start * MINUTE_S <= self.t + gap < end * MINUTE_S:
                return end * MINUTE_S - self.t
        return max(gap, 4 * MINUTE_S)

    def _act_on(self, shown: dict[str, float]) -> None:
        for act in list(self.waiting):
            if act.probe is not None and shown[act.probe] >= act.temp_c - 0.01:
                self.waiting.remove(act)
                self.due.append((self.t + act.delay_min * MINUTE_S, act))

    def _tend_fire(self, gauge_c: float) -> None:
        plan = self.scene.plan
        low, high = plan.pit_low_c or plan.pit_c - 10.0, plan.pit_high_c or plan.pit_c + 10.0
        if self.t - self.last_lid_s < LID_GAP_S:
            return  # it is still coming back
        if gauge_c < low and self.t - self.last_fuel_s > FUEL_GAP_S:
            self.last_fuel_s = self.t
            note = next(self.fuel_notes, "")
            act = Act(EventKind.FUEL_ADDED, note, lid=0.15, fuel=True)
            self.due.append((self.t + 2 * MINUTE_S, act))
        elif not low <= gauge_c <= high and self.t - self.last_vent_s > VENT_GAP_S:
            self.last_vent_s = self.t
            note = next(self.vent_notes, "")
            act = Act(EventKind.VENTS, note, trim_c=0.7 * (plan.pit_c - gauge_c))
            self.due.append((self.t + MINUTE_S, act))

    def _do(self, act: Act, at_s: float) -> None:
        if self.pulled_s is not None and act.kind is not EventKind.NOTE:
            return
        if act.lid:
            self.fire.open_lid(0, act.lid)
            self.last_lid_s = at_s
        if act.fuel:
            self.last_fuel_s = at_s
            self.fire.feed(0)
        if act.wrap:
            self.wrap = act.wrap
        if act.water_kg_m2:
            for i in range(self.meat.n):
                self.meat.spritz(i, act.water_kg_m2)
        self.fire.trim[0] += act.trim_c
        self._log(at_s, act.kind, act.note)

    def _pull(self) -> None:
        self._log(self.t + 1.5 * MINUTE_S, EventKind.SPOT_CHECK, self.scene.spot_check)
        self._log(self.t + 3 * MINUTE_S, EventKind.PULLED, self.scene.ending)
        self.pulled_s = self.t + 3 * MINUTE_S


def _minutes(elapsed_s: float) -> float:
    """To the half minute: nobody starts a stop watch over the coals."""
    return round(elapsed_s / 30.0) / 2.0


def _once_a_time(readings: list[Reading]) -> Iterator[Reading]:
    """The readings without a second one in the same half minute."""
    last = None
    for reading in readings:
        if reading.elapsed_s != last:
            yield reading
        last = reading.elapsed_s


def document_of(scene: Scene) -> CookDocument:
    """Simulate `scene` and return what its person logged."""
    simulation = Simulation(scene)
    simulation.run()
    started = datetime.fromisoformat(scene.started_at)
    serve = datetime.fromisoformat(scene.serve_at)
    plan = replace(scene.plan, serve_s=(serve - started).total_seconds())
    return CookDocument(
        title=scene.title,
        started_at=started,
        unit=scene.unit,
        plan=plan,
        probes=tuple(piece.probe for piece in scene.pieces),
        readings=tuple(_once_a_time(simulation.readings)),
        events=tuple(sorted(simulation.events, key=lambda e: e.elapsed_s)),
        serve_at=serve,
    )
