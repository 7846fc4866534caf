"""Why one cook took longer: swaps against cooks of the model with known differences."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from core.compare import MEMBERS, Input, NotComparable, difference, done_s, fit_past
from core.cook import Cook, Event, EventKind, Plan, Probe, Reading
from tests.core.cooks import Made, made_cook

TARGET_C = 63.0


def _pulled(made: Made) -> Cook:
    """The cook with a last reading at its target, and pulled a minute later."""
    cook = made.cook
    last = Reading(made.finish_s, None, (("core", TARGET_C),))
    pull = Event(made.finish_s + 60.0, EventKind.PULLED)
    return replace(cook, readings=(*cook.readings, last), events=(*cook.events, pull))


@cache
def _lamb(mass_kg: float = 2.0, pit_c: float = 150.0, seed: int = 1) -> Made:
    return made_cook(Plan("leg_of_lamb", mass_kg, 150.0), TARGET_C, pit_c=pit_c, seed=seed)


def test_a_colder_pit_alone_explains_the_whole_difference() -> None:
    usual, cold = _lamb(), _lamb(pit_c=140.0, seed=3)
    found = difference(fit_past(_pulled(usual)), fit_past(_pulled(cold)))
    assert found is not None
    truth_s = cold.finish_s - usual.finish_s
    assert found.real_s == pytest.approx(truth_s, abs=20.0)
    assert found.effects[0].input is Input.PIT
    assert found.effect(Input.PIT).mean_s == pytest.approx(truth_s, abs=180.0)
    assert abs(found.unexplained_s) < 180.0
    assert found.effect(Input.PIT).low_s <= truth_s <= found.effect(Input.PIT).high_s


def test_weight_and_pit_each_get_their_own_minutes() -> None:
    # the truth of each alone is known: the same model cooks them
    usual, both = _lamb(), _lamb(2.6, 140.0, seed=2)
    heavier_s = _lamb(2.6).finish_s - usual.finish_s
    colder_s = _lamb(pit_c=140.0).finish_s - usual.finish_s
    found = difference(fit_past(_pulled(usual)), fit_past(_pulled(both)))
    assert found is not None
    assert found.effect(Input.PIECE).mean_s == pytest.approx(heavier_s, abs=240.0)
    assert found.effect(Input.PIT).mean_s == pytest.approx(colder_s, abs=240.0)


def test_all_parts_add_up_to_the_real_difference() -> None:
    found = difference(fit_past(_pulled(_lamb())), fit_past(_pulled(_lamb(2.6, 140.0, seed=2))))
    assert found is not None
    parts = sum(effect.mean_s for effect in found.effects)
    assert parts + found.together_s + found.unexplained_s == pytest.approx(found.real_s)


def test_a_cook_does_not_differ_from_itself() -> None:
    fitted = fit_past(_pulled(_lamb()))
    found = difference(fitted, fitted)
    assert found is not None
    assert found.real_s == found.together_s == found.unexplained_s == 0.0
    assert all(effect.mean_s == effect.low_s == effect.high_s == 0.0 for effect in found.effects)


def test_the_other_way_round_everything_changes_its_sign() -> None:
    first, second = fit_past(_pulled(_lamb())), fit_past(_pulled(_lamb(2.6, 140.0, seed=2)))
    there, back = difference(first, second), difference(second, first)
    assert there is not None and back is not None
    for which in Input:
        assert back.effect(which).mean_s == pytest.approx(-there.effect(which).mean_s, abs=1e-6)
    assert back.unexplained_s == pytest.approx(-there.unexplained_s, abs=1e-6)


def test_a_wrap_and_a_lower_target_make_it_sooner_and_lids_later() -> None:
    plan = Plan("pork_shoulder", 3.0, 130.0)
    bare = made_cook(plan, 85.0, every_s=1800.0)
    wrapped = made_cook(plan, 85.0, every_s=1800.0, wrap_at_s=4 * 3600.0, seed=2)
    cooks = []
    for made, lids in ((bare, ()), (wrapped, (3600.0, 7200.0, 10800.0))):
        last = Reading(made.finish_s, None, (("core", 85.0),))
        opened = tuple(Event(at, EventKind.LID_OPEN) for at in lids)
        events = (*made.cook.events, *opened)
        cooks.append(replace(made.cook, readings=(*made.cook.readings, last), events=events))
    found = difference(*(fit_past(cook) for cook in cooks))
    assert found is not None
    assert found.effect(Input.WRAP).mean_s < -1800.0
    assert found.effect(Input.LIDS).mean_s > 60.0
    assert found.effect(Input.TARGET).mean_s == 0.0


def test_one_pulled_under_its_target_counts_as_done_where_it_was_pulled() -> None:
    made = _lamb()
    early = made.cook.known_at(0.8 * made.finish_s)
    at_s, temp_c = early.readings[-1].elapsed_s, early.readings[-1].of("core")
    cook = replace(early, events=(Event(at_s, EventKind.PULLED),))
    fitted = fit_past(cook)
    assert (fitted.finish_s, fitted.probe.target_c) == (at_s, temp_c)
    assert done_s(cook, cook.probes[0]) is None


def test_what_cannot_be_compared_says_why() -> None:
    made = _lamb()
    with pytest.raises(NotComparable, match="no probe"):
        fit_past(replace(made.cook, probes=()))
    with pytest.raises(NotComparable, match="never showed its target"):
        fit_past(made.cook.known_at(0.5 * made.finish_s))
    few = Cook(
        made.cook.plan,
        (Probe("core", TARGET_C),),
        (Reading(0.0, 150.0, (("core", 4.0),)), Reading(7000.0, 150.0, (("core", 64.0),))),
    )
    with pytest.raises(NotComparable, match="2 readings of one probe, 4 are needed"):
        fit_past(few)


def test_done_is_read_off_between_two_readings() -> None:
    # 60 °C at 100 min, 70 °C at 120 min: 65 °C at 110 min (less the touch of 0.05 K)
    cook = Cook(
        Plan("leg_of_lamb", 2.0, 150.0),
        (Probe("core", 65.0),),
        (Reading(6000.0, None, (("core", 60.0),)), Reading(7200.0, None, (("core", 70.0),))),
    )
    assert done_s(cook, cook.probes[0]) == pytest.approx(6600.0, abs=7.0)
    assert MEMBERS >= 40
