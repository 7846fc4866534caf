"""Fit the book priors to complete simulated cooks of the tuning set, by expectation maximisation.

    python -m tests.bench.fit_priors [--rounds 4] [--workers 2] > table.py

Then move the table to ``core/prior_table.py``: printing straight into it would empty the table that
this program starts from.

Each round infers every tuning cook's unknowns from *all* its readings under the present prior
(E step) and takes the mean by cut and the common covariance of those posteriors as the next prior
(M step). Judging cooks are never touched. The result is checked against the published roasting
times in ``tests/published``.
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor

import numpy as np

from core.catalogue import CUTS
from core.cook import Cook, EventKind, Reading
from core.learning import MISFIT_MAX_C, Evidence, evidence_of
from core.prior import UNKNOWNS, Prior
from core.prior_table import COVARIANCE, MEAN

OFFSET = UNKNOWNS.index("offset_c")
OFFSET_SD_C, OFFSET_KEPT = 5.0, 0.5
"""A gauge reads at most some 10 °C high or low, as often the one as the other; left free, the
offset takes up what else the model gets wrong, and the slow cooks are forecast too widely."""

POOLED = 8.0
"""Weight of the mean over all cuts in each cut's mean, in cooks."""


def with_finish(cook: Cook, probe: str, target_c: float, finish_s: float | None) -> Cook:
    """The cook up to its pull, with its true finish added as a reading."""
    pulled = cook.first_event(EventKind.PULLED)
    end = pulled.elapsed_s if pulled else max(r.elapsed_s for r in cook.readings)
    known = cook.known_at(end)
    if finish_s is None:
        return known
    readings = (*known.readings, Reading(finish_s, None, ((probe, target_c),)))
    return Cook(known.plan, known.probes, readings, known.events)


def _one(job: tuple[Cook, Prior]) -> Evidence | None:
    return evidence_of(*job)


def maximised(found: list[Evidence]) -> dict[str, Prior]:
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
            found = [e for e in pool.map(_one, jobs, chunksize=8) if e is not None]
            priors = maximised(found)
            sd = np.sqrt(np.diag(next(iter(priors.values())).covariance))
            print(f"round {round_ + 1}: sd {np.round(sd, 3)}", file=sys.stderr)
    print(table(priors), end="")


if __name__ == "__main__":
    main()
