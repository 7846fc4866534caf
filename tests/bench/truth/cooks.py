"""The two sets of simulated cooks, kept on disk once made.

TUNING seeds may be looked at and fitted to; JUDGING seeds only score. The split is fixed here.
"""

from __future__ import annotations

import ast
import hashlib
import os
import pickle
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

import core.cook
from core.cook import Cook, Probe, Shape
from core.cook import Plan as CookPlan
from tests.bench.truth.cuts import KINDS
from tests.bench.truth.fire import wander
from tests.bench.truth.person import Person
from tests.bench.truth.run import Outcome, Run
from tests.bench.truth.scenario import Plan, draw_plan, draw_theta

TUNING_SEEDS = range(400)
JUDGING_SEEDS = range(10_000, 10_300)
BATCH = 100


@dataclass(frozen=True, slots=True)
class Truth:
    """What really happened: times from meat-on [s], None if never.

    ``peak_s`` and ``peak_c`` are of the carryover after ``pull_s``. ``theta`` holds the hidden
    parameters, ``trace`` rows of (time, probe, pit at the grate, gauge, mean surface).
    """

    target_s: float | None
    glaze_s: float | None
    wrap_s: float | None
    pull_s: float | None
    peak_s: float | None
    peak_c: float | None
    weight_loss: float | None
    theta: dict[str, float]
    trace: tuple[tuple[float, float, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class SimCook:
    """One simulated cook: what the program sees, and the truth."""

    seed: int
    cut: str
    cook: Cook
    truth: Truth
    fahrenheit: bool

    @property
    def usable(self) -> bool:
        """Whether it got to its target, and was read often enough to be forecast at all."""
        return self.truth.target_s is not None and len(self.cook.readings) >= 4


def _plan_of(plan: Plan) -> CookPlan:
    shape = None if plan.shape is None else Shape(plan.shape)
    return CookPlan(plan.cut, plan.mass_kg, plan.pit_c, shape=shape, thickness_m=plan.thickness_m)


def simulate(seeds: list[int]) -> list[SimCook]:
    """Simulate the cooks of these seeds; each depends on its own seed alone."""
    cuts = list(KINDS)
    plans, thetas, noises, people = [], [], [], []
    for seed in seeds:
        rng = np.random.default_rng([seed, 1])
        plan = draw_plan(rng, cuts[seed % len(cuts)])
        theta = draw_theta(np.random.default_rng([seed, 2]), plan)
        noise_rng = np.random.default_rng([seed, 3])
        noises.append(wander(noise_rng, float(theta["fire_memory_s"][0])))
        people.append(Person(plan, np.random.default_rng([seed, 4]), bool(theta["steady"][0])))
        plans.append(plan)
        thetas.append(theta)
    joint = {name: np.concatenate([t[name] for t in thetas]) for name in thetas[0]}
    outcomes = Run(plans, joint, np.stack(noises), people).go()
    return [
        _sim_cook(seed, plan, theta, person, outcome)
        for seed, plan, theta, person, outcome in zip(
            seeds, plans, thetas, people, outcomes, strict=True
        )
    ]


def _sim_cook(
    seed: int, plan: Plan, theta: dict[str, np.ndarray], person: Person, outcome: Outcome
) -> SimCook:
    start = round(float(theta["start_c"][0]) * 1.8 + 32.0)
    start_c = (start - 32.0) / 1.8 if plan.fahrenheit else float(round(float(theta["start_c"][0])))
    probe = Probe(
        KINDS[plan.cut].probe,
        plan.target_c,
        start_c if plan.start_known else None,
        plan.glaze_c,
        plan.wrap_c,
    )
    crossed = outcome.crossed_s
    truth = Truth(
        target_s=crossed["target"],
        glaze_s=crossed["glaze"],
        wrap_s=crossed["wrap"],
        pull_s=outcome.pull_s,
        peak_s=outcome.peak_s,
        peak_c=outcome.peak_c,
        weight_loss=outcome.loss,
        theta={name: float(value[0]) for name, value in theta.items()},
        trace=tuple(outcome.trace),
    )
    cook = Cook(_plan_of(plan), (probe,), tuple(person.readings), tuple(person.events))
    return SimCook(seed, plan.cut, cook, truth, plan.fahrenheit)


def _cache_folder() -> Path:
    """Outside the repository: DONEBY_BENCH_CACHE, or the temporary folder."""
    named = os.environ.get("DONEBY_BENCH_CACHE")
    return Path(named) if named else Path(tempfile.gettempdir()) / f"doneby-bench-{os.getuid()}"


def _code_mark() -> str:
    """Changes with the simulator or the values of a cook, so that an old cache is not believed.

    Of the parsed code, so that comments and layout may change.
    """
    aside = {"oven.py", "__main__.py"}  # they cook nothing that is kept
    paths = [p for p in sorted(Path(__file__).parent.glob("*.py")) if p.name not in aside]
    trees = [ast.parse(p.read_text(encoding="utf-8")) for p in (*paths, Path(core.cook.__file__))]
    return hashlib.sha256("".join(map(ast.dump, trees)).encode()).hexdigest()[:16]


def _cached(name: str, seeds: range) -> list[SimCook]:
    folder = _cache_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if folder.stat().st_uid != os.getuid():
        raise PermissionError(f"{folder} belongs to someone else; set DONEBY_BENCH_CACHE")
    path = folder / f"{name}-{_code_mark()}.pickle"
    if path.exists():
        found: list[SimCook] = pickle.loads(path.read_bytes())  # noqa: S301 - our own file, checked
        return found
    cooks: list[SimCook] = []
    todo = list(seeds)
    for first in range(0, len(todo), BATCH):
        cooks += simulate(todo[first : first + BATCH])
    part = path.with_suffix(f".{os.getpid()}")
    part.write_bytes(pickle.dumps(cooks))
    part.replace(path)
    return cooks


def tuning_cooks(limit: int | None = None) -> list[SimCook]:
    """Usable cooks of the tuning seeds: fit to these, never to the judging set."""
    return [c for c in _cached("tuning", TUNING_SEEDS) if c.usable][:limit]


def judging_cooks(limit: int | None = None) -> list[SimCook]:
    """Usable cooks of the judging seeds: only for scores."""
    return [c for c in _cached("judging", JUDGING_SEEDS) if c.usable][:limit]
