r"""Heat balance at the surface: convection, radiation and evaporation limited by moisture.

.. math:: q = h (T_p - T_s) + f \varepsilon\sigma (T_p^4 - T_s^4) - q_e, \qquad
          \frac{1}{q_e} = \frac{1}{q_{pot}} + \frac{1}{q_{sup}}

``q_pot`` is what the wet surface could evaporate at the vapour pressures of surface and air
(heat and mass transfer by the Chilton-Colburn analogy, Lewis number to the 2/3 power), ``q_sup``
what the meat can bring to its surface (:mod:`core.moisture`). While supply holds, the surface
stands where heat in and evaporation balance and the core follows it: the stall. When it has run
dry the stall ends by itself.

Sources: Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 1 (radiation) and 6 (heat and
mass transfer analogy), from memory. The series form is this program's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.answers import FloatArray

STEFAN_BOLTZMANN = 5.670374e-8  # W/m2K4, CODATA
EMISSIVITY = 0.85  # between the values published for meat (0.74 to 0.95), seen by a dark pit
KELVIN = 273.15
LATENT_J_PER_KG = 2.35e6
"""Latent heat of water near 60 °C, used where one value must do [J/kg]."""

_LEWIS = 0.87  # Le^(2/3) of water vapour in air is about 0.9; molar masses give 0.622
_ANALOGY = 0.622 * LATENT_J_PER_KG / (1007.0 * 101325.0 * _LEWIS)  # K per Pa of vapour pressure
NEWTON_STEPS = 1
FILM_S = 600.0
"""Time constant in which a spritzed film evaporates [s]."""


@dataclass(frozen=True, slots=True, eq=False)
class Exchange:
    """What the surface of `n` bodies meets during one step; arrays of shape (n,) or scalars.

    Attributes
    ----------
    air_c : array
        Temperature of air and walls around the meat [°C].
    h : array
        Convective coefficient [W/m2K].
    radiation : array or float
        Factor on the radiation of a bare piece (foil reflects).
    supply : array
        Evaporation the meat can feed now [W/m2].
    vapour_pa : float or array
        Vapour pressure of the air [Pa].
    wetness : array or float
        Evaporation of the surface against a free water surface's.
    """

    air_c: FloatArray
    h: FloatArray
    radiation: FloatArray | float
    supply: FloatArray
    vapour_pa: FloatArray | float
    wetness: FloatArray | float


def vapour_pressure_pa(temp_c: FloatArray) -> FloatArray:
    """Saturation pressure of water [Pa], Magnus form: 0.7 % off up to 70 °C, 2.4 % at 100 °C.

    Source: WMO Guide to Instruments and Methods of Observation, annex 4.B (coefficients), from
    memory; compared with :mod:`core.air` in the tests.
    """
    out: FloatArray = 611.2 * np.exp(17.62 * temp_c / (243.12 + temp_c))
    return out


def evaporation(surface_c: FloatArray, around: Exchange) -> tuple[FloatArray, FloatArray]:
    """Evaporative flux [W/m2] and its slope with surface temperature [W/m2K]."""
    above = 243.12 + surface_c
    pressure = 611.2 * np.exp(17.62 * surface_c / above)  # vapour_pressure_pa, its sum kept
    scale = around.h * (around.wetness * _ANALOGY)
    potential = scale * (pressure - around.vapour_pa)
    wet = np.maximum(potential, 0.0)
    # share of the potential that the supply lets through; condensation (below 0) is not limited
    share = around.supply / (wet + around.supply + 1e-9)
    flux = wet * share + np.minimum(potential, 0.0)
    slope = scale * pressure * (17.62 * 243.12) / (above * above)
    return flux, slope * share * share


def balance(
    free_c: FloatArray, answer: FloatArray, around: Exchange, guess_c: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Surface temperature at the end of a step, by Newton's method.

    Solves ``T = free_c + answer * q(T)``: `free_c` is where the surface would be without flux,
    `answer` [K per W/m2] how it follows the flux held over the step.

    Returns
    -------
    surface_c, flux, evaporated : arrays
        Temperature [°C], net heat flux into the meat and evaporative flux [W/m2].
    """
    surface = guess_c
    hot2 = (around.air_c + KELVIN) ** 2
    hot4 = hot2 * hot2
    radiative = EMISSIVITY * STEFAN_BOLTZMANN * np.asarray(around.radiation)
    convective = around.h
    evaporated = np.zeros_like(surface)
    for _ in range(NEWTON_STEPS):
        evaporated, slope = evaporation(surface, around)
        kelvin = surface + KELVIN
        cube = kelvin * kelvin * kelvin
        flux = (
            convective * (around.air_c - surface) + radiative * (hot4 - cube * kelvin) - evaporated
        )
        stiffness = convective + 4.0 * radiative * cube + slope
        change = (free_c + answer * flux - surface) / (1.0 + answer * stiffness)
        surface = surface + np.minimum(np.maximum(change, -60.0), 60.0)
        evaporated = evaporated + slope * change
    # the flux that belongs to this surface temperature, so that the step loses no heat
    return surface, (surface - free_c) / answer, evaporated
