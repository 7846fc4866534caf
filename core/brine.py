"""Brines: strength, usual ranges, time, and scaling to the weight of the meat.

Strength is salt by the weight of salt and water, as in salometer tables. Sources, each as read in
the page named: USDA Meat and Poultry Hotline (3/4 cup of table salt a gallon, overnight to two
days; dry: a tablespoon of kosher salt for 5 lb of turkey, up to two days), a spice seller (50 to
60 g a litre), a brine table (26.4 % is saturated at 60 °F), an appliance manual (hours by cut in
a strong brine). Times for other cuts are scaled from those by the square of the thickness, as
diffusion goes: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from core.catalogue import body_of, cut_named
from core.cook import Plan
from core.errors import InvalidValue
from core.ingredients import (
    COMMON,
    SALTS,
    SOLVENTS,
    SUGARS,
    UNSURE_SALTS,
    Ingredient,
    Kind,
    Unit,
    weight_of,
)
from core.ingredients import GRAMS as GRAM_UNITS
from core.units import kg_to_lb

USUAL_LOW_PCT = 100.0 * 50.0 / 1050.0
USUAL_HIGH_PCT = 6.0
SATURATED_PCT = 26.4
USUAL_SOURCE = "50 to 60 g a litre (spice seller), about 6 % (turkey page)"
SATURATED_SOURCE = "brine table, 100 degrees salometer at 60 °F"

COLD_C = 4.4
"""Highest temperature of meat in brine (40 °F, pages citing USDA) [°C]."""

LONGEST_S = 2.0 * 86400.0
DRY_SOURCE = WET_SOURCE = "USDA Meat and Poultry Hotline"
MANUAL = "appliance manual, strong brine"
DRY_TBSP_PER_LB = 1.0 / 5.0
BASE_CAUTIONS = ("keep_cold", "never_reuse", "wash_what_it_touched", "label_says_solution")


class Place(StrEnum):
    """Where a strength lies against the published usual range."""

    NO_SALT = "no_salt"
    BELOW_USUAL = "below_usual"
    USUAL = "usual"
    ABOVE_USUAL = "above_usual"
    BEYOND_SATURATED = "beyond_saturated"


@dataclass(frozen=True, slots=True)
class Mix:
    """The lines of a brine or rub and the weight of meat they are written for [kg]."""

    ingredients: tuple[Ingredient, ...]
    for_kg: float | None = None

    def times(self, factor: float) -> Mix:
        """The whole mix, `factor` as much."""
        if not 0.0 < factor < 1e4:
            raise InvalidValue("factor", factor, "more than 0")
        mass = None if self.for_kg is None else self.for_kg * factor
        return Mix(tuple(line.times(factor) for line in self.ingredients), mass)

    def scaled_to(self, mass_kg: float) -> Mix:
        """The mix for another weight of meat, in proportion."""
        if self.for_kg is None:
            raise InvalidValue("for_kg", None, "the weight of meat that the mix is written for")
        return self.times(mass_kg / self.for_kg)


@dataclass(frozen=True, slots=True)
class Strength:
    """Strength of a brine.

    Attributes
    ----------
    low_pct, high_pct : float
        Salt by weight of salt and water [%]; a range where the kind of salt is not sure.
    sugar_pct : float
        Sugars by weight of all that was counted [%].
    place : Place
        Against the usual range, by the middle.
    evened_pct : float or None
        Salt if it spread evenly through brine and meat [%]; None without a weight of meat.
    sources : tuple of str
    cautions : tuple of str
        Keys, the standing ones included.
    """

    low_pct: float
    high_pct: float
    sugar_pct: float
    place: Place
    evened_pct: float | None
    sources: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def middle_pct(self) -> float:
        """Middle of the range [%]."""
        return 0.5 * (self.low_pct + self.high_pct)


def strength(mix: Mix) -> Strength:
    """Strength of a wet brine.

    Raises
    ------
    InvalidValue
        There is no water in it.
    """
    water, _, _ = _total(mix, SOLVENTS)
    if water <= 0.0:
        raise InvalidValue("water", "none", "water, for a wet brine; a rub has no strength")
    salt_low, salt_high, sources = _total(mix, SALTS)
    sugar_low, sugar_high, sugar_sources = _total(mix, SUGARS)
    sugar, salt = 0.5 * (sugar_low + sugar_high), 0.5 * (salt_low + salt_high)
    low, high = (100.0 * s / (s + water) for s in (salt_low, salt_high))
    place = _place(0.5 * (low + high))
    evened = None
    if mix.for_kg is not None:
        evened = 100.0 * salt / (salt + water + 1000.0 * mix.for_kg)
    cautions = list(BASE_CAUTIONS)
    if any(i.kind in UNSURE_SALTS and i.unit not in GRAM_UNITS for i in mix.ingredients):
        cautions.append("salt_kind_unknown")
    if place is Place.BEYOND_SATURATED:
        cautions.append("does_not_dissolve")
    if any(weight_of(i) is None for i in mix.ingredients):
        cautions.append("some_not_counted")
    total = salt + water + sugar
    every = tuple(dict.fromkeys((*sources, *sugar_sources, USUAL_SOURCE)))
    return Strength(low, high, 100.0 * sugar / total, place, evened, every, tuple(cautions))


def salt_weight_g(mix: Mix) -> tuple[float, float]:
    """Salt in the mix [g], lowest and highest where the kind of salt is not sure."""
    low, high, _ = _total(mix, SALTS)
    return low, high


def dry_salt_g(mass_kg: float) -> tuple[float, float]:
    """Weight of the kosher salt of `dry_salt_tbsp` [g], flaky to dense."""
    spoons = dry_salt_tbsp(mass_kg)
    weight = weight_of(Ingredient(Kind.KOSHER, spoons, Unit.TABLESPOON))
    assert weight is not None  # noqa: S101  kosher salt has a density
    return weight.low_g, weight.high_g


def _total(mix: Mix, kinds: Iterable[Kind]) -> tuple[float, float, tuple[str, ...]]:
    found = [w for i in mix.ingredients if i.kind in kinds and (w := weight_of(i)) is not None]
    return sum(w.low_g for w in found), sum(w.high_g for w in found), tuple(w.source for w in found)


def _place(pct: float) -> Place:
    if pct <= 0.0:
        return Place.NO_SALT
    if pct > SATURATED_PCT:
        return Place.BEYOND_SATURATED
    if pct < USUAL_LOW_PCT:
        return Place.BELOW_USUAL
    return Place.USUAL if pct <= USUAL_HIGH_PCT else Place.ABOVE_USUAL


@dataclass(frozen=True, slots=True)
class SoakTime:
    """Range of the time in brine or under dry salt [s], and where it is from."""

    low_s: float
    high_s: float
    source: str
    cautions: tuple[str, ...] = BASE_CAUTIONS


_PUBLISHED_H = {
    "whole_chicken": (3.0, 8.0),
    "whole_turkey": (12.0, 24.0),
    "turkey_breast": (4.0, 6.0),
    "pork_loin": (24.0, 24.0),
}
"""Hours at the typical weight of the cut, from the manual."""

_H_PER_M2 = (1250.0, 3500.0)
"""Hours for each square metre of half-thickness squared, from the poultry of the manual."""

_SHORTEST_S = 900.0
_SCALED = f"scaled from an appliance manual's poultry by thickness squared; {COMMON}"


def wet_time(plan: Plan) -> SoakTime:
    """Time range in a usual wet brine, by cut and thickness; never beyond two days (USDA).

    Raises
    ------
    UnknownCut, InvalidValue
    """
    cut, half = cut_named(plan.cut), body_of(plan).half_thickness_m
    published = _PUBLISHED_H.get(plan.cut)
    if published is None:
        low, high = (c * half**2 for c in _H_PER_M2)
        source = _SCALED
    else:
        grown = (half / cut.half_thickness_m) ** 2
        low, high = (hours * grown for hours in published)
        same = abs(grown - 1.0) < 0.25
        source = MANUAL if same else f"{MANUAL}; scaled by thickness squared, {COMMON}"
    low_s, high_s = (min(max(3600.0 * h, _SHORTEST_S), LONGEST_S) for h in (low, high))
    return SoakTime(low_s, high_s, source)


def dry_time(plan: Plan) -> SoakTime:
    """Time range under dry salt: overnight to two days for poultry and roasts, less if thin."""
    half = body_of(plan).half_thickness_m
    thin = half < 0.025
    low_s, high_s = (3600.0, 12.0 * 3600.0) if thin else (12.0 * 3600.0, LONGEST_S)
    cautions = tuple(c for c in BASE_CAUTIONS if c != "never_reuse")
    source = COMMON if thin else f"up to two days: {DRY_SOURCE}; overnight at least: {COMMON}"
    return SoakTime(low_s, high_s, source, cautions)


def dry_salt_tbsp(mass_kg: float) -> float:
    """Kosher salt for a dry brine [tablespoons]: one for 5 lb (USDA Hotline, turkey)."""
    if not mass_kg > 0.0:
        raise InvalidValue("mass_kg", mass_kg, "more than 0 kg")
    return kg_to_lb(mass_kg) * DRY_TBSP_PER_LB
