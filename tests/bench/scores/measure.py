"""Scores of one guess, and their means over many cooks.

CRPS is the continuous ranked probability score of the draws, for a single guess its absolute
error. A draw that says never counts as ``HORIZON`` times the true duration, for every method alike:
a finite price for a wrong never. All times are given as shares of the true time to the target.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np
import numpy.typing as npt
import scoringrules

Array = npt.NDArray[np.float64]

STAGES = (0.25, 0.50, 0.75, 0.90)
HORIZON = 3.0


@dataclass(frozen=True, slots=True)
class Score:
    """One method on one cook, stage and milestone; times as shares of the cook."""

    seed: int
    cut: str
    stage: float
    milestone: str
    method: str
    crps: float
    error: float
    """Median less truth: positive is late."""
    covered: bool | None
    width: float | None


def quantile(draws: Array, level: float) -> float:
    """Quantile of sorted draws, midpoint rule; draws are capped, so always finite."""
    places = (np.arange(draws.size) + 0.5) / draws.size
    return float(np.interp(level, places, draws))


def score(
    seed: int, cut: str, stage: float, milestone: str, method: str,
    draws_s: Array, true_s: float, duration_s: float,
) -> Score:  # fmt: skip
    """Score draws (or one guess) of a time against the truth."""
    draws = np.sort(np.nan_to_num(draws_s, nan=np.inf, posinf=np.inf) / duration_s)
    draws = np.clip(draws, 0.0, HORIZON)
    truth = true_s / duration_s
    crps = float(scoringrules.crps_ensemble(truth, draws, estimator="qd"))
    error = quantile(draws, 0.5) - truth
    if draws.size == 1:
        return Score(seed, cut, stage, milestone, method, abs(error), error, None, None)
    low, high = quantile(draws, 0.1), quantile(draws, 0.9)
    return Score(
        seed, cut, stage, milestone, method, crps, error, bool(low <= truth <= high), high - low
    )


@dataclass(frozen=True, slots=True)
class Summary:
    """Means over cooks."""

    cooks: int
    crps: float
    mean_error: float
    median_error: float
    bias: float
    median_bias: float
    coverage: float | None
    width: float | None

    def as_dict(self) -> dict[str, float | int | None]:
        """For JSON."""
        return asdict(self)


def summarise(scores: list[Score]) -> Summary:
    """Mean scores; coverage and width only where there is a distribution."""
    errors = np.array([s.error for s in scores])
    covered = [s.covered for s in scores if s.covered is not None]
    widths = [s.width for s in scores if s.width is not None]
    return Summary(
        cooks=len(scores),
        crps=float(np.mean([s.crps for s in scores])),
        mean_error=float(np.mean(np.abs(errors))),
        median_error=float(np.median(np.abs(errors))),
        bias=float(np.mean(errors)),
        median_bias=float(np.median(errors)),
        coverage=float(np.mean(covered)) if covered else None,
        width=float(np.mean(widths)) if widths else None,
    )
