"""Print the score table: ``python -m tests.bench.scores`` from the repository's root."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

from tests.bench.scores import report
from tests.bench.scores.baselines import minutes_per_pound
from tests.bench.scores.judge import Job, Verdict, judge
from tests.bench.scores.measure import Score
from tests.bench.scores.oracle import oracle_scores
from tests.bench.truth import SimCook, judging_cooks, tuning_cooks


def _arguments(argv: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.scores", description=__doc__)
    parser.add_argument("--set", choices=("judging", "tuning"), default="judging")
    parser.add_argument("--limit", type=int, help="only the first N cooks")
    parser.add_argument("--cuts", nargs="+", help="only these cuts")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--slips", type=float, default=0.0, help="share of readings mistyped")
    parser.add_argument("--baselines", action="store_true", help="leave the forecast out")
    revision = "also the median's mean revision between readings, on N cooks"
    parser.add_argument("--revision", type=int, default=0, metavar="N", help=revision)
    parser.add_argument("--worst", type=int, default=0, metavar="N", help="list the worst N")
    parser.add_argument("--json", type=Path, metavar="FILE")
    return parser.parse_args(argv)


def _chosen(args: argparse.Namespace) -> list[SimCook]:
    sims = judging_cooks() if args.set == "judging" else tuning_cooks()
    if args.cuts:
        sims = [s for s in sims if s.cut in args.cuts]
    return sims[: args.limit]


def _print_notes(verdicts: list[Verdict]) -> dict[str, object]:
    seconds = np.array([s for v in verdicts for s in v.seconds])
    failures = [f for v in verdicts for f in v.failures]
    notes: dict[str, object] = {"failures": failures}
    if seconds.size:
        notes["seconds_median"] = float(np.median(seconds))
        notes["seconds_p95"] = float(np.quantile(seconds, 0.95))
        print(f"time of a forecast: median {np.median(seconds):.3f} s, "
              f"95 % {np.quantile(seconds, 0.95):.3f} s")  # fmt: skip
    print(f"failed forecasts: {len(failures)}")
    for failure in failures[:5]:
        print("  ", failure)
    return notes


def _print_tables(args: argparse.Namespace, scores: list[Score], cooks: int) -> None:
    print(f"{cooks} {args.set} cooks, slips {args.slips:.0%}; a draw of never counts as 3 times "
          "the cook; per pound is fitted to the tuning cooks\n")  # fmt: skip
    for milestone in ("target", "glaze", "wrap"):
        print("\n".join(report.by_method(scores, milestone)), "\n")
    print("\n".join(report.against_oracle(scores)), "\n")
    shown = "line" if args.baselines else "forecast"
    print("\n".join(report.by_cut(scores, shown)), "\n")
    worst = sorted((s for s in scores if s.method == shown), key=lambda s: -s.crps)
    for s in worst[: args.worst]:
        print(f"seed {s.seed} {s.cut} {s.stage:.0%} {s.milestone} "
              f"crps {s.crps:.3f} error {s.error:+.3f}")  # fmt: skip


def _revision(sims: list[SimCook], job: Job, workers: int) -> float:
    part = judge(sims, replace(job, revision=True), workers)
    changes = [v.revision for v in part if v.revision is not None]
    print(f"mean absolute revision of the median between readings: {np.mean(changes):.4f} "
          f"of the cook ({len(changes)} cooks)")  # fmt: skip
    return float(np.mean(changes))


def main(argv: list[str] | None = None) -> int:
    """Judge and print."""
    args = _arguments(argv)
    sims = _chosen(args)
    job = Job(minutes_per_pound(tuning_cooks()), args.slips, not args.baselines)
    verdicts = judge(sims, job, args.workers)
    scores = [s for v in verdicts for s in v.scores]
    if args.set == "judging":
        seeds = {s.seed for s in sims}
        scores += [s for s in oracle_scores() if s.seed in seeds]
    _print_tables(args, scores, len(sims))
    notes = _print_notes(verdicts)
    if args.revision and not args.baselines:
        notes["revision"] = _revision(sims[: args.revision], job, args.workers)
    if args.json:
        notes |= {"set": args.set, "slips": args.slips, "cooks": len(sims)}
        report.write_json(args.json, scores, notes)
    return 0


if __name__ == "__main__":
    sys.exit(main())
