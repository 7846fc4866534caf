r"""Transient conduction in a body between slab, cylinder and ball, by its insulated modes.

The one-dimensional heat equation on :math:`0 \le x \le 1` (:math:`x = r/R`),

.. math:: \frac{R^2}{\alpha}\frac{\partial T}{\partial t}
          = x^{-m}\frac{\partial}{\partial x}\left(x^m \frac{\partial T}{\partial x}\right),
          \qquad \left.\frac{\partial T}{\partial x}\right|_{1} = Q = \frac{q R}{k},

with shape exponent :math:`m` (0 slab, 1 cylinder, 2 ball, any value between) is expanded in the
eigenfunctions of the *insulated* body, :math:`\varphi_j(x) = x^{-p} J_p(\lambda_j x)` with
:math:`p = (m-1)/2` and :math:`J_{p+1}(\lambda_j) = 0`. Scaled to one at the surface they have the
squared norm 1/2 (and :math:`1/(m+1)` for the mean mode), so that

.. math:: \frac{R^2}{\alpha}\dot a_0 = (m+1) Q, \qquad
          \frac{R^2}{\alpha}\dot a_j = -\lambda_j^2 a_j + 2 Q, \qquad
          T(x) = \sum_{j \le K} a_j \varphi_j(x) + c(x)\,Q.

The nonlinear surface enters only through the scalar flux, so one time step costs a few
element-wise products however stiff the body is. The modes left out are taken at their steady
value, what the parabola of steady heating leaves over:
:math:`c(x) = \frac{x^2}{2} - \frac{m+1}{2(m+3)} - \sum_{j \le K} 2\varphi_j(x)/\lambda_j^2`
(at :math:`x = 1` this is Rayleigh's sum over the zeros of :math:`J_{p+1}`).

Sources: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., ch. III, VII, IX (constant flux
solutions); Watson, Theory of Bessel Functions, 15.51 (Rayleigh's sums). Both from memory; checked
against exact series in ``tests/published/test_conduction.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.answers import FloatArray

MODES = 6
"""Insulated modes kept beside the mean."""

_SHAPES = np.linspace(0.0, 2.0, 41)
_DEPTHS = np.linspace(0.0, 1.0, 81)


@dataclass(frozen=True, slots=True, eq=False)
class _Tables:
    """Eigenvalues and eigenfunctions on a grid of shape exponents and depths."""

    lam2: FloatArray  # (shapes, MODES)
    profile: FloatArray  # (shapes, depths, MODES)


def _zeros(order: float, count: int) -> FloatArray:
    """First positive zeros of the Bessel function of that order, 0.4 <= order <= 1.6."""
    from scipy.optimize import brentq
    from scipy.special import jv

    found = []
    for j in range(1, count + 1):
        guess = (j + order / 2.0 - 0.25) * np.pi  # McMahon's first term
        found.append(brentq(lambda x: jv(order, x), guess - 0.9, guess + 0.9, xtol=1e-13))
    return np.array(found)


@lru_cache(maxsize=1)
def _tables() -> _Tables:
    from scipy.special import gamma, jv

    lam2 = np.empty((_SHAPES.size, MODES))
    profile = np.empty((_SHAPES.size, _DEPTHS.size, MODES))
    for i, shape in enumerate(_SHAPES):
        order = (shape - 1.0) / 2.0
        lam = _zeros(order + 1.0, MODES)
        lam2[i] = lam**2
        x = _DEPTHS[1:, None]
        profile[i, 1:] = x**-order * jv(order, lam * x) / jv(order, lam)
        profile[i, 0] = (lam / 2.0) ** order / gamma(order + 1.0) / jv(order, lam)
    return _Tables(lam2, profile)


@dataclass(frozen=True, slots=True, eq=False)
class Modes:
    """Modal constants of `n` bodies.

    Attributes
    ----------
    lam2 : array, shape (K + 1, n)
        Squared eigenvalues; the first row, of the mean mode, is zero.
    gain : array, shape (K + 1, n)
        Answer of each mode to the scaled flux Q.
    tail, probe_tail : array, shape (n,)
        Answer of the modes left out, at the surface and at the probe.
    probe : array, shape (K + 1, n)
        Each mode's value at the probe.
    core : array, shape (n,)
        The first mode's value at the centre.
    """

    lam2: FloatArray
    gain: FloatArray
    tail: FloatArray
    probe: FloatArray
    probe_tail: FloatArray
    core: FloatArray

    @classmethod
    def of(cls, shape_exponent: FloatArray, depth: FloatArray) -> Modes:
        """Modal constants of bodies of that shape with the probe at that depth.

        Parameters
        ----------
        shape_exponent : array, shape (n,)
            0 slab, 1 cylinder, 2 ball; clipped to that range.
        depth : array, shape (n,)
            r/R of the probe's tip: 0 centre, 1 surface.
        """
        tables = _tables()
        shape = np.clip(shape_exponent, 0.0, 2.0)
        s = shape / (_SHAPES[1] - _SHAPES[0])
        i = np.minimum(s.astype(int), _SHAPES.size - 2)
        u = (s - i)[:, None]
        lam2 = (1 - u) * tables.lam2[i] + u * tables.lam2[i + 1]
        d = np.clip(depth, 0.0, 1.0) / (_DEPTHS[1] - _DEPTHS[0])
        j = np.minimum(d.astype(int), _DEPTHS.size - 2)
        v = (d - j)[:, None]
        near = (1 - v) * tables.profile[i, j] + v * tables.profile[i, j + 1]
        far = (1 - v) * tables.profile[i + 1, j] + v * tables.profile[i + 1, j + 1]
        profile = (1 - u) * near + u * far
        n = shape.size
        offset = (shape + 1.0) / (2.0 * (shape + 3.0))
        depth = np.clip(depth, 0.0, 1.0)
        tail = 0.5 - offset - (2.0 / lam2).sum(axis=1)
        return cls(
            lam2=np.vstack([np.zeros(n), lam2.T]),
            gain=np.vstack([shape + 1.0, np.full((MODES, n), 2.0)]),
            tail=np.maximum(tail, 0.0),
            probe=np.vstack([np.ones(n), profile.T]),
            core=(1 - u[:, 0]) * tables.profile[i, 0, 0] + u[:, 0] * tables.profile[i + 1, 0, 0],
            probe_tail=depth**2 / 2.0 - offset - (2.0 * profile / lam2).sum(axis=1),
        )

    def start(self, temp_c: FloatArray) -> FloatArray:
        """Mode amplitudes, shape (K + 1, n), of bodies at one temperature throughout [°C]."""
        amplitudes = np.zeros_like(self.lam2)
        amplitudes[0] = temp_c
        return amplitudes

    def probe_temp_c(self, amplitudes: FloatArray, scaled_flux: FloatArray) -> FloatArray:
        """Temperature at the probe, shape (n,) [°C]."""
        kept: FloatArray = np.einsum("kn,kn->n", self.probe, amplitudes)
        return kept + self.probe_tail * scaled_flux

    def step(self, fourier: FloatArray) -> Step:
        """The propagator over a step of that Fourier number (alpha dt / R^2), shape (n,)."""
        x = self.lam2 * fourier
        decay = np.exp(-x)
        with np.errstate(invalid="ignore", divide="ignore"):
            response = self.gain * np.where(x > 1e-8, (1.0 - decay) / self.lam2, fourier)
        return Step(decay, response, response.sum(axis=0) + self.tail)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One time step: amplitudes decay, and answer to the scaled flux held over the step.

    ``decay`` and ``response`` have shape (K + 1, n); ``surface`` (n,) is the surface's answer to
    the flux at the end of the step.
    """

    decay: FloatArray
    response: FloatArray
    surface: FloatArray
