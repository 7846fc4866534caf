"""The figures of a past cook against cooks whose course is known."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from core.review import (
    REVISIONS_MAX,
    figures,
    finish_s,
    planned_off_s,
    revisions,
)
from tests.core.cooks import made_cook

PLAN = Plan("leg_of_lamb", 2.0, 150.0, serve_s=3.5 * 3600.0, rest_s=1200.0)
MADE = made_cook(PLAN, 63.0)
LAST = Reading(MADE.finish_s, None, (("core", 63.0),))
PULLED_S = MADE.finish_s + 300.0
DONE = replace(
    MADE.cook,
    readings=(*MADE.cook.readings, LAST),
    events=(Event(PULLED_S, EventKind.PULLED),),
)


def test_plan_and_truth() -> None:
    found = figures(DONE)
    # the meal at 3:30 less 20 min of rest
    assert found.planned_s == pytest.approx(3.5 * 3600.0 - 1200.0)
    assert found.took_s == PULLED_S
    assert found.late_s == pytest.approx(PULLED_S - (3.5 * 3600.0 - 1200.0))
    assert found.finish_s == pytest.approx(MADE.finish_s, abs=30.0)
    assert found.half_s == pytest.approx(0.5 * MADE.finish_s, abs=15.0)


def test_a_usual_rest_is_taken_where_none_is_planned() -> None:
    # the catalogue's rest of a leg of lamb: 20 min
    assert planned_off_s(replace(DONE, plan=replace(PLAN, rest_s=None))) == pytest.approx(11400.0)
    assert planned_off_s(replace(DONE, plan=replace(PLAN, serve_s=None))) is None


def test_the_forecast_at_half_time_is_off_by_its_distance_to_the_truth() -> None:
    found = figures(DONE)
    assert found.half is not None and found.half.middle_s is not None
    assert found.half_miss_s == pytest.approx(found.half.middle_s - found.finish_s)  # type: ignore[operator]
    # a cook of the model itself is forecast well
    assert abs(found.half_miss_s or 9e9) < 0.1 * MADE.finish_s


def test_a_cold_fire_is_what_holds_it_back() -> None:
    cold = made_cook(PLAN, 63.0, pit_c=135.0, seed=4)
    cook = replace(
        cold.cook, readings=(*cold.cook.readings, replace(LAST, elapsed_s=cold.finish_s))
    )
    found = figures(cook)
    assert found.holdback is not None
    later_s = cold.finish_s - MADE.finish_s
    assert found.holdback.fire_s == pytest.approx(later_s, rel=0.35)
    assert found.took_s == found.finish_s, "without a pull it is done when it is done"


def test_a_cook_that_never_got_there_has_no_finish_and_no_half_time() -> None:
    found = figures(MADE.cook.known_at(0.6 * MADE.finish_s))
    assert (found.took_s, found.finish_s, found.half_s, found.half) == (None,) * 4
    assert found.half_miss_s is None and found.late_s is None
    assert found.expected is not None


def test_the_last_of_two_probes_decides() -> None:
    probes = (Probe("near", 60.0), Probe("far", 60.0))
    readings = (
        Reading(0.0, 150.0, (("near", 5.0), ("far", 5.0))),
        Reading(3600.0, 150.0, (("near", 50.0), ("far", 40.0))),
        Reading(5400.0, 150.0, (("near", 62.0), ("far", 52.0))),
        Reading(7200.0, 150.0, (("near", 68.0), ("far", 62.0))),
    )
    cook = Cook(PLAN, probes, readings)
    # far: 52 at 90 min, 62 at 120 min: 60 at 114 min
    assert finish_s(cook) == pytest.approx(6840.0, abs=20.0)
    assert finish_s(cook.known_at(5400.0)) is None


def test_without_a_probe_there_are_only_the_pit_and_the_clock() -> None:
    cook = Cook(PLAN, (), (Reading(0.0, 150.0), Reading(3600.0, 140.0)), DONE.events)
    found = figures(cook)
    assert found.expected is None and found.holdback is None and found.finish_s is None
    assert found.took_s == PULLED_S
    assert found.pit.mean_c == pytest.approx(145.0)
    assert revisions(cook) == ()


def test_revisions_begin_with_the_plan_and_end_before_the_finish() -> None:
    found = revisions(DONE)
    assert found[0].at_s == 0.0
    assert all(a.at_s < b.at_s for a, b in pairwise(found))
    assert found[-1].at_s < MADE.finish_s
    widths = [one.quantiles_s[4] - one.quantiles_s[0] for one in found]  # type: ignore[operator]
    assert widths[-1] < 0.3 * widths[0], "it knows more at the end"


def test_many_readings_are_thinned() -> None:
    many = made_cook(PLAN, 63.0, every_s=60.0)
    assert len(many.cook.readings) > 2 * REVISIONS_MAX
    assert len(revisions(many.cook.known_at(0.9 * many.finish_s))) <= REVISIONS_MAX
