"""Every cell of FSIS-GD-2021-14 (Revised Appendix A), tables 2, 3 and 4, and its rules."""

from __future__ import annotations

import math

import pytest

from core.catalogue import CUTS
from core.come_up import HIGH_C, LIMIT_S, LOW_C
from core.lethality import Standard, accumulate, meat_standard, poultry_standard, standard_for
from core.units import f_to_c
from tests.published.tables import Row, load

POULTRY = load("fsis_poultry_lethality")
MEAT = [row for row in load("fsis_meat_lethality") if row.text("source").endswith("Table 2")]


def _held_s(standard: Standard, temp_c: float) -> float | None:
    """Time until the equivalence with the core held at one temperature."""
    readings = [(600.0 * i, temp_c) for i in range(40)]
    return accumulate(standard, readings).reached_s


def _check(standard: Standard, row: Row) -> None:
    temp_c, printed = f_to_c(row.number("temp_f")), row.number("time_s")
    time_s = standard.time_s(temp_c)
    assert time_s == pytest.approx(printed, rel=1e-6)
    assert _held_s(standard, temp_c) == pytest.approx(printed, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("fat", range(1, 13))
@pytest.mark.parametrize("species", ["chicken", "turkey"])
def test_every_cell_for_poultry(species: str, fat: int) -> None:
    standard = poultry_standard(species, fat)
    rows = [r for r in POULTRY if r.text("species") == species and int(r.number("fat_pct")) == fat]
    assert len(rows) == 30 == len(standard.times_s)
    assert {r.text("source").split()[-1] for r in rows} == {standard.table[-1]}
    for row in rows:
        _check(standard, row)


@pytest.mark.parametrize("log10", [6.5, 7.0])
def test_every_cell_for_meat(log10: float) -> None:
    standard = meat_standard(log10)
    rows = [r for r in MEAT if r.number("log10_reduction") == log10]
    assert len(rows) == 31 == len(standard.times_s)
    for row in rows:
        _check(standard, row)


@pytest.mark.parametrize("fat", [None, 12.5, 15.0, 40.0])
def test_fat_above_twelve_or_unknown_takes_the_last_column(fat: float | None) -> None:
    (rule,) = [r for r in load("fsis_process_limits") if r.text("rule") == "fat_rule"]
    assert "12 %" in rule.text("value")
    assert poultry_standard("turkey", fat).times_s == poultry_standard("turkey", 12).times_s


def test_other_poultry_takes_the_longer_of_both() -> None:
    (rule,) = [r for r in load("fsis_process_limits") if r.text("rule") == "species_rule"]
    assert "longer" in rule.text("value")
    for fat in range(1, 13):
        mixed = poultry_standard("waterfowl", fat)
        for row in POULTRY:
            if int(row.number("fat_pct")) == fat:
                time_s = mixed.time_s(f_to_c(row.number("temp_f")))
                assert time_s is not None
                assert time_s >= row.number("time_s") - 1e-6


def test_meat_is_at_once_from_the_published_temperature() -> None:
    (rule,) = [
        r for r in load("fsis_process_limits") if r.text("rule") == "meat_instant_6.5_7_and_5_log"
    ]
    assert meat_standard().instant_c == pytest.approx(f_to_c(rule.number("value")))


def test_come_up_limit() -> None:
    name = "max_time_product_between_50_and_130F"
    (rule,) = [r for r in load("fsis_process_limits") if r.text("rule") == name]
    assert rule.number("value") * 3600.0 == LIMIT_S
    assert (f_to_c(50.0), f_to_c(130.0)) == (LOW_C, HIGH_C)


@pytest.mark.parametrize("key", CUTS)
def test_every_cut_takes_the_table_of_its_kind(key: str) -> None:
    standard, species = standard_for(key), CUTS[key].species
    if species == "fish":
        assert standard is None  # the guideline is for meat and poultry
        return
    assert standard is not None
    assert standard.key == (
        "meat_6.5log" if species in ("pork", "beef", "lamb") else "poultry_7log"
    )
    assert math.isfinite(standard.instant_c)
