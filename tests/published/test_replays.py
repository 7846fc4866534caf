"""Published cooks replayed as the program would have seen them.

Turkeys: hand readings by one cook (M. Ching, data blog), breast probe, brined, oven stepped from
260 to 177 °C, breast under foil. Beef blocks: student project BeefSimulator, 10 s readings, 140 g,
oven at 175 °C. The turkey breast at the end: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.cook import Cook, Event, EventKind, Plan, Probe, Reading, Shape
from core.units import f_to_c
from tests.published.replay import MINUTE_S, prior_arrival, quantile_min, target_arrival
from tests.published.tables import Row, load

TURKEYS = ("turkey_whole_2015", "turkey_whole_2019")
BLOCKS = ("beef_piece_A", "beef_piece_B")


def _meta(curve_id: str) -> Row:
    (row,) = [r for r in load("published_core_curves_meta") if r.text("curve_id") == curve_id]
    return row


def _points(curve_id: str) -> list[Row]:
    return [r for r in load("published_core_curves") if r.text("curve_id") == curve_id]


def _reading(point: Row) -> Reading:
    temp_c = f_to_c(point.number("core_temp_f"))
    pit_c = f_to_c(point.number("oven_temp_f"))
    return Reading(point.number("time_min") * MINUTE_S, pit_c, (("meat", temp_c),))


def _reached_min(points: list[Row], target_f: float) -> float:
    """When the published readings pass the target, by straight lines between them."""
    times = np.array([p.number("time_min") for p in points])
    temps = np.array([p.number("core_temp_f") for p in points])
    after = int(np.argmax(temps >= target_f))
    share = (target_f - temps[after - 1]) / (temps[after] - temps[after - 1])
    return float(times[after - 1] + share * (times[after] - times[after - 1]))


def _turkey(curve_id: str) -> tuple[Cook, float]:
    """The cook, and the minutes it took to its printed endpoint."""
    meta, points = _meta(curve_id), _points(curve_id)
    target_f = meta.number("endpoint_f")
    probe = Probe("meat", f_to_c(target_f), start_c=f_to_c(meta.number("start_temp_f")))
    plan = Plan("whole_turkey", meta.number("mass_kg"), f_to_c(points[-1].number("oven_temp_f")))
    turned_down = next(
        p for p in points if p.number("oven_temp_f") < points[0].number("oven_temp_f")
    )
    foil = Event(turned_down.number("time_min") * MINUTE_S, EventKind.WRAPPED, "foil on the breast")
    cook = Cook(plan, (probe,), tuple(map(_reading, points)), (foil,))
    return cook, _reached_min(points, target_f)


@pytest.mark.parametrize("curve_id", TURKEYS)
def test_turkey_finish_at_seven_tenths(curve_id: str) -> None:
    cook, finish_min = _turkey(curve_id)
    arrival = target_arrival(cook, 0.7 * finish_min * MINUTE_S)
    assert quantile_min(arrival, 0.5) == pytest.approx(finish_min, abs=12.0)
    assert quantile_min(arrival, 0.05) <= finish_min <= quantile_min(arrival, 0.95)


@pytest.mark.parametrize("curve_id", TURKEYS)
def test_turkey_range_tightens(curve_id: str) -> None:
    cook, finish_min = _turkey(curve_id)
    widths = []
    for share in (0.35, 0.7, 0.95):
        arrival = target_arrival(cook, share * finish_min * MINUTE_S)
        widths.append(quantile_min(arrival, 0.9) - quantile_min(arrival, 0.1))
    assert widths[0] > widths[1] > widths[2] > 0.0


def _block(curve_id: str) -> tuple[Cook, float]:
    """The cook as read once a minute, and the minutes to its printed endpoint."""
    meta, points = _meta(curve_id), _points(curve_id)
    target_f = meta.number("endpoint_f")
    thickness_m = min(map(float, meta.text("dims_cm").split(" x "))) / 100.0
    plan = Plan(
        "other",
        meta.number("mass_kg"),
        f_to_c(points[0].number("oven_temp_f")),
        shape=Shape.SLAB,
        thickness_m=thickness_m,
    )
    probe = Probe("meat", f_to_c(target_f), start_c=f_to_c(meta.number("start_temp_f")))
    cook = Cook(plan, (probe,), tuple(map(_reading, points[::6])))
    return cook, _reached_min(points, target_f)


@pytest.mark.parametrize("curve_id", BLOCKS)
def test_beef_block_finish_at_seven_tenths(curve_id: str) -> None:
    """A fifth of the cook: a 140 g brick, heated from six sides, is far from any roast."""
    cook, finish_min = _block(curve_id)
    arrival = target_arrival(cook, 0.7 * finish_min * MINUTE_S)
    assert quantile_min(arrival, 0.5) == pytest.approx(finish_min, rel=0.20)


@pytest.mark.parametrize("curve_id", BLOCKS)
def test_beef_block_at_the_start_and_near_the_end(curve_id: str) -> None:
    """The prior holds it in its widest range; at nine tenths the median is within a tenth."""
    cook, finish_min = _block(curve_id)
    first = target_arrival(cook, 0.0)
    assert quantile_min(first, 0.05) <= 1.1 * finish_min <= 1.1 * quantile_min(first, 0.95)
    late = target_arrival(cook, 0.9 * finish_min * MINUTE_S)
    assert quantile_min(late, 0.5) == pytest.approx(finish_min, rel=0.10)


# Common practice, no source: a whole bone-in turkey breast near 3.2 kg.
BREAST_KG, BREAST_START_C, BREAST_TARGET_C = 3.2, 5.6, 73.9
USUAL_MIN = (180.0, 240.0)


@pytest.mark.parametrize("pit_c", [149.0, 163.0, 177.0])
def test_turkey_breast_takes_three_to_four_hours(pit_c: float) -> None:
    """Common practice, no source; widened by a quarter on each side as the charts are."""
    plan = Plan("turkey_breast", BREAST_KG, pit_c)
    arrival = prior_arrival(plan, Probe("breast", BREAST_TARGET_C), BREAST_START_C)
    assert USUAL_MIN[0] * 0.75 <= quantile_min(arrival, 0.5) <= USUAL_MIN[1] * 1.25


def test_turkey_breast_beats_the_straight_line() -> None:
    """Common practice, no source: 60 °C after 105 min and 73.9 °C after 175 min near 149 °C."""
    probe = Probe("breast", BREAST_TARGET_C, start_c=BREAST_START_C)
    readings = (
        Reading(0.0, 149.0, (("breast", BREAST_START_C),)),
        Reading(105.0 * MINUTE_S, 149.0, (("breast", 60.0),)),
    )
    cook = Cook(Plan("turkey_breast", BREAST_KG, 149.0), (probe,), readings)
    arrival = target_arrival(cook, 105.0 * MINUTE_S)
    finish_min = 175.0
    line_min = 105.0 * (BREAST_TARGET_C - BREAST_START_C) / (60.0 - BREAST_START_C)
    assert line_min == pytest.approx(132.0, abs=1.0)
    assert quantile_min(arrival, 0.1) <= finish_min <= quantile_min(arrival, 0.9)
    assert abs(quantile_min(arrival, 0.5) - finish_min) < abs(line_min - finish_min)
