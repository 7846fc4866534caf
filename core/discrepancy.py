r"""The model's own error: smooth, correlated in time, and carried into the forecast.

.. math:: y_i = f(t_i, \theta) + \delta(t_i) + \epsilon_i, \qquad
          \mathrm{cov}(\delta(s), \delta(t)) = a(s)\,a(t)\,e^{-|s-t|/\tau}

with :math:`a(t) = \sigma (1 - e^{-t/\tau})`: a body that starts known can only go wrong with time.
Without it an ensemble that is right about everything but the model grows too sure of itself.

Source: Kennedy and O'Hagan, Bayesian calibration of computer models, J. R. Stat. Soc. B 63 (2001)
(from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray
from core.sightings import Sightings

SIGMA_C = 0.9
SETTLE_C, SETTLE_S = 10.0, 180.0
"""A probe put into cold meat takes a few minutes to show it: more noise at first."""

_SHARE_OF_DIFFUSION_TIME, _TAU_MIN_S, _TAU_MAX_S = 0.06, 600.0, 7200.0


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """Size [°C] and correlation time [s] of the model's error."""

    sigma_c: float
    tau_s: float

    @classmethod
    def of_body(cls, half_thickness_m: float, diffusivity: float) -> Discrepancy:
        """For a body of that size [m] and diffusivity [m2/s]."""
        tau = _SHARE_OF_DIFFUSION_TIME * half_thickness_m**2 / diffusivity
        return cls(SIGMA_C, float(np.clip(tau, _TAU_MIN_S, _TAU_MAX_S)))

    def covariance(self, a_s: FloatArray, b_s: FloatArray) -> FloatArray:
        """Covariance of the error between times `a_s` and `b_s` [K2]."""
        gap = np.abs(a_s[:, None] - b_s[None, :])
        out: FloatArray = self._size(a_s)[:, None] * self._size(b_s) * np.exp(-gap / self.tau_s)
        return out

    def _size(self, t_s: FloatArray) -> FloatArray:
        out: FloatArray = self.sigma_c * -np.expm1(-np.maximum(t_s, 0.0) / self.tau_s)
        return out

    def of_readings(self, seen: Sightings) -> FloatArray:
        """Covariance of readings about the model: error and noise [K2]."""
        settling = SETTLE_C * np.exp(-seen.times_s / SETTLE_S)
        noise = np.diag(seen.noise_c**2 + settling**2)
        return self.covariance(seen.times_s, seen.times_s) + noise

    def carried(
        self, seen: Sightings, misfit_c: FloatArray, t_s: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """The error at times `t_s`, given each member's misfit to the readings.

        Parameters
        ----------
        seen : Sightings
        misfit_c : array, shape (n, readings)
            Reading minus model.
        t_s : array, shape (m,)

        Returns
        -------
        mean_c : array, shape (m, n)
        sd_c : array, shape (m,)
        """
        size = self._size(t_s)
        if not seen.times_s.size:
            return np.zeros((t_s.size, misfit_c.shape[0])), size
        cross = self.covariance(t_s, seen.times_s)
        gain = np.linalg.solve(self.of_readings(seen), cross.T).T
        left = size**2 - np.einsum("ij,ij->i", gain, cross)
        return gain @ misfit_c.T, np.sqrt(np.maximum(left, 0.0))
