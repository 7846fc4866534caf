"""What the forecast must get right, on cooks of the model itself with known unknowns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.answers import LEVELS
from core.cook import Cook, Event, EventKind, Milestone, Plan, Probe, Reading
from core.errors import ForecastCancelled, InvalidValue, UnknownCut
from core.forecast import forecast, hindcast
from tests.core.cooks import Made, made_cook

HOUR_S = 3600.0
LAMB = Plan("leg_of_lamb", 2.4, 160.0)
SHOULDER = Plan("pork_shoulder", 3.0, 115.0)


@pytest.fixture(scope="module")
def lamb() -> Made:
    return made_cook(LAMB, 63.0, departures=(0.8, -0.5, 0.4, 0.0, -0.3, 0.2, 0.0), glaze_c=50.0)


def target(cook: Cook, now_s: float) -> tuple[float | None, ...]:
    arrival = forecast(cook, now_s, explain=False).arrival("core", Milestone.TARGET)
    assert arrival is not None
    return tuple(arrival.quantile_s(level) for level in LEVELS)


def test_no_reading_at_all_is_answered_from_the_prior() -> None:
    quantiles = target(Cook(LAMB, (Probe("core", 63.0),)), 0.0)
    assert quantiles[3] is not None
    assert 1.2 * HOUR_S < quantiles[3] < 4.0 * HOUR_S


def test_many_readings_find_the_known_finish(lamb: Made) -> None:
    widths = []
    for share in (0.5, 0.75, 0.9):
        cook = lamb.until(share)
        q = target(cook, share * lamb.finish_s)
        assert q[0] is not None and q[3] is not None and q[6] is not None
        assert q[0] <= lamb.finish_s <= q[6]
        assert q[3] == pytest.approx(lamb.finish_s, rel=0.08)
        widths.append(q[6] - q[0])
    assert widths[2] < widths[1] < widths[0]


def test_the_first_half_hour_does_not_read_as_never(lamb: Made) -> None:
    for minutes in (0, 15, 30):
        made = forecast(lamb.cook.known_at(minutes * 60.0), minutes * 60.0)
        arrival = made.arrival("core", Milestone.TARGET)
        assert arrival is not None
        assert arrival.probability_never < 0.05


def test_the_same_input_gives_the_same_quantiles(lamb: Made) -> None:
    cook = lamb.until(0.6)
    assert target(cook, 0.6 * lamb.finish_s) == target(cook, 0.6 * lamb.finish_s)


def test_quantiles_never_cross_and_glaze_comes_before_target(lamb: Made) -> None:
    made = forecast(lamb.until(0.4), 0.4 * lamb.finish_s)
    for arrival in made.arrivals:
        values = [v for level in LEVELS if (v := arrival.quantile_s(level)) is not None]
        assert values == sorted(values)
    glaze, done = (made.arrival("core", m) for m in (Milestone.GLAZE, Milestone.TARGET))
    assert glaze is not None and done is not None
    assert np.all(glaze.draws_s <= done.draws_s)
    for fan in made.fans:
        assert np.all(np.diff(fan.temp_c, axis=0) >= 0.0)


def test_what_comes_later_is_not_known(lamb: Made) -> None:
    now = 0.5 * lamb.finish_s
    assert target(lamb.cook, now) == target(lamb.cook.known_at(now), now)


@pytest.mark.parametrize("slip", [("digit", 4.0), ("swapped", None), ("jump", 88.0)])
def test_a_slip_does_not_wreck_it(lamb: Made, slip: tuple[str, float | None]) -> None:
    share = 0.7
    cook = lamb.until(share)
    middle = len(cook.readings) // 2
    reading = cook.readings[middle]
    meat = reading.of("core")
    assert meat is not None
    wrong = slip[1] if slip[1] is not None else reading.pit_c
    pit = meat if slip[0] == "swapped" else reading.pit_c
    assert wrong is not None
    bad = replace(reading, pit_c=pit, meat_c=(("core", wrong),))
    readings = (*cook.readings[:middle], bad, *cook.readings[middle + 1 :])
    slipped = forecast(replace(cook, readings=readings), share * lamb.finish_s)
    clean = target(cook, share * lamb.finish_s)
    arrival = slipped.arrival("core", Milestone.TARGET)
    assert arrival is not None and clean[3] is not None
    assert arrival.quantile_s(0.5) == pytest.approx(clean[3], rel=0.04)
    assert [s.found_c for s in slipped.suspects] == [wrong]


def test_a_slip_in_the_latest_reading_does_not_wreck_it(lamb: Made) -> None:
    share = 0.6
    cook = lamb.until(share)
    last = cook.readings[-1]
    bad = replace(last, meat_c=(("core", 6.0),))
    slipped = target(replace(cook, readings=(*cook.readings[:-1], bad)), share * lamb.finish_s)
    clean = target(cook, share * lamb.finish_s)
    assert clean[3] is not None
    assert slipped[3] == pytest.approx(clean[3], rel=0.08)


def test_a_colder_pit_is_later_and_a_hopeless_one_is_said(lamb: Made) -> None:
    del lamb
    medians = []
    for pit in (150.0, 170.0, 190.0):
        plan = replace(LAMB, pit_c=pit)
        medians.append(target(Cook(plan, (Probe("core", 63.0),)), 0.0)[3])
    assert None not in medians
    assert medians == sorted(medians, reverse=True)  # type: ignore[type-var]
    readings = tuple(
        Reading(t * 900.0, 46.0, (("core", min(4.0 + 4.0 * t, 36.0)),)) for t in range(20)
    )
    cold = forecast(Cook(replace(LAMB, pit_c=45.0), (Probe("core", 63.0),), readings), 17100.0)
    arrival = cold.arrival("core", Milestone.TARGET)
    assert arrival is not None
    assert arrival.probability_never > 0.5


def test_heavier_is_later() -> None:
    medians = [
        target(Cook(replace(LAMB, mass_kg=m), (Probe("core", 63.0),)), 0.0)[3] for m in (1.5, 3.0)
    ]
    assert medians[0] is not None and medians[1] is not None
    assert medians[0] < medians[1]


def test_a_planned_wrap_is_in_the_forecast_and_a_logged_one_ends_evaporation() -> None:
    bare = Cook(SHOULDER, (Probe("core", 93.0),))
    planned = Cook(SHOULDER, (Probe("core", 93.0, wrap_c=70.0),))
    bare_q, planned_q = target(bare, 0.0), target(planned, 0.0)
    assert bare_q[3] is not None and planned_q[3] is not None
    assert planned_q[3] < 0.93 * bare_q[3]
    made = made_cook(SHOULDER, 93.0)
    now = 0.5 * made.finish_s
    known = made.cook.known_at(now)
    wrapped = replace(known, events=(Event(now - 60.0, EventKind.WRAPPED),))
    before, after = target(known, now), target(wrapped, now)
    assert before[3] is not None and after[3] is not None
    assert after[3] < before[3]


def test_a_stall_is_not_never_and_its_end_tightens_the_range() -> None:
    made = made_cook(SHOULDER, 93.0, departures=(0.0, -0.5, 0.7, 0.3, 0.0, 0.0, 0.0))
    assert made.finish_s < 30 * HOUR_S
    widths = []
    for share in (0.35, 0.6, 0.9):
        now = share * made.finish_s
        arrival = forecast(made.cook.known_at(now), now).arrival("core", Milestone.TARGET)
        assert arrival is not None
        assert arrival.probability_never < 0.5
        low, high = arrival.quantile_s(0.05), arrival.quantile_s(0.95)
        assert low is not None and low <= made.finish_s
        assert high is None or high >= made.finish_s
        widths.append((high if high is not None else 60 * HOUR_S) - low)
    assert widths[2] < widths[0]


def test_carryover_rises_and_peaks_after_the_pull(lamb: Made) -> None:
    now = 0.9 * lamb.finish_s
    made = forecast(lamb.cook.known_at(now), now)
    (rest,) = made.rests
    # Lowe, Experimental Cookery: +1 to +5 K for lamb and beef roasts; cookery texts up to +8 K
    assert 63.5 < rest.peak_c < 74.0
    assert rest.peak_c_low <= rest.peak_c <= rest.peak_c_high
    assert rest.pull_c is not None and rest.pull_c < 63.0
    done, rested = (made.arrival("core", m) for m in (Milestone.TARGET, Milestone.RESTED))
    assert done is not None and rested is not None
    done_s, rested_s = done.quantile_s(0.5), rested.quantile_s(0.5)
    assert done_s is not None and rested_s is not None
    assert 2 * 60.0 < rested_s - done_s < 90 * 60.0


def test_after_the_pull_the_target_can_still_be_reached_by_carryover(lamb: Made) -> None:
    short = lamb.cook.known_at(0.93 * lamb.finish_s)
    now = short.readings[-1].elapsed_s
    pulled = replace(short, events=(Event(now, EventKind.PULLED),))
    made = forecast(pulled, now)
    arrival = made.arrival("core", Milestone.TARGET)
    rested = made.arrival("core", Milestone.RESTED)
    assert arrival is not None and rested is not None
    assert arrival.chance_by(now + 2 * HOUR_S) > 0.05
    peak = rested.quantile_s(0.5)
    assert peak is not None and now <= peak < now + 2 * HOUR_S


def test_reached_milestones_say_when(lamb: Made) -> None:
    made = forecast(lamb.cook, lamb.finish_s)
    glaze = made.arrival("core", Milestone.GLAZE)
    assert glaze is not None and glaze.reached_s is not None
    assert glaze.reached_s < lamb.finish_s


def test_two_probes_share_the_fire_not_the_meat(lamb: Made) -> None:
    cook = lamb.until(0.6)
    probes = (Probe("core", 63.0), Probe("shank", 63.0))
    readings = tuple(
        replace(r, meat_c=(*r.meat_c, ("shank", (r.of("core") or 0.0) * 0.8 + 1.0)))
        for r in cook.readings
    )
    made = forecast(replace(cook, probes=probes, readings=readings), 0.6 * lamb.finish_s)
    core, shank = (made.arrival(n, Milestone.TARGET) for n in ("core", "shank"))
    assert core is not None and shank is not None
    first, second = core.quantile_s(0.5), shank.quantile_s(0.5)
    assert first is not None and second is not None and first < second
    finish = made.finish.quantile_s(0.5)
    assert finish is not None and finish >= second * 0.999


def test_staleness_widens_by_itself(lamb: Made) -> None:
    cook = lamb.until(0.5)
    now = 0.5 * lamb.finish_s
    later = target(cook, now + 1800.0)
    at_once = target(cook, now)
    assert None not in later and None not in at_once
    assert later[5] - later[1] >= 0.9 * (at_once[5] - at_once[1])  # type: ignore[operator]


def test_next_look_is_before_the_milestone_and_not_in_the_past(lamb: Made) -> None:
    now = 0.3 * lamb.finish_s
    made = forecast(lamb.cook.known_at(now), now)
    assert made.next_look is not None
    assert now <= made.next_look.elapsed_s <= now + 1.5 * HOUR_S
    glaze = made.arrival("core", Milestone.GLAZE)
    assert glaze is not None
    assert glaze.chance_by(made.next_look.elapsed_s) <= 0.101


def test_bad_plans_are_refused() -> None:
    with pytest.raises(UnknownCut):
        forecast(Cook(Plan("mammoth", 2.0, 150.0), (Probe("a", 60.0),)), 0.0)
    with pytest.raises(InvalidValue):
        forecast(Cook(Plan("other", 2.0, 150.0), (Probe("a", 60.0),)), 0.0)
    with pytest.raises(InvalidValue):
        forecast(Cook(LAMB, ()), 0.0)


def test_it_stops_when_asked(lamb: Made) -> None:
    with pytest.raises(ForecastCancelled):
        forecast(lamb.cook, lamb.finish_s, cancelled=lambda: True)


def test_hindcast_makes_one_forecast_a_reading_time(lamb: Made) -> None:
    made = hindcast(lamb.until(0.3))
    assert [f.now_s for f in made] == [r.elapsed_s for r in lamb.until(0.3).readings]
