"""Run many simulated cooks in lockstep, each with its own time step."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tests.bench.truth import properties as pr
from tests.bench.truth.fire import Fire
from tests.bench.truth.meat import Air, Meat
from tests.bench.truth.person import Acts, Person
from tests.bench.truth.scenario import Plan, Theta

Array = npt.NDArray[np.float64]

LONGEST_STEP_S = 20.0
REFRESH = 4
COMPACT = 100
REST_LIMIT_S = 2.5 * 3600.0
WRAPS = {None: (1.0, 1.0, 1.0), "foil": (0.92, 0.5, 0.005), "paper": (0.97, 0.8, 0.08)}
"""Convection, radiation and evaporation of a wrapped piece against a bare one."""


@dataclass(slots=True)
class Outcome:
    """What happened in one cook, unseen by the person [s, °C]."""

    crossed_s: dict[str, float | None] = field(default_factory=dict)
    pull_s: float | None = None
    peak_s: float | None = None
    peak_c: float | None = None
    loss: float | None = None
    trace: list[tuple[float, float, float, float, float]] = field(default_factory=list)
    """Time, probe, pit at the grate, gauge, mean surface."""


class Run:
    """A batch under way."""

    def __init__(
        self,
        plans: list[Plan],
        theta: Theta,
        noise: Array,
        people: list[Person],
        limit: float = 5.0,
    ) -> None:
        self.meat, self.fire = Meat(theta), Fire(theta, noise)
        self.plans, self.people = plans, people
        n = self.n = len(plans)
        self.ids = np.arange(n)
        self.t = np.zeros(n)
        self.dt = np.minimum(self.meat.largest_step_s(), LONGEST_STEP_S)
        self.next_look = np.array([p.base_gap_s * p.rng.uniform(0.0, 1.0) for p in people])
        starts = np.array([p.rng.random() < 0.5 for p in people])
        self.next_look[starts] = 0.0
        self.end = np.array([limit * p.expected_s for p in people])
        self.resting = np.zeros(n, dtype=bool)
        self.over = np.zeros(n, dtype=bool)
        self.wrap = np.ones((n, 3))
        self.peak_c = np.full(n, -np.inf)
        self.peak_s = np.zeros(n)
        self.marks = np.array([[_or_inf(p.glaze_c), _or_inf(p.wrap_c), p.target_c] for p in plans])
        self.crossed = np.full((n, 3), np.nan)
        self.trace_gap = np.array([p.expected_s / 120.0 for p in people])
        self.next_trace = np.zeros(n)
        self.out = [Outcome() for _ in range(n)]
        self.last = self.shown()

    def shown(self) -> Array:
        """What the probes at their places show, unrounded [°C]."""
        return self.meat.probe_c() + self.meat.p["probe_bias_c"]

    def go(self) -> list[Outcome]:
        """Run until every cook is over."""
        count = 0
        while self.ids.size:
            self._looks()
            self.meat.step(self.dt, self._air(), refresh=count % REFRESH == 0)
            self.t += self.dt
            self.fire.step(self.t, self.dt)
            self._watch()
            count += 1
            if count % COMPACT == 0 and self.over.any():
                self._compact()
        return self.out

    def _air(self) -> Air:
        p = self.meat.p
        rest = self.resting
        vapour = pr.saturation_pa(p["dew_c"]) + p["damp_pa_s_kg"] * self.meat.evaporation_rate
        pit = np.where(rest, p["room_c"], self.fire.pit)
        return Air(
            temp_c=pit,
            wall_c=pit + np.where(rest, 0.0, p["wall_c"]),
            vapour_pa=np.where(rest, 1200.0, np.minimum(vapour, 4.5e4)),
            convection=self.wrap[:, 0] * np.where(rest, 0.6, 1.0),
            radiation=self.wrap[:, 1],
            leak=self.wrap[:, 2] * np.where(rest, 0.9, 1.0),
        )

    def _watch(self) -> None:
        """Crossings between the last step and this, the peak, the trace, and who is over."""
        now = self.shown()
        share = np.clip(
            (self.marks - self.last[:, None]) / np.maximum(now - self.last, 1e-9)[:, None], 0, 1
        )
        hit = np.isnan(self.crossed) & (now[:, None] >= self.marks)
        if hit.any():
            at = (self.t - self.dt)[:, None] + share * self.dt[:, None]
            self.crossed[hit] = at[hit]
        self.last = now
        higher = self.resting & (now > self.peak_c)
        self.peak_c[higher], self.peak_s[higher] = now[higher], self.t[higher]
        sunk = self.resting & (now < self.peak_c - 1.5) & (self.t > self.peak_s + 900.0)
        for i in np.flatnonzero((self.t >= self.next_trace) & ~self.over):
            self._trace(int(i), now[i])
        for i in np.flatnonzero((sunk | (self.t >= self.end)) & ~self.over):
            self._finish(int(i))

    def _trace(self, i: int, now: float) -> None:
        self.next_trace[i] += self.trace_gap[i]
        self.out[self.ids[i]].trace.append(
            (float(self.t[i]), float(now), float(self.fire.pit[i]), float(self.fire.gauge[i]),
             float(self.meat.surface[i].mean()))
        )  # fmt: skip

    def _finish(self, i: int) -> None:
        self.over[i] = True
        out = self.out[self.ids[i]]
        names = ("glaze", "wrap", "target")
        out.crossed_s = {
            k: None if np.isnan(v) else float(v)
            for k, v in zip(names, self.crossed[i], strict=True)
        }
        if self.resting[i]:
            out.peak_s, out.peak_c = float(self.peak_s[i]), float(self.peak_c[i])

    def _looks(self) -> None:
        for i in np.flatnonzero((self.t >= self.next_look) & ~self.over):
            person = self.people[self.ids[i]]
            acts = person.look(
                float(self.t[i]), float(self.last[i]), float(self.fire.gauge[i]),
                bool(np.isfinite(self.crossed[i, 2])),
            )  # fmt: skip
            self.next_look[i] = self.t[i] + acts.gap_s
            self._apply(int(i), acts)

    def _apply(self, i: int, acts: Acts) -> None:
        if acts.lid_share:
            self.fire.open_lid(i, acts.lid_share)
        self.fire.trim[i] += acts.trim_c
        if acts.fuel:
            self.fire.feed(i)
        if acts.wrap:
            self.wrap[i] = WRAPS[acts.wrap]
        if acts.water_kg_m2:
            self.meat.spritz(i, acts.water_kg_m2)
        if acts.pull:
            out = self.out[self.ids[i]]
            out.pull_s, out.loss = float(self.t[i]), float(self.meat.weight_loss()[i])
            self.resting[i] = True
            self.peak_c[i], self.peak_s[i] = self.last[i], self.t[i]
            self.end[i] = self.t[i] + REST_LIMIT_S

    def _compact(self) -> None:
        rows = ~self.over
        self.meat.keep(rows)
        self.fire.keep(rows)
        for name in ("ids", "t", "dt", "next_look", "end", "resting", "over", "wrap", "peak_c",
                     "peak_s", "marks", "crossed", "trace_gap", "next_trace", "last"):  # fmt: skip
            setattr(self, name, getattr(self, name)[rows])


def _or_inf(value: float | None) -> float:
    return np.inf if value is None else value
