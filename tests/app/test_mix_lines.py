"""Ingredient lines: how cooks write them, and laws that hold for all of them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.line.values import Refusal
from app.mix_lines import kind_of, kitchen_number, read_mix, read_mix_line
from core.ingredients import Kind, Unit

LINES = [
    ("120 g salt", 120.0, Unit.GRAM, Kind.SALT),
    ("120g fine sea salt", 120.0, Unit.GRAM, Kind.TABLE_SALT),
    ("2 tbsp brown sugar", 2.0, Unit.TABLESPOON, Kind.BROWN_SUGAR),
    ("4 l water", 4.0, Unit.LITRE, Kind.WATER),
    ("1/2 cup kosher salt", 0.5, Unit.CUP, Kind.KOSHER),
    ("1 1/2 cups flaky kosher salt", 1.5, Unit.CUP, Kind.KOSHER_FLAKY),
    ("½ cup dense kosher salt", 0.5, Unit.CUP, Kind.KOSHER_DENSE),
    ("1½ gallons cold water", 1.5, Unit.GALLON, Kind.WATER),
    ("2 ¼ tsp. table salt", 2.25, Unit.TEASPOON, Kind.TABLE_SALT),
    ("1,5 kg ice", 1.5, Unit.KILOGRAM, Kind.WATER),
    ("0.75 cup of sugar", 0.75, Unit.CUP, Kind.WHITE_SUGAR),
    ("5 dl apple juice", 500.0, Unit.MILLILITRE, Kind.LIQUID),
    ("12 fl oz beer", 12.0, Unit.FLUID_OUNCE, Kind.LIQUID),
    ("3 Tablespoons honey", 3.0, Unit.TABLESPOON, Kind.HONEY),
    ("8 oz unsalted butter", 8.0, Unit.OUNCE, Kind.OTHER),
    ("1 tbsp garlic salt", 1.0, Unit.TABLESPOON, Kind.OTHER),
    ("5 g pink curing salt", 5.0, Unit.GRAM, Kind.OTHER),
    ("1 lb lard", 1.0, Unit.POUND, Kind.OTHER),
]


@pytest.mark.parametrize(("text", "amount", "unit", "kind"), LINES)
def test_lines_are_read(text: str, amount: float, unit: Unit, kind: Kind) -> None:
    line = read_mix_line(text)
    assert line.ingredient is not None
    assert line.ingredient.amount == pytest.approx(amount)
    assert line.ingredient.unit is unit
    assert line.ingredient.kind is kind


def test_counts_and_words_stay_lines() -> None:
    leaves = read_mix_line("3 bay leaves")
    assert (leaves.count, leaves.ingredient, leaves.text) == (3.0, None, "3 bay leaves")
    words = read_mix_line("a handful of thyme")
    assert words.text == words.times(2).text == "a handful of thyme"
    assert leaves.times(2.0).text == "6 bay leaves"
    assert read_mix_line("1 garlic clove, crushed").count == 1.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("120 salt", "without a unit"),
        ("4 water", "without a unit"),
        ("1,000 g salt", "not 1,000"),
        ("1.000 g salt", "not 1,000"),
        ("2-3 tbsp sugar", "one of them"),
        ("0 g salt", "more than 0"),
        ("1/0 cup salt", "an amount is"),
        ("120 g", "after the amount"),
        ("120", "after the amount"),
        ("", "empty"),
        ("9999999 g salt", "below 100000"),
        ("1 g " + "x" * 200, "up to 120"),
        ("5 g salt\x1b[2J", "printable"),
    ],
)
def test_bad_lines_say_what_is_allowed(text: str, words: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_mix_line(text)
    assert words in caught.value.error.message


def test_curing_salt_is_no_salt() -> None:
    assert read_mix_line("5 g pink curing salt").curing
    assert kind_of("prague salt") is Kind.OTHER
    assert not read_mix_line("5 g salt").curing


def test_a_mix_tells_every_bad_line_and_keeps_the_good_ones() -> None:
    read = read_mix(["120 g salt", "", "4 water", "4 l water", "2-3 cloves"])
    assert read.texts == ("120 g salt", "4 l water")
    assert [index for index, _ in read.errors] == [2, 4]


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        line = read_mix_line(text)
    except Refusal:
        return
    assert line.text


@pytest.mark.parametrize("text", [line for line, *_ in LINES])
@pytest.mark.parametrize("factor", [1.0, 0.37, 2.5])
def test_a_scaled_line_is_read_again(text: str, factor: float) -> None:
    line = read_mix_line(text).times(factor)
    again = read_mix_line(line.text)
    assert line.ingredient is not None and again.ingredient is not None
    assert again.ingredient.amount == pytest.approx(line.ingredient.amount, rel=0.01)
    assert again.ingredient.kind is line.ingredient.kind


@given(st.floats(0.01, 9e4))
def test_kitchen_numbers_are_within_one_in_a_hundred_and_read_again(value: float) -> None:
    text = kitchen_number(value)
    assert float(text) == pytest.approx(value, rel=0.01, abs=0.0051)
    read = read_mix_line(f"{text} g salt").ingredient if float(text) > 0 else None
    assert read is None or read.amount == float(text)
