"""The published minutes per pound that the Ledger shows, against the charts they are from.

Source: foodsafety.gov, Meat and Poultry Roasting Charts, and the USDA timetable for 325 °F, both as
copied cell by cell into ``data/roasting_times.csv``.
"""

from __future__ import annotations

import pytest

from core.catalogue import CUTS
from core.cook import Plan
from core.run_times import PER_LB, ROWS, Row, minutes_per_lb, published_run
from core.units import c_to_f, lb_to_kg
from tests.published.chart_rows import Out, verdict
from tests.published.tables import Row as Printed
from tests.published.tables import load


def _printed() -> list[tuple[str, Printed]]:
    """Rows of the charts that speak of a raw piece of one of our cuts."""
    rows = [(verdict(row), row) for row in load("roasting_times")]
    # cooked ham is warmed up, not cooked
    return [
        (cut, row)
        for cut, row in rows
        if not isinstance(cut, Out) and not row.text("cut").startswith("cooked")
    ]


def _numbers(row: Row) -> tuple[object, ...]:
    return (row.cut, row.lb_low, row.lb_high, row.oven_f, row.target_f, row.low, row.high, row.per)


def _cells(cut: str, row: Printed) -> tuple[object, ...]:
    low, high, per = row.maybe("min_per_lb_low"), row.maybe("min_per_lb_high"), PER_LB
    if low is None:
        low, high, per = row.number("total_min_low"), row.number("total_min_high"), "minutes"
    weights = row.number("weight_min_lb"), row.number("weight_max_lb")
    return (cut, *weights, row.number("oven_temp_f"), row.number("target_f"), low, high, per)


def test_every_row_is_as_printed_and_none_is_missing() -> None:
    assert sorted(map(_numbers, ROWS), key=str) == sorted(
        (_cells(*pair) for pair in _printed()), key=str
    )


def test_a_duck_of_five_pounds() -> None:
    # printed: duck, whole, 350 °F, 4 to 6 lb, 30 to 35 minutes per pound
    found = published_run(Plan("duck", lb_to_kg(5.0), 160.0))
    assert found is not None and found.inside
    assert (found.low, found.high) == (30.0, 35.0)
    assert c_to_f(found.oven_c_low) == c_to_f(found.oven_c_high) == pytest.approx(350.0)


def test_totals_become_minutes_per_pound() -> None:
    # printed: whole turkey, 325 °F, 8 to 12 lb, 2 3/4 to 3 hours; at 10 lb that is 16.5 to 18
    found = published_run(Plan("whole_turkey", lb_to_kg(10.0), 163.0))
    assert found is not None
    assert (found.low, found.high) == (pytest.approx(16.5), pytest.approx(18.0))


def test_a_piece_beyond_the_chart_gets_its_nearest_rows_and_says_so() -> None:
    # printed: pork, Boston butt, 3 to 6 lb, 45 minutes per pound
    found = published_run(Plan("pork_shoulder", lb_to_kg(9.0), 120.0))
    assert found is not None and not found.inside
    assert (found.low, found.high, found.lb_high) == (45.0, 45.0, 6.0)


def test_cuts_without_a_row_have_none() -> None:
    none = {key for key in CUTS if published_run(Plan(key, 2.0, 150.0)) is None}
    assert none == {"pork_ribs", "beef_brisket", "salmon_side", "other"}


def test_minutes_per_pound_by_hand() -> None:
    # 3 h for 5 lb: 180 / 5
    assert minutes_per_lb(3 * 3600.0, lb_to_kg(5.0)) == pytest.approx(36.0)
