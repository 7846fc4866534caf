"""An independent truth: cooks simulated in two dimensions with water, fire and a person.

Nothing in here imports the program's model; only the values of a cook are shared.
"""

from __future__ import annotations

from tests.bench.truth.cooks import (
    JUDGING_SEEDS,
    TUNING_SEEDS,
    SimCook,
    Truth,
    judging_cooks,
    simulate,
    tuning_cooks,
)

__all__ = [
    "JUDGING_SEEDS",
    "TUNING_SEEDS",
    "SimCook",
    "Truth",
    "judging_cooks",
    "simulate",
    "tuning_cooks",
]
