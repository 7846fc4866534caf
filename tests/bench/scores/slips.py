"""Typing slips put into a cook, to see whether one wrecks the forecast."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.cook import Cook, Reading
from core.units import TemperatureUnit, from_celsius, to_celsius
from tests.bench.truth import SimCook


def _retyped(value_c: float, unit: TemperatureUnit, rng: np.random.Generator) -> float:
    """A digit dropped, or two neighbours swapped."""
    text = str(round(from_celsius(value_c, unit)))
    if len(text) < 2:
        return value_c
    at = int(rng.integers(len(text) - 1))
    if rng.random() < 0.5:
        text = text[:at] + text[at + 1 :]
    else:
        text = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    return to_celsius(float(text), unit)


def _slip(reading: Reading, unit: TemperatureUnit, rng: np.random.Generator) -> Reading:
    """One mistyped reading: digits, exchanged fields, or the probe somewhere else for once."""
    kind = int(rng.integers(3))
    if not reading.meat_c:
        assert reading.pit_c is not None
        return replace(reading, pit_c=_retyped(reading.pit_c, unit, rng))
    name, meat = reading.meat_c[0]
    if kind == 0:
        if reading.pit_c is not None and rng.random() < 0.3:
            return replace(reading, pit_c=_retyped(reading.pit_c, unit, rng))
        return replace(reading, meat_c=((name, _retyped(meat, unit, rng)),))
    if kind == 1 and reading.pit_c is not None:
        return replace(reading, pit_c=meat, meat_c=((name, reading.pit_c),))
    moved = meat + float(rng.uniform(5.0, 15.0)) * (1.0 if rng.random() < 0.5 else -1.0)
    return replace(reading, meat_c=((name, moved),))


def with_slips(sim: SimCook, share: float) -> Cook:
    """The cook with that share of its readings mistyped; the truth stays."""
    rng = np.random.default_rng([sim.seed, 77])
    unit = TemperatureUnit.FAHRENHEIT if sim.fahrenheit else TemperatureUnit.CELSIUS
    readings = tuple(_slip(r, unit, rng) if rng.random() < share else r for r in sim.cook.readings)
    return replace(sim.cook, readings=readings)
