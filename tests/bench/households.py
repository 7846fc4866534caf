"""How much a household's own past cooks sharpen the next forecast.

    python -m tests.bench.households [--set judging] [--limit N]

Prints the CRPS of the finish as a share of the cook, at meat-on and at a quarter of the cook, of
the book's prior and of the one learned from N past cooks of the same cut. The judging households
are scored unless ``--set tuning`` is given; nothing is fitted to them.
"""

from __future__ import annotations

import argparse
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from core.cook import Cook, Milestone
from core.forecast import forecast
from core.learning import Evidence, evidence_of, learned_prior
from core.prior import Prior, book_prior
from tests.bench.households_truth import CUTS, JUDGING, TUNING, Household, households
from tests.bench.scores.measure import Score, score
from tests.bench.truth import SimCook

Array = npt.NDArray[np.float64]

COUNTS = (0, 1, 3, 5, 10)
STAGES = (0.0, 0.25)
OFFSET_C = 5.0
"""A gauge that is that far out, cook after cook, makes a household with a persistent offset."""

ODD_STRETCH = 1.5
RESAMPLES, SEED = 2000, 20260509


@dataclass(frozen=True, slots=True)
class Row:
    """Scores of one household's following cooks under one prior, one list a stage."""

    label: str
    household: int
    cut: str
    offset_c: float
    scores: tuple[tuple[Score, ...], ...]

    def crps(self, stage: int) -> float:
        """Mean over the cooks."""
        return float(np.mean([s.crps for s in self.scores[stage]]))


def stretched(cook: Cook, factor: float) -> Cook:
    """An odd cook: everything in it happened later, as if the meat had gone on hours before."""
    readings = tuple(replace(r, elapsed_s=factor * r.elapsed_s) for r in cook.readings)
    events = tuple(replace(e, elapsed_s=factor * e.elapsed_s) for e in cook.events)
    return replace(cook, readings=readings, events=events)


def score_at(sim: SimCook, prior: Prior, stage: float) -> Score:
    """Score of the finish, forecast with what was known at that share of the cook."""
    true_s = sim.truth.target_s
    assert true_s is not None
    now_s, probe = stage * true_s, sim.cook.probes[0].name
    made = forecast(sim.cook.known_at(now_s), now_s, prior=prior, explain=False)
    arrival = made.arrival(probe, Milestone.TARGET)
    assert arrival is not None
    common = (sim.seed, sim.cut, stage, Milestone.TARGET.value, "forecast")
    return score(*common, arrival.draws_s, true_s, true_s)


def rows_of(home: Household) -> list[Row]:
    """All priors of one household; the newest N of its past cooks teach."""
    book = book_prior(home.cut)
    found: list[Evidence] = []
    for sim in home.past:
        evidence = evidence_of(sim.cook, book)
        if evidence is not None:
            found.append(evidence)
    priors = {f"{n}": learned_prior(book, found[-n:]) if n else book for n in COUNTS}
    odd = evidence_of(stretched(home.past[-1].cook, ODD_STRETCH), book)
    if odd is not None:
        priors["1, odd"] = learned_prior(book, [odd])
        priors["5, one odd"] = learned_prior(book, [*found[-5:-1], odd])
        priors["10, one odd"] = learned_prior(book, [*found[-10:-1], odd])
    sims = (*home.past, *home.following)
    offset = float(np.mean([s.truth.theta["gauge_offset_c"] for s in sims]))
    return [
        Row(label, home.number, home.cut, offset, tuple(
            tuple(score_at(sim, prior, stage) for sim in home.following) for stage in STAGES
        ))
        for label, prior in priors.items()
    ]  # fmt: skip


def fall(rows: list[Row], label: str, stage: int) -> tuple[float, float, float]:
    """Fall of the CRPS against the book [share], and its 10 and 90 % bounds over households."""
    book = {r.household: r.crps(stage) for r in rows if r.label == "0"}
    own = {r.household: r.crps(stage) for r in rows if r.label == label}
    pairs = np.array([(book[h], own[h]) for h in own])
    rng = np.random.default_rng(SEED)
    drawn = pairs[rng.integers(0, len(pairs), (RESAMPLES, len(pairs)))].mean(axis=1)
    low, high = np.quantile(1.0 - drawn[:, 1] / drawn[:, 0], (0.1, 0.9))
    means = pairs.mean(axis=0)
    return float(1.0 - means[1] / means[0]), float(low), float(high)


def table(title: str, rows: list[Row]) -> list[str]:
    """One block of the printed table."""
    homes = len({r.household for r in rows})
    out = [f"{title}: {homes} households"]
    if not homes:
        return out
    for label in dict.fromkeys(r.label for r in rows):
        cells = []
        for i, stage in enumerate(STAGES):
            scores = [s for r in rows if r.label == label for s in r.scores[i]]
            covered = np.mean([bool(s.covered) for s in scores])
            share, low, high = fall(rows, label, i)
            crps = np.mean([s.crps for s in scores])
            cells.append(f"{stage:4.0%} {crps:.4f} {share:+6.1%} ({low:+.1%} to {high:+.1%}) "
                         f"in band {covered:.2f}")  # fmt: skip
        out.append(f"  past cooks {label:12s}" + "   ".join(cells))
    return out


def judged(homes: list[Household], workers: int) -> list[Row]:
    """Rows of many households."""
    with ProcessPoolExecutor(workers) as pool:
        return [row for rows in pool.map(rows_of, homes, chunksize=2) for row in rows]


def main() -> None:
    """Judge and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.households", description=__doc__)
    parser.add_argument("--set", choices=("judging", "tuning"), default="judging")
    parser.add_argument("--limit", type=int, help="only the first N households")
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    numbers = JUDGING if options.set == "judging" else TUNING
    homes = households(options.set, numbers)[: options.limit]
    rows = judged(homes, options.workers)
    print("CRPS of the finish [share of the cook], its fall against the book's prior with 10 to")
    print("90 % bounds over households, and how often an 80 % band held the truth;", options.set)
    print("\n".join(table("all", rows)))
    far = [r for r in rows if abs(r.offset_c) >= OFFSET_C]
    print("\n".join(table(f"gauge out by {OFFSET_C:.0f} K or more", far)))
    for cut in CUTS:
        print("\n".join(table(cut, [r for r in rows if r.cut == cut])))


if __name__ == "__main__":
    main()
