"""Truth cooks in a steady oven, read by nobody: for checks against published tables."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.bench.truth.fire import NOISE_COUNT, wander
from tests.bench.truth.person import Person
from tests.bench.truth.run import Outcome, Run
from tests.bench.truth.scenario import Plan, Theta, draw_plan, draw_theta

SEED = 4711


@dataclass(frozen=True, slots=True)
class Roast:
    """A piece in an oven held at `oven_c`, pulled at `target_c`; `wrap_c` wraps it in foil."""

    cut: str
    mass_kg: float
    oven_c: float
    target_c: float
    wrap_c: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Roasted:
    """What came of `n` like pieces; times in minutes, nan where the target was not reached."""

    roast: Roast
    minutes: np.ndarray
    loss: np.ndarray
    rise_c: np.ndarray
    peak_min: np.ndarray
    outcomes: list[Outcome]

    @property
    def mean_min(self) -> float:
        """Mean time to the target."""
        return float(np.nanmean(self.minutes))


def _still(theta: Theta, oven_c: float, n: int) -> Theta:
    """The same meat under a fire that does not move and a gauge that does not lie."""
    none, level = np.zeros(n), np.full(n, float(oven_c))
    return theta | {
        "steady": np.ones(n), "gauge_offset_c": none, "fire_sd_c": none, "decay_c_per_h": none,
        "setpoint_c": level, "start_pit_c": level.copy(), "wall_c": none,
    }  # fmt: skip


def _watcher(plan: Plan, seed: list[int]) -> Person:
    """Someone who only pulls it, and wraps it if planned."""
    person = Person(plan, np.random.default_rng(seed), steady_fire=True)
    person.lid_habit = person.spritzes = person.rash_wrap = person.paper = False
    person.impatient = person.late_turn_up = False
    person.does_wrap = plan.wrap_c is not None
    person.tolerance_c = np.inf
    person.base_gap_s = min(person.base_gap_s, 600.0)
    return person


def roast(roasts: list[Roast], n: int = 8, over: Theta | None = None) -> list[Roasted]:
    """Roast `n` pieces of each; hidden parameters are drawn as for every truth cook."""
    plans, thetas, people = [], [], []
    for index, one in enumerate(roasts):
        rng = np.random.default_rng([SEED, index])
        plan = replace(
            draw_plan(rng, one.cut), mass_kg=one.mass_kg, pit_c=one.oven_c,
            target_c=one.target_c, glaze_c=None, wrap_c=one.wrap_c,
        )  # fmt: skip
        thetas.append(_still(draw_theta(rng, plan, n), one.oven_c, n))
        people += [_watcher(plan, [SEED, index, i]) for i in range(n)]
        plans += [plan] * n
    theta = {name: np.concatenate([t[name] for t in thetas]) for name in thetas[0]}
    theta |= over or {}
    out = Run(plans, theta, np.zeros((len(plans), NOISE_COUNT)), people, limit=6.0).go()
    return [_roasted(one, out[i * n : (i + 1) * n]) for i, one in enumerate(roasts)]


def cook_alike(one: Roast, n: int = 40) -> Roasted:
    """`n` cooks of one plan with fires, gauges and people of their own, as in the truth's sets."""
    rng = np.random.default_rng([SEED, len(one.cut)])
    plan = replace(
        draw_plan(rng, one.cut), mass_kg=one.mass_kg, pit_c=one.oven_c, target_c=one.target_c,
        glaze_c=None, wrap_c=one.wrap_c,
    )  # fmt: skip
    theta = draw_theta(rng, plan, n)
    noise = np.stack([wander(rng, float(memory)) for memory in theta["fire_memory_s"]])
    people = [
        Person(plan, np.random.default_rng([SEED, i, 1]), bool(theta["steady"][i]))
        for i in range(n)
    ]
    return _roasted(one, Run([plan] * n, theta, noise, people).go())


def _roasted(one: Roast, outcomes: list[Outcome]) -> Roasted:
    def column(pick: list[float | None]) -> np.ndarray:
        return np.array([np.nan if v is None else v for v in pick])

    pull, peak = column([o.pull_s for o in outcomes]), column([o.peak_s for o in outcomes])
    return Roasted(
        one,
        column([o.crossed_s["target"] for o in outcomes]) / 60.0,
        column([o.loss for o in outcomes]),
        column([o.peak_c for o in outcomes]) - one.target_c,
        (peak - pull) / 60.0,
        outcomes,
    )
