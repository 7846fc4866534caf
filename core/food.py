"""Thermal properties of meat from its composition, frozen part included.

Component formulae are those of Choi and Okos; a mixture sums specific heat by mass and
conductivity by volume, and its density is that of the components' added volumes. Below the initial
freezing point part of the water is ice, and the heat of freezing is counted in the specific heat.

References
----------
.. [1] Choi, Y. and Okos, M. R., Effects of temperature and composition on the thermal properties of
   foods, in Food Engineering and Process Applications 1, Elsevier, 1986; as printed in ASHRAE
   Handbook, Refrigeration, chapter Thermal Properties of Foods, tables 1 and 2. The specific heat
   of water is the one printed there (4.1289 kJ/kg-K at 0 °C); the first print has 4.1762.
.. [2] Same chapter: ice fraction of Schwartzberg (1976) and bound water, ``xb = 0.4 x_protein``,
   equations 3 to 5 (recalled).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from core.catalogue import Composition

FloatArray = npt.NDArray[np.float64]

HEAT_OF_FUSION_J_PER_KG = 333_550.0
"""Of water at 0 °C [J/kg]."""

INITIAL_FREEZING_C = -1.7
"""Where ice first forms in raw meat [°C]: middle of the -0.8 to -2.8 usually tabulated."""

BOUND_WATER_PER_PROTEIN = 0.4
"""Water that never freezes, for each mass of protein [-], [2]_."""

RANGE_C = (-40.0, 150.0)
"""Range of the component formulae [°C]; outside it the end values are held."""

ENTHALPY_ZERO_C = -40.0
"""Temperature at which enthalpy is counted as zero [°C]."""


class Component(StrEnum):
    """What food is made of, as far as its thermal properties go."""

    WATER = "water"
    ICE = "ice"
    PROTEIN = "protein"
    FAT = "fat"
    CARBOHYDRATE = "carbohydrate"
    FIBRE = "fibre"
    ASH = "ash"


Quadratic = tuple[float, float, float]

CONDUCTIVITY: dict[Component, Quadratic] = {
    Component.WATER: (0.57109, 1.7625e-3, -6.7036e-6),
    Component.ICE: (2.2196, -6.2489e-3, 1.0154e-4),
    Component.PROTEIN: (0.17881, 1.1958e-3, -2.7178e-6),
    Component.FAT: (0.18071, -2.7604e-4, -1.7749e-7),
    Component.CARBOHYDRATE: (0.20141, 1.3874e-3, -4.3312e-6),
    Component.FIBRE: (0.18331, 1.2497e-3, -3.1683e-6),
    Component.ASH: (0.32962, 1.4011e-3, -2.9069e-6),
}
"""Coefficients of ``c0 + c1 T + c2 T**2`` for conductivity [W/(m K)], T in °C, [1]_."""

DENSITY: dict[Component, Quadratic] = {
    Component.WATER: (997.18, 3.1439e-3, -3.7574e-3),
    Component.ICE: (916.89, -0.13071, 0.0),
    Component.PROTEIN: (1329.9, -0.51840, 0.0),
    Component.FAT: (925.59, -0.41757, 0.0),
    Component.CARBOHYDRATE: (1599.1, -0.31046, 0.0),
    Component.FIBRE: (1311.5, -0.36589, 0.0),
    Component.ASH: (2423.8, -0.28063, 0.0),
}
"""The same for density [kg/m³]."""

SPECIFIC_HEAT: dict[Component, Quadratic] = {
    Component.WATER: (4128.9, -9.0864e-2, 5.4731e-3),
    Component.ICE: (2062.3, 6.0769, 0.0),
    Component.PROTEIN: (2008.2, 1.2089, -1.3129e-3),
    Component.FAT: (1984.2, 1.4733, -4.8008e-3),
    Component.CARBOHYDRATE: (1548.8, 1.9625, -5.9399e-3),
    Component.FIBRE: (1845.9, 1.8306, -4.6509e-3),
    Component.ASH: (1092.6, 1.8896, -3.6817e-3),
}
"""The same for specific heat [J/(kg K)]."""


@dataclass(frozen=True, slots=True, eq=False)
class Properties:
    """Thermal properties of meat at one or many temperatures.

    Attributes
    ----------
    k : array
        Thermal conductivity [W/(m K)].
    rho : array
        Density [kg/m³].
    cp : array
        Specific heat, that of freezing and thawing included [J/(kg K)].
    diffusivity : array
        ``k / (rho cp)`` [m²/s].
    """

    k: FloatArray
    rho: FloatArray
    cp: FloatArray
    diffusivity: FloatArray


def _held(temp_c: npt.ArrayLike) -> FloatArray:
    return np.asarray(np.clip(temp_c, *RANGE_C), dtype=np.float64)


def _polynomial(coefficients: Quadratic, temp_c: FloatArray) -> FloatArray:
    c0, c1, c2 = coefficients
    return np.asarray(c0 + temp_c * (c1 + temp_c * c2))


def _integral(coefficients: Quadratic, temp_c: FloatArray) -> FloatArray:
    """Integral of the quadratic from 0 °C to `temp_c`."""
    c0, c1, c2 = coefficients
    return np.asarray(temp_c * (c0 + temp_c * (c1 / 2.0 + temp_c * c2 / 3.0)))


def conductivity_w_per_m_k(component: Component, temp_c: npt.ArrayLike) -> FloatArray:
    """Thermal conductivity [W/(m K)] of one pure component at `temp_c` [°C]."""
    return _polynomial(CONDUCTIVITY[component], _held(temp_c))


def density_kg_per_m3(component: Component, temp_c: npt.ArrayLike) -> FloatArray:
    """Density [kg/m³] of one pure component at `temp_c` [°C]."""
    return _polynomial(DENSITY[component], _held(temp_c))


def specific_heat_j_per_kg_k(component: Component, temp_c: npt.ArrayLike) -> FloatArray:
    """Specific heat [J/(kg K)] of one pure component at `temp_c` [°C]."""
    return _polynomial(SPECIFIC_HEAT[component], _held(temp_c))


def _freezable(composition: Composition) -> float:
    return max(composition.water - BOUND_WATER_PER_PROTEIN * composition.protein, 0.0)


def ice_fraction(
    composition: Composition, temp_c: npt.ArrayLike, freezing_c: float = INITIAL_FREEZING_C
) -> FloatArray:
    """Mass of ice for each mass of meat [-].

    Parameters
    ----------
    composition : Composition
        Of the thawed meat.
    temp_c : array_like
        Temperature [°C].
    freezing_c : float
        Initial freezing point [°C], < 0.

    Notes
    -----
    ``x_ice = (x_water - x_bound) (1 - freezing_c / temp_c)`` below the freezing point, [2]_.
    """
    temp = _held(temp_c)
    below = np.minimum(temp, freezing_c)
    return np.asarray(_freezable(composition) * (1.0 - freezing_c / below))


def _ice_slope_per_k(composition: Composition, temp_c: FloatArray, freezing_c: float) -> FloatArray:
    """Change of the ice fraction with temperature [1/K]; zero at and above freezing."""
    slope = _freezable(composition) * freezing_c / np.minimum(temp_c, freezing_c) ** 2
    return np.where(temp_c < freezing_c, slope, 0.0)


def _fractions(composition: Composition, ice: FloatArray) -> dict[Component, FloatArray]:
    """Mass fractions with the water split into liquid and ice."""
    return {
        Component.WATER: composition.water - ice,
        Component.ICE: ice,
        Component.PROTEIN: np.asarray(composition.protein),
        Component.FAT: np.asarray(composition.fat),
        Component.CARBOHYDRATE: np.asarray(composition.carbohydrate),
        Component.ASH: np.asarray(composition.ash),
    }


def properties(
    composition: Composition, temp_c: npt.ArrayLike, freezing_c: float = INITIAL_FREEZING_C
) -> Properties:
    """Thermal properties of meat of one composition.

    Parameters
    ----------
    composition : Composition
        Mass fractions of the thawed meat.
    temp_c : array_like
        Temperature [°C], any shape; outside -40 to 150 °C the end values are held.
    freezing_c : float
        Initial freezing point [°C], < 0.

    Returns
    -------
    Properties
        Arrays of the shape of `temp_c`.

    Notes
    -----
    With mass fractions x and volume fractions v: ``v_i = (x_i / rho_i) / sum(x_j / rho_j)``,
    ``k = sum(v_i k_i)``, ``rho = 1 / sum(x_i / rho_i)``, ``cp = sum(x_i cp_i)`` plus, below the
    freezing point, the heat that melting takes for each kelvin.
    """
    temp = _held(temp_c)
    fractions = _fractions(composition, ice_fraction(composition, temp, freezing_c))
    volume = np.zeros_like(temp)
    conductance = np.zeros_like(temp)
    cp = np.zeros_like(temp)
    for component, mass in fractions.items():
        part = mass / _polynomial(DENSITY[component], temp)
        volume = volume + part
        conductance = conductance + part * _polynomial(CONDUCTIVITY[component], temp)
        cp = cp + mass * _polynomial(SPECIFIC_HEAT[component], temp)
    cp = cp - _ice_slope_per_k(composition, temp, freezing_c) * _melting_j_per_kg(temp)
    k, rho = conductance / volume, 1.0 / volume
    return Properties(k, rho, cp, k / (rho * cp))


def _melting_j_per_kg(temp_c: FloatArray) -> FloatArray:
    """Enthalpy of water over that of ice at the same temperature [J/kg]."""
    water = _integral(SPECIFIC_HEAT[Component.WATER], temp_c)
    ice = _integral(SPECIFIC_HEAT[Component.ICE], temp_c)
    return np.asarray(HEAT_OF_FUSION_J_PER_KG + water - ice)


def enthalpy_j_per_kg(
    composition: Composition, temp_c: npt.ArrayLike, freezing_c: float = INITIAL_FREEZING_C
) -> FloatArray:
    """Enthalpy of meat [J/kg], zero at -40 °C; its slope is the specific heat of `properties`.

    Parameters
    ----------
    composition : Composition
        Mass fractions of the thawed meat.
    temp_c : array_like
        Temperature [°C].
    freezing_c : float
        Initial freezing point [°C], < 0.
    """

    def above_water_at_0_c(temp: FloatArray) -> FloatArray:
        ice = ice_fraction(composition, temp, freezing_c)
        total = -ice * HEAT_OF_FUSION_J_PER_KG
        for component, mass in _fractions(composition, ice).items():
            total = total + mass * _integral(SPECIFIC_HEAT[component], temp)
        return np.asarray(total)

    return above_water_at_0_c(_held(temp_c)) - above_water_at_0_c(np.asarray(ENTHALPY_ZERO_C))
