"""A stand-in for a random generator that hands out columns of given standard normals.

With it the truth's own drawing code becomes a map from normals to hidden parameters, so that a
posterior can be sought among normals and still be one over the truth's parameters.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from tests.bench.truth.scenario import Plan, Theta, draw_theta

Array = npt.NDArray[np.float64]


class Latent:
    """Serves the next column at each draw; keeps count."""

    def __init__(self, normals: Array) -> None:
        self.normals = normals
        self.used = 0

    def _next(self) -> Array:
        self.used += 1
        return self.normals[:, self.used - 1]

    def normal(self, loc: float = 0.0, scale: float = 1.0, size: int | None = None) -> Array:
        """As ``Generator.normal``, one value for each row."""
        return loc + scale * self._next()

    def uniform(self, low: float = 0.0, high: float = 1.0, size: int | None = None) -> Array:
        """As ``Generator.uniform``."""
        return low + (high - low) * ndtr(self._next())

    def random(self, size: int | None = None) -> Array:
        """As ``Generator.random``."""
        return ndtr(self._next())


def count_normals(plan: Plan) -> int:
    """How many normals the hidden parameters of one plan take."""
    latent = Latent(np.zeros((1, 200)))
    draw_theta(latent, plan, 1)  # type: ignore[arg-type]
    return latent.used


def columns_of(names: tuple[str, ...], plan: Plan) -> Array:
    """Which normals move any of the named parameters, as a mask."""
    rng, count = np.random.default_rng(0), count_normals(plan)
    normals = rng.normal(size=(64, count))
    before = theta_of(normals, plan)
    moved = np.zeros(count, dtype=bool)
    for column in range(count):
        other = normals.copy()
        other[:, column] = rng.normal(size=64)
        after = theta_of(other, plan)
        moved[column] = any(not np.array_equal(after[name], before[name]) for name in names)
    return moved


def theta_of(normals: Array, plan: Plan) -> Theta:
    """Hidden parameters of each row of normals."""
    n = normals.shape[0]
    theta = draw_theta(Latent(normals), plan, n)  # type: ignore[arg-type]
    return {name: np.array(np.broadcast_to(value, n), dtype=float) for name, value in theta.items()}
