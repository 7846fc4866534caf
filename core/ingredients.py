"""What goes into a brine or a rub: kinds, amounts, and their weight.

Volumes are turned into weights by the density of each kind. Salt kinds differ by a factor of two.

Sources: table salt 6 g a teaspoon, dense kosher salt 225 to 241 g and flaky kosher salt 140 g a
US cup (two salt pages and USDA figures as quoted there). US volumes are exact by definition (gallon
of 231 cubic inches). Sugars and the rest: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.errors import InvalidValue
from core.units import KG_PER_LB

SALT_PAGES = "salt density as published by salt pages, USDA as quoted there"
COMMON = "common practice, no source"
BY_WEIGHT = "weighed"


class Kind(StrEnum):
    """Ingredients whose chemistry matters; everything else is ``OTHER``."""

    WATER = "water"
    LIQUID = "liquid"
    TABLE_SALT = "table_salt"
    KOSHER_DENSE = "kosher_salt_dense"
    KOSHER_FLAKY = "kosher_salt_flaky"
    KOSHER = "kosher_salt"
    SALT = "salt"
    WHITE_SUGAR = "white_sugar"
    BROWN_SUGAR = "brown_sugar"
    HONEY = "honey"
    OTHER = "other"


SOLVENTS = frozenset({Kind.WATER, Kind.LIQUID})
"""What salt dissolves in; juice, beer and stock count as water (common practice, no source)."""

SALTS = frozenset({Kind.TABLE_SALT, Kind.KOSHER_DENSE, Kind.KOSHER_FLAKY, Kind.KOSHER, Kind.SALT})
SUGARS = frozenset({Kind.WHITE_SUGAR, Kind.BROWN_SUGAR, Kind.HONEY})
UNSURE_SALTS = frozenset({Kind.KOSHER, Kind.SALT})
"""Salts whose volume says little unless the kind is named."""


class Unit(StrEnum):
    """Units of kitchen amounts."""

    GRAM = "g"
    KILOGRAM = "kg"
    OUNCE = "oz"
    POUND = "lb"
    MILLILITRE = "ml"
    LITRE = "l"
    TEASPOON = "tsp"
    TABLESPOON = "tbsp"
    CUP = "cup"
    PINT = "pint"
    QUART = "quart"
    GALLON = "gallon"
    FLUID_OUNCE = "fl oz"


GRAMS = {
    Unit.GRAM: 1.0,
    Unit.KILOGRAM: 1000.0,
    Unit.OUNCE: 1000.0 * KG_PER_LB / 16.0,
    Unit.POUND: 1000.0 * KG_PER_LB,
}
GALLON_ML = 231.0 * 2.54**3
MILLILITRES = {
    Unit.MILLILITRE: 1.0,
    Unit.LITRE: 1000.0,
    Unit.TEASPOON: GALLON_ML / 768.0,
    Unit.TABLESPOON: GALLON_ML / 256.0,
    Unit.CUP: GALLON_ML / 16.0,
    Unit.PINT: GALLON_ML / 8.0,
    Unit.QUART: GALLON_ML / 4.0,
    Unit.GALLON: GALLON_ML,
    Unit.FLUID_OUNCE: GALLON_ML / 128.0,
}

_TSP_A_CUP = 48.0
_CUP_G: dict[Kind, tuple[float, float]] = {
    Kind.TABLE_SALT: (6.0 * _TSP_A_CUP, 6.0 * _TSP_A_CUP),
    Kind.KOSHER_DENSE: (225.0, 241.0),
    Kind.KOSHER_FLAKY: (140.0, 140.0),
    Kind.KOSHER: (140.0, 241.0),
    Kind.SALT: (140.0, 6.0 * _TSP_A_CUP),
    Kind.WHITE_SUGAR: (200.0, 200.0),
    Kind.BROWN_SUGAR: (180.0, 220.0),
    Kind.HONEY: (340.0, 340.0),
}
"""Grams in a US cup, lowest and highest."""


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One line of a mix: an amount of a kind, with the words it was typed with."""

    kind: Kind
    amount: float
    unit: Unit
    name: str = ""

    def __post_init__(self) -> None:
        if not 0.0 < self.amount < 1e6:
            raise InvalidValue("amount", self.amount, "more than 0, less than a million")

    def times(self, factor: float) -> Ingredient:
        """The same ingredient, `factor` as much."""
        return Ingredient(self.kind, self.amount * factor, self.unit, self.name)


@dataclass(frozen=True, slots=True)
class Weight:
    """Weight of an amount [g] with its range, and where the density is from."""

    low_g: float
    high_g: float
    source: str

    @property
    def middle_g(self) -> float:
        """Middle of the range [g]."""
        return 0.5 * (self.low_g + self.high_g)


def weight_of(ingredient: Ingredient) -> Weight | None:
    """Weight of an ingredient; None for a volume of something of unknown density."""
    if ingredient.unit in GRAMS:
        grams = ingredient.amount * GRAMS[ingredient.unit]
        return Weight(grams, grams, BY_WEIGHT)
    volume_ml = ingredient.amount * MILLILITRES[ingredient.unit]
    if ingredient.kind is Kind.WATER:
        return Weight(volume_ml, volume_ml, "1 g a millilitre")
    if ingredient.kind is Kind.LIQUID:
        return Weight(volume_ml, volume_ml, COMMON)
    if ingredient.kind not in _CUP_G:
        return None
    cups = volume_ml / MILLILITRES[Unit.CUP]
    low, high = _CUP_G[ingredient.kind]
    source = SALT_PAGES if ingredient.kind in SALTS else COMMON
    return Weight(cups * low, cups * high, source)
