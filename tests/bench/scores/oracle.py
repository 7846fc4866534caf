"""The oracle: the posterior under the truth's own family, the limit for any forecast.

    nice python -m tests.bench.scores.oracle [--cooks 30] [--members 250] [--minutes 40]

Knows what no program can: the very physics, habits and spreads that the cooks were drawn from, and
not one hidden value. Sought among the normals behind the hidden parameters by ensemble smoothing
with tempered, repeated assimilation of the readings (Emerick and Reynolds 2013), each member the
truth's own two-dimensional meat on a coarser grid; then each member lives on with a fire and a
person of its own. Approximate: a perfect posterior would score a little better still. Slow, so it
is made once and kept in ``oracle.json``.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from dataclasses import asdict
from pathlib import Path

import numpy as np
import numpy.typing as npt

from core.cook import Cook, EventKind
from tests.bench.scores.judge import MILESTONES, true_time_s
from tests.bench.scores.latent import columns_of, count_normals, theta_of
from tests.bench.scores.measure import STAGES, Score, score
from tests.bench.scores.past import (
    EXTRA,
    LONGEST_STEP_S,
    STEP_GROWTH,
    Past,
    live_past,
    read_meat,
)
from tests.bench.truth import SimCook, judging_cooks
from tests.bench.truth.fire import NOISE_COUNT, NOISE_STEP_S, wander
from tests.bench.truth.person import Person
from tests.bench.truth.run import Run
from tests.bench.truth.scenario import Plan, Theta

Array = npt.NDArray[np.float64]

KEPT = Path(__file__).parent / "oracle.json"
MOST_UPDATES = 7
"""Assimilations at most; the last takes what is left of the likelihood."""
HURRY = 2.0
"""Over the published step, to save runs; the closing weights mend what it costs."""
LEAST_EFFECTIVE = 0.3
"""Share of the members that the closing weights must leave effective."""
READ_ERROR_C = 0.45
"""Reading noise, rounding, and what the coarser grid leaves."""
START_ERROR_C = 0.4


class Ahead(Run):
    """Members from now on, each over when it reaches the target."""

    def live_on(self, past: Past, cook: Cook, now_s: float) -> list[dict[str, float | None]]:
        """Run on from the past's state; times of the milestones of each member [s]."""
        p = past.meat.p
        fuel = [e.elapsed_s for e in cook.events if e.kind is EventKind.FUEL_ADDED]
        fire = self.fire
        self.meat = past.meat
        self.t += now_s
        self.dt = np.minimum(STEP_GROWTH * past.meat.largest_step_s(), LONGEST_STEP_S)
        self.next_trace += np.inf
        self.wrap = past.wrap
        self.next_look += now_s
        fire.pit = past.pit.copy()
        fire.gauge = past.pit + p["gauge_offset_c"]
        fire.burn_s = now_s - max(fuel, default=0.0) - p["first_burn_s"]
        self.last = self.shown()
        fire.trim = np.zeros(self.n)
        fire.trim = past.pit - fire.level(self.t)
        return [o.crossed_s for o in self.go()]

    def _watch(self) -> None:
        super()._watch()
        for i in np.flatnonzero(np.isfinite(self.crossed[:, 2]) & ~self.over):
            self._finish(int(i))


def _plan(sim: SimCook) -> Plan:
    plan, probe = sim.cook.plan, sim.cook.probes[0]
    return Plan(
        plan.cut, plan.mass_kg, plan.pit_c, probe.target_c, probe.glaze_c, probe.wrap_c,
        sim.fahrenheit, probe.start_c is not None,
        None if plan.shape is None else plan.shape.value, plan.thickness_m,
    )  # fmt: skip


def _assimilate(
    normals: Array, predicted: Array, seen: Array, error: Array, temper: float,
    rng: np.random.Generator,
) -> Array:  # fmt: skip
    """One tempered ensemble update of the normals."""
    n = normals.shape[0]
    z, d = normals - normals.mean(axis=0), predicted - predicted.mean(axis=0)
    cross, spread = z.T @ d / (n - 1), d.T @ d / (n - 1)
    noise = np.sqrt(temper) * error * rng.normal(size=predicted.shape)
    gain = cross @ np.linalg.inv(spread + temper * np.diag(error**2))
    return normals + (seen + noise - predicted) @ gain.T


