"""Thawing times against the USDA tables (as reprinted; recalled rows are left out)."""

from __future__ import annotations

import numpy as np
import pytest

from core.thaw import (
    DAY_S,
    FROM_FROZEN_FACTOR,
    HOLD_HIGH_S,
    HOLD_LOW_S,
    HOUR_S,
    MeatState,
    ThawMethod,
    thaw_time,
)
from core.units import lb_to_kg
from tests.published.tables import Row, load

ROWS = load("thawing_times")
SECONDS = {"days": DAY_S, "hours": HOUR_S, "minutes": 60.0}
SIZED = [r for r in ROWS if r.maybe("weight_max_lb") and "turkey" in r.text("item")]


def _method(row: Row) -> ThawMethod:
    cold = row.text("method").startswith("cold water")
    return ThawMethod.COLD_WATER if cold else ThawMethod.REFRIGERATOR


def test_there_are_ten_rows_with_a_weight() -> None:
    assert len(SIZED) == 10


@pytest.mark.parametrize("row", SIZED, ids=lambda r: f"{r.text('item')} {r.text('method')[:4]} "
                         f"{r.text('weight_min_lb')}")  # fmt: skip
def test_time_lies_in_the_published_row(row: Row) -> None:
    scale = SECONDS[row.text("time_unit")]
    low, high = row.number("time_low") * scale, row.number("time_high") * scale
    cut = "turkey_breast" if "breast" in row.text("item") or "6-8" in row.text("item") else ""
    light, heavy = row.number("weight_min_lb"), row.number("weight_max_lb")
    for pounds in np.linspace(light + 0.01, heavy, 9):
        found = thaw_time(lb_to_kg(float(pounds)), _method(row), cut=cut)
        assert low - 1.0 <= found.low_s <= found.high_s <= high + 1.0
    assert thaw_time(lb_to_kg(heavy), _method(row), cut=cut).high_s == pytest.approx(high)


def test_rules_by_weight_hold_beyond_the_rows() -> None:
    """A day for each 4 to 5 lb; half an hour for each pound."""
    (refrigerator,) = [r for r in ROWS if r.text("rule") == "per 4-5 lb"]
    (water,) = [r for r in ROWS if r.text("rule") == "per lb"]
    found = thaw_time(lb_to_kg(30.0), ThawMethod.REFRIGERATOR)
    assert found.low_s == pytest.approx(30.0 / 5.0 * refrigerator.number("time_low") * HOUR_S)
    assert found.high_s == pytest.approx(30.0 / 4.0 * refrigerator.number("time_low") * HOUR_S)
    for pounds in (2.0, 30.0):
        found = thaw_time(lb_to_kg(pounds), ThawMethod.COLD_WATER)
        assert found.high_s == pytest.approx(pounds * water.number("time_low") * 60.0)


def test_hold_after_thawing_and_cooking_from_frozen() -> None:
    (hold,) = [r for r in ROWS if r.text("method").startswith("hold")]
    assert (
        hold.number("time_low") * DAY_S,
        hold.number("time_high") * DAY_S,
    ) == (HOLD_LOW_S, HOLD_HIGH_S)
    (frozen,) = [r for r in ROWS if "from frozen" in r.text("item")]
    assert frozen.number("time_low") == FROM_FROZEN_FACTOR


def test_thawed_meat_needs_nothing_and_partly_thawed_less() -> None:
    for method in ThawMethod:
        whole = thaw_time(4.0, method)
        part = thaw_time(4.0, method, MeatState.PARTLY)
        assert thaw_time(4.0, method, MeatState.THAWED).high_s == 0.0
        assert 0.0 < part.low_s < part.high_s < whole.high_s
        assert "no source" in part.source
