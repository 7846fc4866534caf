"""Score tables as plain text."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path

from tests.bench.scores.measure import STAGES, Score, Summary, summarise

METHODS = ("forecast", "oracle", "line", "newton", "three-exp", "per pound")
HEAD = (
    f"{'':22}{'':>6}{'cooks':>7}{'CRPS':>8}{'|err|':>8}{'med|err|':>9}{'bias':>8}"
    f"{'med bias':>9}{'cover80':>9}{'width80':>9}"
)


def _cell(value: float | None, width: int, digits: int = 3) -> str:
    return f"{'-':>{width}}" if value is None else f"{value:>{width}.{digits}f}"


def _row(label: str, stage: str, s: Summary) -> str:
    return (
        f"{label:22}{stage:>6}{s.cooks:>7}{_cell(s.crps, 8)}{_cell(s.mean_error, 8)}"
        f"{_cell(s.median_error, 9)}{s.bias:>+8.3f}{s.median_bias:>+9.3f}"
        f"{_cell(s.coverage, 9, 2)}{_cell(s.width, 9)}"
    )


def _pick(scores: Iterable[Score], test: Callable[[Score], bool]) -> list[Score]:
    return [s for s in scores if test(s)]


def by_method(scores: list[Score], milestone: str) -> list[str]:
    """Rows of every method and stage for one milestone."""
    lines = [f"{milestone}: means over cooks, as shares of the true time to the target", HEAD]
    for method in METHODS:
        for stage in STAGES:
            some = _pick(
                scores,
                lambda s, m=method, g=stage: (s.milestone, s.method, s.stage) == (milestone, m, g),
            )
            if some:
                lines.append(_row(method, f"{stage:.0%}", summarise(some)))
    return lines


def by_cut(scores: list[Score], method: str) -> list[str]:
    """Rows of every cut and stage for one method's target."""
    cuts = sorted({s.cut for s in scores})
    lines = [f"{method}, target, by cut", HEAD]
    for cut in cuts:
        for stage in STAGES:
            some = _pick(
                scores,
                lambda s, c=cut, g=stage: (
                    (s.milestone, s.method, s.cut, s.stage) == ("target", method, c, g)
                ),
            )
            if some:
                lines.append(_row(cut, f"{stage:.0%}", summarise(some)))
    return lines


def against_oracle(scores: list[Score]) -> list[str]:
    """The forecast beside the oracle on the cooks that the oracle was made for."""
    lines = []
    for milestone in ("target", "glaze", "wrap"):
        for stage in STAGES:
            here = _pick(scores, lambda s, m=milestone, g=stage: (s.milestone, s.stage) == (m, g))
            limit = {s.seed: s.crps for s in here if s.method == "oracle"}
            mine = {s.seed: s.crps for s in here if s.method == "forecast" and s.seed in limit}
            if not mine:
                continue
            ours = sum(mine.values()) / len(mine)
            best = sum(limit[seed] for seed in mine) / len(mine)
            lines.append(
                f"{milestone:22}{stage:>6.0%}{len(mine):>7}{ours:>10.4f}{best:>10.4f}"
                f"{ours / best:>10.2f}"
            )
    head = f"{'same cooks as the oracle':28}{'cooks':>7}{'forecast':>10}{'oracle':>10}{'ratio':>10}"
    return [head, *lines] if lines else ["no cook here has an oracle"]


def write_json(path: Path, scores: list[Score], extra: dict[str, object]) -> None:
    """All means, by method, milestone, stage and cut (``all`` for every cut together)."""
    rows = []
    keys = {(s.method, s.milestone, s.stage, c) for s in scores for c in (s.cut, "all")}
    for method, milestone, stage, cut in sorted(keys):
        some = _pick(
            scores,
            lambda s, k=(method, milestone, stage, cut): (
                (s.method, s.milestone, s.stage) == k[:3] and k[3] in ("all", s.cut)
            ),
        )
        rows.append(
            {"method": method, "milestone": milestone, "stage": stage, "cut": cut}
            | summarise(some).as_dict()
        )
    path.write_text(json.dumps(extra | {"rows": rows}, indent=1), encoding="utf-8")
