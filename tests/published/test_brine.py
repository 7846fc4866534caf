"""Brine strength, salt density and times against the figures of ``brine_facts.csv``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.brine import (
    COLD_C,
    LONGEST_S,
    SATURATED_PCT,
    USUAL_HIGH_PCT,
    USUAL_LOW_PCT,
    Mix,
    Place,
    dry_salt_tbsp,
    dry_time,
    strength,
    wet_time,
)
from core.catalogue import CUTS, cut_named
from core.cook import Plan, Shape
from core.errors import InvalidValue
from core.ingredients import Ingredient, Kind, Unit, weight_of
from core.units import f_to_c, lb_to_kg
from tests.published.tables import Row, load


def _fact(name: str, unit: str) -> Row:
    rows = [r for r in load("brine_facts") if r.text("fact") == name and r.text("unit") == unit]
    return rows[0]


def _grams(kind: Kind, amount: float, unit: Unit) -> tuple[float, float]:
    weight = weight_of(Ingredient(kind, amount, unit))
    assert weight is not None
    return weight.low_g, weight.high_g


def _brine(kind: Kind, amount: float, unit: Unit, water: float, water_unit: Unit) -> Mix:
    return Mix((Ingredient(kind, amount, unit), Ingredient(Kind.WATER, water, water_unit)))


def test_table_salt() -> None:
    spoon = _fact("table_salt", "g per tsp").number("value")
    assert _grams(Kind.TABLE_SALT, 1, Unit.TEASPOON) == pytest.approx((spoon, spoon))
    cup = float(_fact("table_salt", "g per cup").text("value").removeprefix("about "))
    assert _grams(Kind.TABLE_SALT, 1, Unit.CUP)[0] == pytest.approx(cup, rel=0.01)
    ounces = _fact("table_salt", "oz per cup").number("value")
    assert _grams(Kind.TABLE_SALT, 1, Unit.CUP)[0] == pytest.approx(ounces * 28.35, rel=0.02)


def test_kosher_salts() -> None:
    dense = _fact("kosher_salt_dense", "g per cup").text("value").removeprefix("about ").split("-")
    assert _grams(Kind.KOSHER_DENSE, 1, Unit.CUP) == pytest.approx(tuple(map(float, dense)))
    flaky = float(_fact("kosher_salt_flaky", "g per cup").text("value").removeprefix("about "))
    assert _grams(Kind.KOSHER_FLAKY, 1, Unit.CUP)[0] == pytest.approx(flaky)
    assert _grams(Kind.KOSHER, 1, Unit.CUP) == pytest.approx((flaky, float(dense[1])))


def test_published_brines_are_usual_and_agree() -> None:
    cups = _fact("liquid_brine_table_salt", "cup per gallon water").number("value")
    spoons = _fact("liquid_brine_table_salt", "tbsp per quart water").number("value")
    gallon = strength(_brine(Kind.TABLE_SALT, cups, Unit.CUP, 1, Unit.GALLON))
    quart = strength(_brine(Kind.TABLE_SALT, spoons, Unit.TABLESPOON, 1, Unit.QUART))
    assert gallon.middle_pct == pytest.approx(quart.middle_pct)
    computed = _fact("derived_3/4_cup_per_gallon", "% w/w").text("value").removeprefix("about ")
    assert gallon.middle_pct == pytest.approx(float(computed), abs=0.15)
    assert gallon.place is Place.USUAL


def test_usual_range_and_saturation() -> None:
    low, high = map(float, _fact("typical_wet_brine", "g per litre").text("value").split("-"))
    for grams in (low, high):
        assert strength(_brine(Kind.SALT, grams, Unit.GRAM, 1, Unit.LITRE)).place is Place.USUAL
    assert pytest.approx(100 * low / (1000 + low)) == USUAL_LOW_PCT
    six = _fact("typical_wet_brine", "% by weight").text("value").removeprefix("about ")
    assert float(six) == USUAL_HIGH_PCT
    assert _fact("saturated_brine", "% salt").number("value") == SATURATED_PCT
    full = strength(_brine(Kind.SALT, 360, Unit.GRAM, 1, Unit.LITRE))
    assert full.place is Place.BEYOND_SATURATED
    assert "does_not_dissolve" in full.cautions


@pytest.mark.parametrize(
    ("fact", "cut"),
    [
        ("time_whole_chicken", "whole_chicken"),
        ("time_whole_turkey", "whole_turkey"),
        ("time_turkey_breast", "turkey_breast"),
        ("time_pork_loin", "pork_loin"),
    ],
)
def test_times_of_the_usual_weights(fact: str, cut: str) -> None:
    hours = [float(h) for h in _fact(fact, "h").text("value").split("-")]
    found = wet_time(Plan(cut, cut_named(cut).typical_mass_kg, 150.0))
    assert found.low_s == pytest.approx(3600.0 * hours[0])
    assert found.high_s == pytest.approx(3600.0 * hours[-1])
    assert "no source" not in found.source


def test_dry_brine_cold_and_longest() -> None:
    row = next(r for r in load("brine_facts") if r.text("fact") == "dry_brine_kosher_salt")
    assert dry_salt_tbsp(lb_to_kg(5.0)) == pytest.approx(row.number("value"))
    longest = _fact("dry_brine_time", "days").text("value").removeprefix("up to ")
    assert float(longest) * 86400.0 == LONGEST_S
    assert f_to_c(_fact("brine_max_temp", "F").number("value")) == pytest.approx(COLD_C, abs=0.05)


@pytest.mark.parametrize("key", [k for k in CUTS if k != "other"])
def test_every_cut_has_a_time_that_grows_with_weight(key: str) -> None:
    cut = CUTS[key]
    small, big = (wet_time(Plan(key, m, 150.0)) for m in (cut.mass_low_kg, cut.mass_high_kg))
    assert 0.0 < small.low_s <= small.high_s <= LONGEST_S
    assert small.high_s <= big.high_s <= LONGEST_S
    dry = dry_time(Plan(key, cut.typical_mass_kg, 150.0))
    assert 0.0 < dry.low_s < dry.high_s <= LONGEST_S


def test_time_goes_with_the_square_of_the_thickness() -> None:
    """Diffusion."""
    thin, thick = (
        wet_time(Plan("other", 1.0, 150.0, shape=Shape.SLAB, thickness_m=t)) for t in (0.05, 0.1)
    )
    assert thick.low_s == pytest.approx(4.0 * thin.low_s)
    assert "no source" in thin.source


def test_cautions_always_stand_and_unknown_salt_is_said() -> None:
    plain = strength(_brine(Kind.SALT, 55, Unit.GRAM, 1, Unit.LITRE))
    assert {"keep_cold", "never_reuse", "wash_what_it_touched"} <= set(plain.cautions)
    assert "salt_kind_unknown" not in plain.cautions
    vague = strength(_brine(Kind.SALT, 0.75, Unit.CUP, 1, Unit.GALLON))
    assert "salt_kind_unknown" in vague.cautions
    assert vague.low_pct < 0.6 * vague.high_pct


def test_a_rub_has_no_strength_and_amounts_are_positive() -> None:
    with pytest.raises(InvalidValue):
        strength(Mix((Ingredient(Kind.SALT, 20, Unit.GRAM),)))
    with pytest.raises(InvalidValue):
        Ingredient(Kind.SALT, 0.0, Unit.GRAM)
    with pytest.raises(InvalidValue):
        Mix((Ingredient(Kind.SALT, 20, Unit.GRAM),)).scaled_to(3.0)


@given(factor=st.floats(0.05, 50.0), salt=st.floats(1.0, 400.0), mass=st.floats(0.3, 12.0))
def test_scaling_keeps_the_strength(factor: float, salt: float, mass: float) -> None:
    mix = Mix(
        (
            Ingredient(Kind.TABLE_SALT, salt, Unit.GRAM),
            Ingredient(Kind.BROWN_SUGAR, 2, Unit.TABLESPOON),
            Ingredient(Kind.WATER, 4, Unit.LITRE),
        ),
        for_kg=mass,
    )
    before, after = strength(mix), strength(mix.scaled_to(mass * factor))
    assert after.middle_pct == pytest.approx(before.middle_pct)
    assert after.sugar_pct == pytest.approx(before.sugar_pct)
    assert after.evened_pct == pytest.approx(before.evened_pct)
    assert before.evened_pct is not None
    assert before.evened_pct < before.middle_pct
