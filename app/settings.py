"""Small choices the program makes for its user before it knows them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from core.units import MassUnit, TemperatureUnit

if TYPE_CHECKING:
    from storage.store import Store
    from storage.values import CookSummary

FAHRENHEIT_PLACES = frozenset({"US", "BS", "BZ", "KY", "LR", "PW", "FM", "MH"})
"""Countries where kitchen thermometers are read in °F. Common practice, no source."""


def locale_units(env: Mapping[str, str]) -> tuple[TemperatureUnit, MassUnit]:
    """Units that the locale suggests for a first cook; without one, °F and lb."""
    names = (env.get(key, "") for key in ("LC_ALL", "LC_MEASUREMENT", "LANG"))
    name = next((name for name in names if name), "")
    place = re.match(r"[a-z]{2,3}_([A-Z]{2})", name)
    nowhere = name.split(".")[0] in ("", "C", "POSIX")
    if nowhere or (place is not None and place.group(1) in FAHRENHEIT_PLACES):
        return TemperatureUnit.FAHRENHEIT, MassUnit.POUND
    return TemperatureUnit.CELSIUS, MassUnit.KILOGRAM


def usual_units(store: Store, env: Mapping[str, str]) -> tuple[TemperatureUnit, MassUnit]:
    """Units to offer for a new cook: those of the newest own cook, else those of the place."""
    return units_among(store.cooks(), store, env)


def units_among(
    cooks: Iterable[CookSummary], store: Store, env: Mapping[str, str]
) -> tuple[TemperatureUnit, MassUnit]:
    """The same from a list of cooks, newest first, that was read already."""
    own = next((cook.id for cook in cooks if not cook.invented), None)
    if own is not None:
        newest = store.cook(own)
        return newest.unit, newest.mass_unit
    return locale_units(env)
