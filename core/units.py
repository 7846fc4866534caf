"""Unit conversions for the edges of the program (screens, documents, typed lines).

A temperature and a temperature *difference* convert differently, so each has its own function.
"""

from __future__ import annotations

from enum import StrEnum

KG_PER_LB = 0.45359237
"""International avoirdupois pound, exact by definition (1959)."""

ABSOLUTE_ZERO_C = -273.15


class TemperatureUnit(StrEnum):
    """The unit a person types and reads temperatures in."""

    CELSIUS = "C"
    FAHRENHEIT = "F"


class MassUnit(StrEnum):
    """The unit a person types and reads weights in."""

    KILOGRAM = "kg"
    POUND = "lb"


def f_to_c(temp_f: float) -> float:
    """Temperature [°C] of a temperature [°F]."""
    return (temp_f - 32.0) / 1.8


def c_to_f(temp_c: float) -> float:
    """Temperature [°F] of a temperature [°C]."""
    return temp_c * 1.8 + 32.0


def delta_f_to_c(delta_f: float) -> float:
    """Temperature difference [K] of a difference [°F]."""
    return delta_f / 1.8


def delta_c_to_f(delta_c: float) -> float:
    """Temperature difference [°F] of a difference [K]."""
    return delta_c * 1.8


def to_celsius(value: float, unit: TemperatureUnit) -> float:
    """Temperature [°C] of a value in `unit`."""
    return f_to_c(value) if unit is TemperatureUnit.FAHRENHEIT else value


def from_celsius(temp_c: float, unit: TemperatureUnit) -> float:
    """Value in `unit` of a temperature [°C]."""
    return c_to_f(temp_c) if unit is TemperatureUnit.FAHRENHEIT else temp_c


def delta_from_celsius(delta_c: float, unit: TemperatureUnit) -> float:
    """Difference in `unit` of a temperature difference [K]."""
    return delta_c_to_f(delta_c) if unit is TemperatureUnit.FAHRENHEIT else delta_c


def lb_to_kg(mass_lb: float) -> float:
    """Mass [kg] of a mass [lb]."""
    return mass_lb * KG_PER_LB


def kg_to_lb(mass_kg: float) -> float:
    """Mass [lb] of a mass [kg]."""
    return mass_kg / KG_PER_LB
