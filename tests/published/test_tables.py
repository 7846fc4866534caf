"""The published tables are whole, and a recalled number is never handed out unasked."""

from __future__ import annotations

import pytest

from tests.published.tables import CHECKED, DATA, Mark, load

# (rows in all, rows that may decide a test), as the README beside the tables counts them.
COUNTS = {
    "brine_facts": (24, 22),
    "carryover_rest": (23, 23),
    "choi_okos": (29, 22),
    "food_thermal_properties": (163, 117),
    "fsis_meat_lethality": (93, 93),
    "fsis_poultry_lethality": (720, 720),
    "fsis_process_limits": (8, 8),
    "published_cook_times": (90, 89),
    "published_core_curves": (189, 189),
    "published_core_curves_meta": (6, 6),
    "roasting_times": (55, 55),
    "safe_minimum_temps": (11, 11),
    "salmonella_d_z": (13, 9),
    "stall_wetbulb": (36, 33),
    "thawing_times": (16, 14),
}


@pytest.mark.parametrize("name", COUNTS)
def test_table_is_whole(name: str) -> None:
    assert (len(load(name, tuple(Mark))), len(load(name))) == COUNTS[name]


def test_every_table_is_counted_and_described() -> None:
    names = {path.stem for path in DATA.glob("*.csv")}
    assert names == set(COUNTS) | {"one_term_coefficients"}
    readme = (DATA / "README.md").read_text(encoding="utf-8")
    assert all(f"{name}.csv" in readme for name in names)


@pytest.mark.parametrize("name", COUNTS)
def test_recalled_rows_are_left_out(name: str) -> None:
    assert all(row.mark in CHECKED for row in load(name))


def test_recalled_column_of_the_one_term_table_is_marked() -> None:
    assert len(load("one_term_coefficients", mark_column="provenance_computed")) == 105
    assert load("one_term_coefficients", mark_column="provenance_published") == []


def test_temperatures_agree_in_both_units() -> None:
    for name, f, c in (
        ("safe_minimum_temps", "temp_f", "temp_c"),
        ("roasting_times", "target_f", "target_c"),
        ("published_core_curves", "core_temp_f", "core_temp_c"),
    ):
        for row in load(name):
            assert (row.number(f) - 32.0) / 1.8 == pytest.approx(row.number(c), abs=0.06)