def _share(predicted: Array, seen: Array, error: Array) -> float:
    """How much of the likelihood the next update may take: little while the members are far off.

    Data-adaptive tempering of Iglesias and Yang, Inverse Problems 37, 2021, eq. 27.
    """
    misfit = 0.5 * (((predicted - seen) / error) ** 2).sum(axis=1)
    size = seen.size
    careful = max(size / (2.0 * misfit.mean()), np.sqrt(size / (2.0 * misfit.var())))
    return float(HURRY * careful)


def _observe(cook: Cook, past: Past) -> tuple[Array, Array, Array]:
    """Predictions, values and errors of all that was read of the meat."""
    _, seen = read_meat(cook)
    predicted, error = past.predicted, np.full(seen.size, READ_ERROR_C)
    return predicted, seen, error


def _started(
    cook: Cook, plan: Plan, normals: Array, rng: np.random.Generator
) -> tuple[Array, Array]:
    """Rows resampled on the typed start, exactly, and which columns that settles.

    Meat is cold, or was left out, or half frozen: a mixture that linear updates cannot part.
    """
    frozen = np.zeros(normals.shape[1], dtype=bool)
    start = cook.probes[0].start_c
    if start is None:
        return normals, frozen
    count = count_normals(plan)
    frozen[:count] = columns_of(("start_c",), plan)
    miss = (theta_of(normals[:, :count], plan)["start_c"] - start) / START_ERROR_C
    weight = np.exp(-0.5 * (miss**2 - np.min(miss**2)))
    rows = rng.choice(normals.shape[0], size=normals.shape[0], p=weight / weight.sum())
    out = rng.normal(size=normals.shape)
    out[:, frozen] = normals[np.ix_(rows, frozen)]
    return out, frozen


def posterior(
    cook: Cook, plan: Plan, now_s: float, members: int, rng: np.random.Generator
) -> tuple[Past, Theta]:
    """Members that agree with what is known at `now_s`."""
    count = count_normals(plan)
    normals, frozen = _started(cook, plan, rng.normal(size=(20 * members, count + EXTRA)), rng)
    normals = normals[:members]
    left = 1.0
    for update in range(MOST_UPDATES + 1):
        theta = theta_of(normals[:, :count], plan)
        past = live_past(cook, now_s, theta, normals[:, count:], rng)
        predicted, seen, error = _observe(cook, past)
        if left <= 0.0 or seen.size == 0:
            break
        share = left if update == MOST_UPDATES - 1 else min(left, _share(predicted, seen, error))
        left -= share
        moved = _assimilate(normals, predicted, seen, error, 1.0 / share, rng)
        normals = np.where(frozen, normals, moved)
    return past, theta


def _people(
    plan: Plan, cook: Cook, theta: Theta, past: Past, rng: np.random.Generator
) -> list[Person]:
    """Persons who have done what was logged so far."""
    pits = [r.pit_c for r in cook.readings if r.pit_c is not None][-3:]
    raised = len(pits) == 3 and min(pits) > plan.pit_c + 8.0
    fuel = [e.elapsed_s for e in cook.events if e.kind is EventKind.FUEL_ADDED]
    people = []
    for i in range(past.pit.size):
        person = Person(plan, np.random.default_rng(rng.integers(2**63)), bool(theta["steady"][i]))
        person.lid_habit = bool(past.lids[i])
        person.wrapped = cook.first_event(EventKind.WRAPPED) is not None
        person.glazed = cook.first_event(EventKind.GLAZED) is not None
        person.last_fuel_s = max(fuel, default=0.0)
        person.spritzes |= cook.first_event(EventKind.SPRITZED) is not None
        if raised:
            person.aim_c, person.turned_up = float(np.mean(pits)), True
        people.append(person)
    return people


def _closing_weights(cook: Cook, past: Past) -> Array:
    """Weights that favour members which fit, as sharp as the likelihood or as the members allow.

    Linear updates leave stragglers in a crooked problem; these are members that the readings
    refute.
    """
    predicted, seen, error = _observe(cook, past)
    misfit = (((predicted - seen) / error) ** 2).sum(axis=1)
    low, high, weight = 0.0, 1.0, np.ones(misfit.size)
    for _ in range(20):
        power = 1.0 if low == 0.0 and high == 1.0 else 0.5 * (low + high)
        weight = np.exp(-0.5 * power * (misfit - misfit.min()))
        if weight.sum() ** 2 / (weight**2).sum() >= LEAST_EFFECTIVE * misfit.size:
            low = power
            if power == 1.0:
                break
        else:
            high = power
    return weight / weight.sum()


