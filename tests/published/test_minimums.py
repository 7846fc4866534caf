"""The catalogue's minimum temperatures against the FSIS chart (updated 14 April 2025)."""

from __future__ import annotations

import pytest

from core.catalogue import COOKED_HAM, CUTS, FSIS_CHART, OTHER_COOKED_HAM, Minimum
from core.units import f_to_c
from tests.published.tables import load

RED_MEAT = "beef pork veal lamb steaks chops roasts"
RAW_HAM = "ham fresh or smoked uncooked"
POULTRY = "all poultry (whole, parts, ground, giblets, stuffing)"
FISH = "fish and shellfish"

FOOD_OF_CUT = {
    "pork_shoulder": RED_MEAT,
    "pork_loin": RED_MEAT,
    "pork_ribs": RED_MEAT,
    "ham": RAW_HAM,
    "beef_brisket": RED_MEAT,
    "beef_rib_roast": RED_MEAT,
    "leg_of_lamb": RED_MEAT,
    "whole_chicken": POULTRY,
    "chicken_pieces": POULTRY,
    "whole_turkey": POULTRY,
    "turkey_breast": POULTRY,
    "duck": POULTRY,
    "goose": POULTRY,
    "salmon_side": FISH,
    "other": POULTRY,  # unknown meat: the strictest line of the chart
}


def test_every_cut_has_a_line_of_the_chart() -> None:
    assert set(FOOD_OF_CUT) == set(CUTS)


@pytest.mark.parametrize("key", FOOD_OF_CUT)
def test_minimum_is_the_chart_s(key: str) -> None:
    (row,) = [r for r in load("safe_minimum_temps") if r.text("food") == FOOD_OF_CUT[key]]
    minimum = CUTS[key].minimum
    assert minimum.temp_f == row.number("temp_f")
    assert minimum.temp_c == pytest.approx(row.number("temp_c"), abs=0.05)
    assert minimum.temp_c == pytest.approx(f_to_c(minimum.temp_f), abs=0.05)
    assert minimum.rest_s == row.number("rest_min") * 60.0
    assert minimum.source == FSIS_CHART
    assert row.text("source") == FSIS_CHART


@pytest.mark.parametrize(
    ("food", "minimum"),
    [
        ("fully cooked ham reheat, USDA-inspected plant package", COOKED_HAM),
        ("fully cooked ham reheat, other", OTHER_COOKED_HAM),
    ],
)
def test_ham_that_was_sold_cooked_is_the_chart_s(food: str, minimum: Minimum) -> None:
    (row,) = [r for r in load("safe_minimum_temps") if r.text("food") == food]
    assert minimum.temp_f == row.number("temp_f")
    assert minimum.temp_c == pytest.approx(row.number("temp_c"), abs=0.05)
    assert minimum.rest_s == row.number("rest_min") * 60.0
    assert minimum.source == row.text("source")


def test_unknown_meat_takes_the_strictest_roast_line() -> None:
    assert CUTS["other"].minimum.temp_f == max(cut.minimum.temp_f for cut in CUTS.values())


@pytest.mark.parametrize("key", [k for k, food in FOOD_OF_CUT.items() if food == POULTRY])
def test_usual_poultry_target_is_not_under_the_minimum(key: str) -> None:
    """To the tenth: 165 °F is 73.9 °C."""
    assert CUTS[key].target_c >= CUTS[key].minimum.temp_c - 0.05
