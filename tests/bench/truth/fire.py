"""The fire and its gauge for a batch of cooks.

The level wanders (Ornstein-Uhlenbeck) about what the vents are set to, sinks as the fuel burns
down, jumps back when it is fed, and the pit follows the level with a time constant. Opening the lid
takes a share of the heat at once. The gauge sits elsewhere, so it is off by a constant, and lags.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

NOISE_STEP_S = 120.0
NOISE_COUNT = 2400
LOWEST_C = 55.0


def wander(rng: np.random.Generator, memory_s: float, count: int = NOISE_COUNT) -> Array:
    """A standard Ornstein-Uhlenbeck path, a value each ``NOISE_STEP_S``."""
    from scipy.signal import lfilter

    keep = np.exp(-NOISE_STEP_S / memory_s)
    noise = rng.normal(size=count) * np.sqrt(1.0 - keep**2)
    noise[0] /= np.sqrt(1.0 - keep**2)
    return np.asarray(lfilter([1.0], [1.0, -keep], noise))


class Fire:
    """State of the fires; `theta` as drawn by ``scenario``, `noise` of shape (n, NOISE_COUNT)."""

    def __init__(self, theta: Mapping[str, Array], noise: Array) -> None:
        self.p = theta
        self.noise = noise
        n = theta["setpoint_c"].size
        self.pit = theta["start_pit_c"].copy()
        self.gauge = self.pit + theta["gauge_offset_c"]
        self.trim = np.zeros(n)
        self.burn_s = -theta["first_burn_s"]
        self.pulse = np.zeros(n)

    def level(self, t: Array) -> Array:
        """Where the fire is heading [°C]."""
        at = np.clip(t / NOISE_STEP_S, 0.0, NOISE_COUNT - 1.001)
        low = at.astype(np.intp)
        rows = np.arange(t.size)
        one, two = self.noise[rows, low], self.noise[rows, low + 1]
        swing = self.p["fire_sd_c"] * (one + (at - low) * (two - one))
        sunk = self.p["decay_c_per_h"] * np.maximum(self.burn_s, 0.0) / 3600.0
        level = self.p["setpoint_c"] + self.trim + swing - sunk + self.pulse
        return np.maximum(level, LOWEST_C)

    def step(self, t: Array, dt: Array) -> None:
        """Advance by `dt` [s] to `t`."""
        p = self.p
        self.pit += (self.level(t) - self.pit) * -np.expm1(-dt / p["fire_tau_s"])
        self.gauge += (self.pit + p["gauge_offset_c"] - self.gauge) * -np.expm1(
            -dt / p["gauge_tau_s"]
        )
        self.burn_s += dt
        self.pulse *= np.exp(-dt / 1500.0)

    def open_lid(self, cook: int, share: float) -> None:
        """A share of the heat above the room escapes."""
        self.pit[cook] -= share * (self.pit[cook] - self.p["room_c"][cook])

    def feed(self, cook: int) -> None:
        """New fuel: it burns as at the start, after a surge."""
        self.burn_s[cook] = -self.p["first_burn_s"][cook]
        self.pulse[cook] += 0.6 * self.p["fire_sd_c"][cook]

    def keep(self, rows: npt.NDArray[np.bool_]) -> None:
        """Drop the cooks that are over."""
        self.p = {name: value[rows] for name, value in self.p.items()}
        for name in ("noise", "pit", "gauge", "trim", "burn_s", "pulse"):
            setattr(self, name, getattr(self, name)[rows])