def foresee(
    cook: Cook, plan: Plan, now_s: float, members: int, rng: np.random.Generator
) -> dict[str, Array]:
    """Draws of the time of each milestone [s], ``inf`` for never."""
    past, theta = posterior(cook, plan, now_s, members, rng)
    rows = rng.choice(members, size=members, p=_closing_weights(cook, past))
    noise = np.stack([wander(rng, float(memory)) for memory in theta["fire_memory_s"]])
    fade = np.exp(-np.arange(NOISE_COUNT) * NOISE_STEP_S / theta["fire_memory_s"][:, None])
    noise += (past.swing - noise[:, 0])[:, None] * fade
    begun = np.repeat(noise[:, :1], int(now_s / NOISE_STEP_S), axis=1)
    noise = np.concatenate([begun, noise], axis=1)[:, :NOISE_COUNT]
    people = _people(plan, cook, theta, past, rng)
    ahead = Ahead([plan] * members, theta, noise, people)
    crossed = ahead.live_on(past, cook, now_s)
    return {
        name: np.array([np.inf if c[name] is None else c[name] for c in crossed], dtype=float)[rows]
        for name in ("glaze", "wrap", "target")
    }


def judge_oracle(sim: SimCook, members: int) -> list[Score]:
    """Scores of the oracle at every stage of one cook."""
    duration = sim.truth.target_s
    assert duration is not None
    plan, scores = _plan(sim), []
    for stage in STAGES:
        now = stage * duration
        rng = np.random.default_rng([sim.seed, int(100 * stage), 5])
        draws = foresee(sim.cook.known_at(now), plan, now, members, rng)
        for milestone in MILESTONES:
            true_s = true_time_s(sim, milestone)
            if true_s is None or true_s <= now:
                continue
            some = draws[milestone.value]
            scores.append(
                score(sim.seed, sim.cut, stage, milestone.value, "oracle", some, true_s, duration)
            )
    return scores


def oracle_scores() -> list[Score]:
    """The kept scores; none if they were not made."""
    if not KEPT.exists():
        return []
    return [Score(**row) for row in json.loads(KEPT.read_text(encoding="utf-8"))["scores"]]


def kept_finishes() -> dict[int, float]:
    """True finish [s] of each cook that the kept oracle was made for."""
    kept = json.loads(KEPT.read_text(encoding="utf-8"))["finishes_s"]
    return {int(seed): finish for seed, finish in kept.items()}


def _keep(path: Path, sims: list[SimCook], members: int, scores: list[Score]) -> None:
    """Write the scores, and the finishes they were made for, so that a stale file shows."""
    head = {
        "command": f"python -m tests.bench.scores.oracle --cooks {len(sims)} --members {members}",
        "finishes_s": {sim.seed: round(sim.truth.target_s or 0.0, 1) for sim in sims},
    }
    rows = []
    for one in scores:
        row = asdict(one)
        rows.append(row | {k: round(v, 5) for k, v in row.items() if isinstance(v, float)})
    lines = ",\n".join(json.dumps(row) for row in rows)
    text = json.dumps(head)[:-1] + ',\n"scores": [\n' + lines + "\n]}\n"
    path.write_text(text, encoding="utf-8")


def main(argv: list[str] | None = None) -> int:
    """Make ``oracle.json``."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.scores.oracle")
    parser.add_argument("--cooks", type=int, default=30)
    parser.add_argument("--first", type=int, default=0, help="leave out the first N cooks")
    parser.add_argument("--members", type=int, default=250)
    parser.add_argument("--minutes", type=float, default=40.0, help="stop starting cooks after")
    parser.add_argument("--out", type=Path, default=KEPT)
    args = parser.parse_args(argv)
    started, scores = time.monotonic(), []
    chosen = judging_cooks()[args.first : args.first + args.cooks]
    for done, sim in enumerate(chosen, start=1):
        if time.monotonic() - started > 60.0 * args.minutes:
            break
        scores += judge_oracle(sim, args.members)
        print(sim.seed, sim.cut, " ".join(f"{s.stage:.0%} {s.milestone} {s.crps:.3f}"
              for s in scores if s.seed == sim.seed), flush=True)  # fmt: skip
        _keep(args.out, chosen[:done], args.members, scores)
    return 0


if __name__ == "__main__":
    sys.exit(main())
