"""Properties of meat and of moist air for the simulated cooks.

Choi and Okos 1986 as printed in the ASHRAE Refrigeration Handbook, ch. 19: c0 + c1 T + c2 T^2 with
T in °C. Saturation pressure: Magnus form, Alduchov and Eskridge 1996. Written apart from the
program's own tables on purpose: the judge must not share the mistakes of what it judges.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

K = {
    "water": (0.57109, 1.7625e-3, -6.7036e-6),
    "protein": (0.17881, 1.1958e-3, -2.7178e-6),
    "fat": (0.18071, -2.7604e-4, -1.7749e-7),
    "ash": (0.32962, 1.4011e-3, -2.9069e-6),
}
CP = {
    "water": (4128.9, -9.0864e-2, 5.4731e-3),
    "protein": (2008.2, 1.2089, -1.3129e-3),
    "fat": (1984.2, 1.4733, -4.8008e-3),
    "ash": (1092.6, 1.8896, -3.6817e-3),
}
RHO = {"water": 996.0, "protein": 1310.0, "fat": 910.0, "ash": 2415.0}
"""Densities near 40 °C [kg/m3]: their change with temperature is left to the shrinkage."""

LATENT_J_PER_KG = 2.35e6
"""Heat of evaporation near 60 °C [J/kg]."""
ICE_J_PER_KG = 3.34e5
FAT_MELT_J_PER_KG = 1.0e5
DENATURATION = ((54.0, 2.5, 3.0e3), (66.0, 3.0, 5.0e3), (78.0, 3.0, 6.0e3))
"""Centre [°C], width [K] and heat [J per kg of protein] of three peaks, as calorimetry shows."""

TABLE_LOW_C = -25.0
TABLE_PER_C = 4.0
_GRID = TABLE_LOW_C + np.arange(int(200 * TABLE_PER_C)) / TABLE_PER_C


def _bump(centre_c: float, width_c: float) -> Array:
    return np.exp(-0.5 * ((_GRID - centre_c) / width_c) ** 2) / (width_c * np.sqrt(2.0 * np.pi))


THAW_TABLE = ICE_J_PER_KG * _bump(-1.6, 0.6)
"""Apparent capacity of melting ice [J/(kg water K)] on the lookup grid."""
FAT_TABLE = FAT_MELT_J_PER_KG * _bump(33.0, 8.0)
PROTEIN_TABLE = np.sum([heat * _bump(c, width) for c, width, heat in DENATURATION], axis=0)


def table_index(temp_c: Array) -> npt.NDArray[np.intp]:
    """Index into the lookup tables of temperatures [°C]."""
    index = ((temp_c - TABLE_LOW_C) * TABLE_PER_C).astype(np.intp)
    return np.clip(index, 0, _GRID.size - 1)


def saturation_pa(temp_c: Array) -> Array:
    """Saturation pressure over water [Pa]."""
    return 610.94 * np.exp(17.625 * temp_c / (temp_c + 243.04))


def saturation_slope(temp_c: Array, pressure_pa: Array) -> Array:
    """Its slope [Pa/K], given the pressure at the same temperature."""
    return pressure_pa * (17.625 * 243.04) / (temp_c + 243.04) ** 2


def dry_mixture(protein: Array, fat: Array, ash: Array) -> tuple[Array, Array, Array]:
    """Quadratics in T of conductivity and capacity of the dry matter, and its density.

    Returns
    -------
    k : array (n, 3), [W/(m K)], by volume in parallel
    cp : array (n, 3), [J/(kg K)], by mass
    rho : array (n,), [kg/m3]
    """
    shares = {"protein": protein, "fat": fat, "ash": ash}
    mass = protein + fat + ash
    volume = sum(share / RHO[name] for name, share in shares.items())
    k = sum(
        (share / RHO[name] / volume)[:, None] * np.array(K[name]) for name, share in shares.items()
    )
    cp = sum((share / mass)[:, None] * np.array(CP[name]) for name, share in shares.items())
    return k, cp, mass / volume
