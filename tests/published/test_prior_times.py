"""Cook times forecast from the plan alone, against published roasting times."""

from __future__ import annotations

import pytest

from core.catalogue import CUTS
from core.cook import Plan, Probe
from core.units import f_to_c
from tests.published.chart_rows import CUT_OF_ROW, Out, chart_rows, verdict
from tests.published.replay import prior_median_min, prior_median_s
from tests.published.tables import Row, load

WIDENED = 0.25
"""Of each end of a published range: the charts are rounded, and ovens and birds differ."""

SHARE_OF_ROWS = 0.90


def test_every_chart_row_is_mapped_or_left_out_for_a_reason() -> None:
    for row in load("roasting_times"):
        found = verdict(row)
        assert found in CUTS if isinstance(found, str) else len(found.reason) > 20
    printed = {(row.text("species"), row.text("cut")) for row in load("roasting_times")}
    assert printed == set(CUT_OF_ROW)


def test_most_chart_rows_are_used() -> None:
    """The check must not become easy by leaving rows out."""
    reasons = [v for v in map(verdict, load("roasting_times")) if isinstance(v, Out)]
    assert len(chart_rows()) == 31
    assert len(reasons) == 24


def test_prior_medians_lie_in_the_chart_ranges() -> None:
    """foodsafety.gov Meat and Poultry Roasting Charts; USDA 325 °F turkey timetable."""
    misses = []
    rows = chart_rows()
    for row in rows:
        median = prior_median_min(row.cut, row.mass_lb, row.oven_c, row.target_c)
        low, high = row.low_min * (1.0 - WIDENED), row.high_min * (1.0 + WIDENED)
        if not low <= median <= high:
            misses.append(
                f"{row.label}: median {median:.0f} min, published {row.low_min:.0f} to "
                f"{row.high_min:.0f}, allowed {low:.0f} to {high:.0f}"
            )
    inside = 1.0 - len(misses) / len(rows)
    assert inside >= SHARE_OF_ROWS, f"{inside:.0%} inside\n" + "\n".join(misses)


def _cook_times(start: str) -> list[Row]:
    return [row for row in load("published_cook_times") if row.text("id").startswith(start)]


@pytest.mark.parametrize("row", _cook_times("chang1998_unstuffed"), ids=lambda r: r.text("id"))
def test_whole_turkey_against_chang(row: Row) -> None:
    """Chang, Carpenter and Toledo 1998: 155 min + 11 min/kg, unstuffed, 163 °C, 4.4 to 82.2 °C."""
    plan = Plan("whole_turkey", row.number("mass_kg_min"), row.number("oven_temp_c"))
    probe = Probe("thigh", f_to_c(row.number("endpoint_f")))
    start_c = f_to_c(row.number("start_temp_f"))
    median_min = prior_median_s(plan, probe, start_c) / 60.0
    assert median_min == pytest.approx(row.number("minutes_min"), rel=0.15)


def test_standing_rib_endpoint_ratios() -> None:
    """National Live Stock and Meat Board timetable: standing ribs, 300 °F, to 140, 160, 170 °F."""
    published, found = {}, {}
    for row in _cook_times("nlsmb_sr"):
        mass_kg = (row.number("mass_kg_min") + row.number("mass_kg_max")) / 2.0
        endpoint = row.number("endpoint_f")
        published[endpoint] = (
            row.number("minutes_per_lb_min") + row.number("minutes_per_lb_max")
        ) / 2.0
        plan = Plan("beef_rib_roast", mass_kg, row.number("oven_temp_c"))
        found[endpoint] = prior_median_s(plan, Probe("meat", f_to_c(endpoint)))
    assert set(published) == {140.0, 160.0, 170.0}
    for later, sooner in ((160.0, 140.0), (170.0, 140.0), (170.0, 160.0)):
        assert found[later] / found[sooner] == pytest.approx(
            published[later] / published[sooner], rel=0.10
        )
