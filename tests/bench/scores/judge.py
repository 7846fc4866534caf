"""Run the forecast and the baselines on simulated cooks."""

from __future__ import annotations

import time
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np

from core.cook import Cook, Milestone
from core.errors import CoreError
from core.forecast import forecast
from tests.bench.scores import baselines
from tests.bench.scores.measure import STAGES, Score, score
from tests.bench.scores.slips import with_slips
from tests.bench.truth import SimCook

MILESTONES = (Milestone.TARGET, Milestone.GLAZE, Milestone.WRAP)


@dataclass(frozen=True, slots=True)
class Job:
    """What to run on each cook."""

    per_pound: Mapping[str, float]
    slips: float = 0.0
    use_forecast: bool = True
    revision: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """All scores of one cook, the forecast's time for each [s], and its mean revision."""

    scores: tuple[Score, ...]
    seconds: tuple[float, ...] = ()
    failures: tuple[str, ...] = ()
    revision: float | None = None


def true_time_s(sim: SimCook, milestone: Milestone) -> float | None:
    """When the probe really passed it."""
    truth = sim.truth
    return {
        Milestone.TARGET: truth.target_s,
        Milestone.GLAZE: truth.glaze_s,
        Milestone.WRAP: truth.wrap_s,
    }[milestone]


def _plain(
    known: Cook, threshold_c: float, milestone: Milestone, job: Job, now_s: float
) -> dict[str, float]:
    guesses = {
        "line": baselines.last_line(known, threshold_c),
        "newton": baselines.newton(known, threshold_c),
        "three-exp": baselines.three_exponential(known, threshold_c),
    }
    if milestone is Milestone.TARGET:
        guesses["per pound"] = baselines.by_weight(known, job.per_pound)
    return {name: max(guess, now_s) for name, guess in guesses.items()}


def _judge_stage(sim: SimCook, cook: Cook, stage: float, job: Job) -> Verdict:
    duration = sim.truth.target_s
    assert duration is not None
    now = stage * duration
    known, probe = cook.known_at(now), cook.probes[0]
    scores, seconds, failures = [], [], []
    answer = None
    if job.use_forecast:
        started = time.perf_counter()
        try:
            answer = forecast(known, now)
        except CoreError as error:
            failures.append(f"{sim.seed} at {stage}: {error!r}")
        seconds.append(time.perf_counter() - started)
    for milestone in MILESTONES:
        true_s, threshold = true_time_s(sim, milestone), probe.threshold_c(milestone)
        if true_s is None or threshold is None or true_s <= now:
            continue
        common = (sim.seed, sim.cut, stage, milestone.value)
        for method, guess in _plain(known, threshold, milestone, job, now).items():
            scores.append(score(*common, method, np.array([guess]), true_s, duration))
        arrival = answer.arrival(probe.name, milestone) if answer else None
        if arrival is not None:
            scores.append(score(*common, "forecast", arrival.draws_s, true_s, duration))
        elif job.use_forecast:
            failures.append(f"{sim.seed} at {stage}: no arrival for {milestone.value}")
            never = np.array([np.inf, np.inf])
            scores.append(score(*common, "forecast", never, true_s, duration))
    return Verdict(tuple(scores), tuple(seconds), tuple(failures))


def _revision(sim: SimCook, cook: Cook) -> float | None:
    """Mean absolute change of the median finish between readings, as a share of the cook."""
    duration = sim.truth.target_s
    assert duration is not None
    name, medians = cook.probes[0].name, []
    for reading in cook.readings:
        if reading.elapsed_s >= duration:
            break
        arrival = forecast(cook.known_at(reading.elapsed_s), reading.elapsed_s).arrival(
            name, Milestone.TARGET
        )
        if arrival is not None:
            median = arrival.quantile_s(0.5)
            medians.append(min(median or np.inf, 3.0 * duration) / duration)
    return float(np.mean(np.abs(np.diff(medians)))) if len(medians) > 1 else None


def judge_cook(sim: SimCook, job: Job) -> Verdict:
    """All stages of one cook."""
    cook = with_slips(sim, job.slips) if job.slips else sim.cook
    parts = [_judge_stage(sim, cook, stage, job) for stage in STAGES]
    return Verdict(
        tuple(s for part in parts for s in part.scores),
        tuple(s for part in parts for s in part.seconds),
        tuple(f for part in parts for f in part.failures),
        _revision(sim, cook) if job.revision and job.use_forecast else None,
    )


def judge(sims: list[SimCook], job: Job, workers: int) -> list[Verdict]:
    """Judge many cooks, in order."""
    work = partial(judge_cook, job=job)
    if workers <= 1:
        return [work(sim) for sim in sims]
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(work, sims, chunksize=4))
