"""Fit the book priors to complete simulated cooks of the tuning set, by expectation maximisation.

    python -m tests.bench.fit_priors [--rounds 4] [--workers 2] > core/prior_table.py

Each round infers every tuning cook's unknowns from *all* its readings under the present prior
(E step) and takes the mean by cut and the common covariance of those posteriors as the next prior
(M step). Judging cooks are never touched. The result is checked against the published roasting
times in ``tests/published``.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray
from core.catalogue import CUTS
from core.cook import Cook, EventKind, Reading
from core.fire import fire_path
from core.forecast import happened_of, step_and_error
from core.posterior import Setting, infer
from core.prior import UNKNOWNS, Prior, start_of, unknowns_of
from core.prior_table import COVARIANCE, MEAN
from core.sightings import sightings

MISFIT_MAX_C = 2.5
"""Cooks that the model cannot follow say nothing about its unknowns [°C]."""

OFFSET = UNKNOWNS.index("offset_c")
OFFSET_SD_C, OFFSET_KEPT = 7.0, 0.5
"""A gauge reads at most some 10 °C high or low, as often the one as the other; left free, the
offset takes up what else the model gets wrong, and the slow cooks are forecast too widely."""

POOLED = 8.0
"""Weight of the mean over all cuts in each cut's mean, in cooks."""


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """Posterior mean and covariance of one cook's unknowns."""

    cut: str
    mean: FloatArray
    covariance: FloatArray
    misfit_c: float


def with_finish(cook: Cook, probe: str, target_c: float, finish_s: float | None) -> Cook:
    """The cook up to its pull, with its true finish added as a reading."""
    pulled = cook.first_event(EventKind.PULLED)
    end = pulled.elapsed_s if pulled else max(r.elapsed_s for r in cook.readings)
    known = cook.known_at(end)
    if finish_s is None:
        return known
    readings = (*known.readings, Reading(finish_s, None, ((probe, target_c),)))
    return Cook(known.plan, known.probes, readings, known.events)


def moments_of(cook: Cook, prior: Prior) -> Moments:
    """Posterior moments of the first probe's unknowns, from all readings."""
    (probe, *_) = cook.probes
    seen = sightings(cook, probe.name)
    step_s, error = step_and_error(cook)
    end = max(r.elapsed_s for r in cook.readings)
    fire = fire_path(cook, end, 3600.0)
    grid = np.linspace(0.0, end, int(np.ceil(end / step_s)) + 1)
    setting = Setting(cook.plan, start_of(probe, seen.first), prior, fire, happened_of(cook), grid)
    posterior = infer(setting, seen, error, lambda: False)
    x = unknowns_of(prior, posterior.z)
    misfit = float(np.sqrt(np.mean(posterior.misfit_c.mean(axis=0) ** 2)))
    return Moments(cook.plan.cut, x.mean(axis=0), np.cov(x.T), misfit)


def _one(job: tuple[Cook, Prior]) -> Moments:
    return moments_of(*job)


def maximised(found: list[Moments]) -> dict[str, Prior]:
    """The next prior of every cut."""
    found = [m for m in found if m.misfit_c < MISFIT_MAX_C]
    overall = np.mean([m.mean for m in found], axis=0)
    means = {}
    for cut in CUTS:
        own = [m.mean for m in found if m.cut == cut]
        means[cut] = (np.sum(own, axis=0) + POOLED * overall) / (len(own) + POOLED)
        means[cut][OFFSET] *= OFFSET_KEPT
    spread = np.mean(
        [m.covariance + np.outer(m.mean - means[m.cut], m.mean - means[m.cut]) for m in found],
        axis=0,
    )
    covariance = 0.5 * (spread + spread.T) + 1e-6 * np.eye(len(UNKNOWNS))
    shrink = np.ones(len(UNKNOWNS))
    shrink[OFFSET] = OFFSET_SD_C / np.sqrt(covariance[OFFSET, OFFSET])
    covariance = covariance * np.outer(shrink, shrink)
    return {cut: Prior.of(means[cut], covariance) for cut in CUTS}


def table(priors: dict[str, Prior]) -> str:
    """Source text of ``core/prior_table.py``."""
    lines = [
        '"""Prior means by cut and the common covariance of the unknowns of :mod:`core.prior`.',
        "",
        "Made by ``python -m tests.bench.fit_priors`` from the tuning cooks; do not edit by hand.",
        '"""',
        "",
        "from __future__ import annotations",
        "",
        "MEAN: dict[str, tuple[float, ...]] = {",
    ]
    for cut, prior in priors.items():
        values = ", ".join(f"{v:.4f}" for v in prior.mean)
        lines.append(f'    "{cut}": ({values}),')
    lines += ["}", "", "COVARIANCE: tuple[tuple[float, ...], ...] = ("]
    for row in next(iter(priors.values())).covariance:
        lines.append("    (" + ", ".join(f"{v:.5f}" for v in row) + "),")
    return "\n".join([*lines, ")", ""])


def main() -> None:
    """Fit and print."""
    from tests.bench.truth import tuning_cooks

    parser = argparse.ArgumentParser()
    parser.add_argument("--rounds", type=int, default=4)
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    cooks = [
        with_finish(s.cook, s.cook.probes[0].name, s.cook.probes[0].target_c, s.truth.target_s)
        for s in tuning_cooks()
    ]
    priors = {cut: Prior.of(np.array(MEAN[cut]), np.array(COVARIANCE)) for cut in CUTS}
    with ProcessPoolExecutor(options.workers) as pool:
        for round_ in range(options.rounds):
            jobs = [(cook, priors[cook.plan.cut]) for cook in cooks]
            found = list(pool.map(_one, jobs, chunksize=8))
            priors = maximised(found)
            sd = np.sqrt(np.diag(next(iter(priors.values())).covariance))
            print(f"round {round_ + 1}: sd {np.round(sd, 3)}", file=sys.stderr)
    print(table(priors), end="")


if __name__ == "__main__":
    main()
