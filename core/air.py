"""Moist air round the meat: saturation pressure, humidity ratio, wet bulb, latent heat.

References
----------
.. [1] Hyland, R. W. and Wexler, A., ASHRAE Transactions 89(2A), 1983; the equations as printed in
   ASHRAE Handbook, Fundamentals, chapter 1, equations 5 and 6.
.. [2] ASHRAE Handbook, Fundamentals, chapter 1, equations 20, 33 and 35.
.. [3] Daubert, T. E. and Danner, R. P., DIPPR data compilation, equation 106 for water, as printed
   in Perry's Chemical Engineers' Handbook, table 2-150.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

STANDARD_PRESSURE_PA = 101_325.0
KELVIN_AT_0_C = 273.15
WATER_TO_AIR_MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air [-], [2]_ equation 20."""

CRITICAL_TEMPERATURE_K = 647.096
WATER_MOLAR_MASS_KG_PER_KMOL = 18.015268

_LOWEST_C, _HIGHEST_C = -100.0, 200.0
"""Range of the saturation equations [°C]; outside it the end value is held."""

_BISECTIONS = 48


def saturation_pressure_pa(temp_c: npt.ArrayLike) -> FloatArray:
    """Saturation pressure of water vapour [Pa] over liquid water, over ice below 0 °C.

    Parameters
    ----------
    temp_c : array_like
        Temperature [°C]; values outside -100 to 200 °C are held at the ends.

    Notes
    -----
    ``ln p = a/T + b + c T + d T**2 + e T**3 + f T**4 + g ln T`` with T in kelvin, equations 5 (ice)
    and 6 (liquid, f = 0) of [1]_.
    """
    celsius = np.asarray(np.clip(temp_c, _LOWEST_C, _HIGHEST_C), dtype=np.float64)
    kelvin = celsius + KELVIN_AT_0_C
    over_water = np.exp(
        -5.8002206e3 / kelvin
        + 1.3914993
        + kelvin * (-4.8640239e-2 + kelvin * (4.1764768e-5 - kelvin * 1.4452093e-8))
        + 6.5459673 * np.log(kelvin)
    )
    if np.all(celsius >= 0.0):
        return np.asarray(over_water)
    cubic = 6.2215701e-7 + kelvin * (2.0747825e-9 - kelvin * 9.484024e-13)
    over_ice = np.exp(
        -5.6745359e3 / kelvin
        + 6.3925247
        + kelvin * (-9.677843e-3 + kelvin * cubic)
        + 4.1635019 * np.log(kelvin)
    )
    return np.where(celsius >= 0.0, over_water, over_ice)


def humidity_ratio(
    vapour_pressure_pa: npt.ArrayLike, pressure_pa: float = STANDARD_PRESSURE_PA
) -> FloatArray:
    """Mass of water vapour for each mass of dry air [-].

    Parameters
    ----------
    vapour_pressure_pa : array_like
        Partial pressure of the vapour [Pa]. At or above `pressure_pa` there is no dry air left and
        the ratio is infinite.
    pressure_pa : float
        Total pressure [Pa].
    """
    vapour = np.asarray(vapour_pressure_pa, dtype=np.float64)
    dry = np.asarray(pressure_pa - vapour)
    ratio = np.full(dry.shape, np.inf)
    np.divide(WATER_TO_AIR_MASS_RATIO * vapour, dry, out=ratio, where=dry > 0.0)
    return ratio


def vapour_pressure_pa(
    humidity_ratio: npt.ArrayLike, pressure_pa: float = STANDARD_PRESSURE_PA
) -> FloatArray:
    """Partial pressure of the vapour [Pa] at a humidity ratio [-]: inverse of the above."""
    ratio = np.asarray(humidity_ratio, dtype=np.float64)
    return np.asarray(pressure_pa * ratio / (WATER_TO_AIR_MASS_RATIO + ratio))


def latent_heat_j_per_kg(temp_c: npt.ArrayLike) -> FloatArray:
    """Latent heat of vaporisation of water [J/kg].

    Parameters
    ----------
    temp_c : array_like
        Temperature of the evaporating surface [°C], 0 to 370.

    Notes
    -----
    ``L = 5.2053e7 (1 - Tr)**(0.3199 - 0.212 Tr + 0.25795 Tr**2)`` J/kmol, Tr = T / Tc, [3]_.
    """
    reduced = (np.asarray(temp_c, dtype=np.float64) + KELVIN_AT_0_C) / CRITICAL_TEMPERATURE_K
    reduced = np.clip(reduced, 0.0, 1.0)
    exponent = 0.3199 + reduced * (-0.212 + reduced * 0.25795)
    return np.asarray(5.2053e7 * (1.0 - reduced) ** exponent / WATER_MOLAR_MASS_KG_PER_KMOL)


def _ratio_at_wet_bulb(wet_c: FloatArray, dry_c: FloatArray, pressure_pa: float) -> FloatArray:
    """Humidity ratio of air at `dry_c` whose wet bulb is `wet_c`: equations 33 and 35 of [2]_."""
    saturated = humidity_ratio(saturation_pressure_pa(wet_c), pressure_pa)
    liquid = ((2501.0 - 2.326 * wet_c) * saturated - 1.006 * (dry_c - wet_c)) / (
        2501.0 + 1.86 * dry_c - 4.186 * wet_c
    )
    ice = ((2830.0 - 0.24 * wet_c) * saturated - 1.006 * (dry_c - wet_c)) / (
        2830.0 + 1.86 * dry_c - 2.1 * wet_c
    )
    return np.where(wet_c >= 0.0, liquid, ice)


def wet_bulb_c(
    dry_bulb_c: npt.ArrayLike,
    vapour_pressure_pa: npt.ArrayLike,
    pressure_pa: float = STANDARD_PRESSURE_PA,
) -> FloatArray:
    """Thermodynamic wet bulb temperature [°C]: what a wet surface settles at in the pit's air.

    Parameters
    ----------
    dry_bulb_c : array_like
        Air temperature [°C], -50 to 400.
    vapour_pressure_pa : array_like
        Partial pressure of water vapour in it [Pa]. More than saturates the air counts as
        saturated: the wet bulb is then the air temperature, at most the boiling point.
    pressure_pa : float
        Total pressure [Pa].

    Notes
    -----
    The energy balance of adiabatic saturation ([2]_, equations 33 and 35) rises with the wet bulb,
    so its root is halved in on between -100 °C and the lesser of air temperature and boiling point.
    """
    dry, vapour = np.broadcast_arrays(
        np.asarray(dry_bulb_c, dtype=np.float64), np.asarray(vapour_pressure_pa, dtype=np.float64)
    )
    wanted = humidity_ratio(vapour, pressure_pa)
    low = np.full(dry.shape, _LOWEST_C)
    high = np.minimum(dry, boiling_point_c(pressure_pa))
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        below = _ratio_at_wet_bulb(middle, dry, pressure_pa) < wanted
        low = np.where(below, middle, low)
        high = np.where(below, high, middle)
    return np.asarray(0.5 * (low + high))


def boiling_point_c(pressure_pa: float = STANDARD_PRESSURE_PA) -> float:
    """Temperature [°C] at which water boils at `pressure_pa`."""
    low, high = 0.0, _HIGHEST_C
    for _ in range(_BISECTIONS):
        middle = 0.5 * (low + high)
        if float(saturation_pressure_pa(middle)) < pressure_pa:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
