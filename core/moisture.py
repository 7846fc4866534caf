r"""Water in the meat: what heat sets free, and how fast it reaches the surface.

Proteins let go of water as they set. The share :math:`\Phi` of the body that has done so follows
from the spread of its temperatures; what was freed and has not yet evaporated seeps to the surface,

.. math:: q_{sup} = \frac{L D\, c\, w}{(R + s)\, \Phi^2} + \frac{K}{M + M_s}, \qquad
          w = \max(W \Phi - u, 0), \qquad u = \frac{(m + 1) M}{L R}

the second term being the held water near the skin, which diffuses ever more slowly. A thin layer
that has set (small :math:`\Phi`) lies close to the surface and gives its water quickly; when all
has set and the freed water is gone, the supply fails and the stall is over.

Form of the release: van der Sman, Moisture transport during cooking of meat, Meat Science 76
(2007), from memory. The lumped seepage and its constants are this program's, set on the tuning
cooks and checked against the published curves.
"""

from __future__ import annotations

import numpy as np

from core.answers import FloatArray
from core.surface import LATENT_J_PER_KG

SETS_C, SETS_K = 66.0, 4.5
"""Where meat lets go of its water, and over what width [°C, K]."""
FREED_SHARE = 0.52
"""Share of the water that is freed at the most."""
SEEPS_M2_PER_S = 5.5e-8
"""Diffusivity of freed water."""
SEEPS_SHAPE = 2.8
"""First eigenvalue squared over (m + 1): 2.5 for a slab, 3.3 for a ball."""
SKIN_M = 0.036
"""Way through the skin, counted with the half-thickness: small pieces are not drained at once."""
LEAST_SHARE = 0.03
HELD, HELD_FROM_J = 3.0e9, 0.7e6
"""Held water near the skin: 2 (c L)^2 D / pi of a semi-infinite body [J2/(m4 s)], and the heat of
evaporation that its wet start is worth [J/m2]."""
WATER_KG_PER_M3, WATER_J_PER_KG_K = 1000.0, 4190.0
LOST_MOST = 0.5
"""Share of the volume that can be lost as water at the most."""


def spread_c(mean_c: FloatArray, surface_c: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Coldest and hottest temperature of bodies, shape (n,): evenly spread by volume [°C].

    So a parabola lies in a cylinder. At least 1 K apart, so that one may divide by the difference.
    """
    cold = 2.0 * mean_c - surface_c
    return cold, np.where(np.abs(surface_c - cold) < 1.0, cold + 1.0, surface_c)


def set_share(cold_c: FloatArray, hot_c: FloatArray) -> FloatArray:
    """Share of the body that has let go of its water, for an even spread of temperatures."""
    upper, lower = _softplus((hot_c - SETS_C) / SETS_K), _softplus((cold_c - SETS_C) / SETS_K)
    return np.minimum(np.maximum(SETS_K * (upper - lower) / (hot_c - cold_c), 0.0), 1.0)


def _softplus(x: FloatArray) -> FloatArray:
    """Integral of the logistic function; four times as fast as ``np.logaddexp(0, x)``."""
    out: FloatArray = np.maximum(x, 0.0) + np.log1p(np.exp(-np.abs(x)))
    return out


def lost_kg_per_m3(evaporated_j: FloatArray, area_per_m: FloatArray) -> FloatArray:
    """Water evaporated for each volume of the fresh body [kg/m3].

    `area_per_m` is surface over volume, (m + 1) / R [1/m].
    """
    return evaporated_j * area_per_m / LATENT_J_PER_KG


def supply(
    share: FloatArray,
    evaporated_j: FloatArray,
    area_per_m: FloatArray,
    half_thickness_m: FloatArray,
    releasable: FloatArray,
) -> FloatArray:
    """Evaporation that the meat can feed, shape (n,) [W/m2].

    Parameters
    ----------
    share : array, shape (n,)
        From :func:`set_share`.
    evaporated_j : array, shape (n,)
        Evaporated so far [J/m2].
    area_per_m, half_thickness_m : array, shape (n,)
        Surface over volume [1/m], half-thickness [m].
    releasable : array, shape (n,)
        Water that heat can set free [kg/m3].
    """
    free = np.maximum(releasable * share - lost_kg_per_m3(evaporated_j, area_per_m), 0.0)
    near = np.maximum(share, LEAST_SHARE)
    way = (half_thickness_m + SKIN_M) * near * near
    seeping = (LATENT_J_PER_KG * SEEPS_M2_PER_S * SEEPS_SHAPE) * free / way
    return seeping + HELD / (evaporated_j + HELD_FROM_J)


def volume_lost(evaporated_j: FloatArray, area_per_m: FloatArray) -> FloatArray:
    """Water gone as a share of the fresh body's volume, shape (n,)."""
    return np.minimum(lost_kg_per_m3(evaporated_j, area_per_m) / WATER_KG_PER_M3, LOST_MOST)
