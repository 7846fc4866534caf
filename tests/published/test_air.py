"""Moist air against psychrolib (ASHRAE Fundamentals 2017) and CoolProp's water (IAPWS-95)."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from core import surface
from core.air import (
    STANDARD_PRESSURE_PA,
    boiling_point_c,
    humidity_ratio,
    latent_heat_j_per_kg,
    saturation_pressure_pa,
    vapour_pressure_pa,
    wet_bulb_c,
)

psychrolib.SetUnitSystem(psychrolib.SI)

PSYCHROLIB_WET_BULB_TOLERANCE_C = 0.001


def test_saturation_pressure_equals_psychrolib() -> None:
    temps = np.arange(-60.0, 181.0, 1.0)
    published = np.array([psychrolib.GetSatVapPres(t) for t in temps])
    assert np.allclose(saturation_pressure_pa(temps), published, rtol=1e-3)


@pytest.mark.parametrize("temp_c", [0.1, 20.0, 50.0, 80.0, 100.0, 120.0])
def test_saturation_pressure_near_iapws(temp_c: float) -> None:
    """CoolProp's water, another equation than ours: within 0.2 %."""
    published = PropsSI("P", "T", temp_c + 273.15, "Q", 1, "Water")
    assert saturation_pressure_pa(temp_c) == pytest.approx(published, rel=2e-3)


@pytest.mark.parametrize("temp_c", [1.0, 20.0, 50.0, 74.0, 100.0, 120.0, 150.0])
def test_latent_heat_near_iapws(temp_c: float) -> None:
    """CoolProp's water; the correlation is good to 1 %."""
    kelvin = temp_c + 273.15
    vapour = PropsSI("H", "T", kelvin, "Q", 1, "Water")
    liquid = PropsSI("H", "T", kelvin, "Q", 0, "Water")
    assert latent_heat_j_per_kg(temp_c) == pytest.approx(vapour - liquid, rel=0.01)


@pytest.mark.parametrize("dry_bulb_c", [5.0, 20.0, 60.0, 93.0, 110.0, 135.0, 165.0, 180.0])
@pytest.mark.parametrize("pressure_pa", [200.0, 800.0, 3_000.0, 9_000.0])
def test_wet_bulb_equals_psychrolib(dry_bulb_c: float, pressure_pa: float) -> None:
    """Where psychrolib answers: it bisects up to the dry bulb and fails near and over boiling.

    Its own tolerance is 0.001 °C, and ours is far finer.
    """
    if pressure_pa >= psychrolib.GetSatVapPres(dry_bulb_c):
        pytest.skip("more vapour than this air can hold")
    ratio = psychrolib.GetHumRatioFromVapPres(pressure_pa, STANDARD_PRESSURE_PA)
    published = psychrolib.GetTWetBulbFromHumRatio(dry_bulb_c, ratio, STANDARD_PRESSURE_PA)
    if published > 100.0:
        pytest.skip("psychrolib left its range: no wet bulb lies over the boiling point")
    found = wet_bulb_c(dry_bulb_c, pressure_pa)
    assert found == pytest.approx(published, abs=2 * PSYCHROLIB_WET_BULB_TOLERANCE_C)


def test_humidity_ratio_equals_psychrolib() -> None:
    for pressure in (300.0, 2_000.0, 15_000.0, 60_000.0):
        published = psychrolib.GetHumRatioFromVapPres(pressure, STANDARD_PRESSURE_PA)
        assert humidity_ratio(pressure) == pytest.approx(published, rel=1e-9)
        assert vapour_pressure_pa(published) == pytest.approx(pressure, rel=1e-9)


def test_nothing_but_vapour_has_no_ratio() -> None:
    assert np.isinf(humidity_ratio(STANDARD_PRESSURE_PA))


def test_water_boils_at_its_boiling_point() -> None:
    """At 101 325 Pa the ITS-90 boiling point of water is 99.974 °C (IAPWS)."""
    assert boiling_point_c() == pytest.approx(99.974, abs=0.02)
    assert boiling_point_c(84_000.0) == pytest.approx(
        PropsSI("T", "P", 84_000.0, "Q", 0, "Water") - 273.15, abs=0.05
    )


@given(
    dry=st.floats(0.0, 300.0),
    share=st.floats(0.001, 0.999),
)
def test_wet_bulb_lies_between_dew_point_and_air(dry: float, share: float) -> None:
    pressure = share * min(float(saturation_pressure_pa(dry)), STANDARD_PRESSURE_PA * 0.98)
    wet = float(wet_bulb_c(dry, pressure))
    assert wet <= min(dry, boiling_point_c()) + 1e-9
    assert float(saturation_pressure_pa(wet)) >= pressure * (1.0 - 1e-6)


@given(dry=st.floats(20.0, 250.0), vapour=st.floats(300.0, 2_000.0))
def test_wet_bulb_rises_with_heat_and_with_vapour(dry: float, vapour: float) -> None:
    here = float(wet_bulb_c(dry, vapour))
    assert float(wet_bulb_c(dry + 5.0, vapour)) > here
    assert float(wet_bulb_c(dry, vapour + 200.0)) > here


def test_saturated_air_has_its_own_temperature() -> None:
    temps = np.array([5.0, 40.0, 80.0])
    assert np.allclose(wet_bulb_c(temps, saturation_pressure_pa(temps)), temps, atol=1e-6)


def test_short_form_of_the_surface_balance() -> None:
    """core.surface takes a shorter formula: 0.7 % off up to 70 °C, 2.4 % at boiling."""
    warm, hot = np.linspace(0.0, 70.0, 71), np.linspace(70.0, 100.0, 31)
    assert np.allclose(surface.vapour_pressure_pa(warm), saturation_pressure_pa(warm), rtol=0.007)
    assert np.allclose(surface.vapour_pressure_pa(hot), saturation_pressure_pa(hot), rtol=0.025)
