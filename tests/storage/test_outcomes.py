"""Outcomes, and the stamp that says whether something about a cook has changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from core.cook import EventKind, Probe
from core.units import MassUnit, TemperatureUnit
from storage.errors import InvalidEntry, NoSuchCook
from storage.store import Store
from storage.values import Outcome
from tests.storage.samples import GOOSE, START, at, happened, typed

FULL = Outcome(5, 1, 3, None, "juicy\nat the bone; <b>ü</b>", "less 'smoke'", "apple, oak")


def stamp(store: Store, cook_id: int) -> str:
    """Stamp of a cook, the same in the list and on the cook."""
    (found,) = (summary.stamp for summary in store.cooks() if summary.id == cook_id)
    assert store.cook(cook_id).stamp == found
    return found


def test_an_outcome_comes_back_as_it_was_given(store: Store, cook_id: int) -> None:
    assert store.outcomes.of(cook_id) is None
    assert store.outcomes.all() == {}
    for outcome in (FULL, Outcome(words="good"), Outcome(smoke=2)):
        store.outcomes.save(cook_id, outcome)
        assert store.outcomes.of(cook_id) == outcome
        assert store.outcomes.all() == {cook_id: outcome}


def test_an_empty_outcome_takes_it_away(store: Store, cook_id: int) -> None:
    store.outcomes.save(cook_id, Outcome())
    assert store.outcomes.of(cook_id) is None
    store.outcomes.save(cook_id, FULL)
    store.outcomes.save(cook_id, Outcome())
    assert store.outcomes.of(cook_id) is None
    assert store.outcomes.all() == {}


def test_the_outcome_of_a_cook_in_the_bin_is_not_listed_but_kept(
    store: Store, cook_id: int
) -> None:
    store.outcomes.save(cook_id, FULL)
    store.bin_cook(cook_id, at(400))
    assert store.outcomes.all() == {}
    assert [summary.id for summary in store.cooks(binned=True)] == [cook_id]
    assert store.cooks() == ()
    store.unbin_cook(cook_id)
    assert store.outcomes.all() == {cook_id: FULL}
    assert store.cooks(binned=True) == ()


@pytest.mark.parametrize(
    "bad",
    [
        Outcome(tender=0),
        Outcome(juicy=6),
        Outcome(skin=True),
        Outcome(smoke=2.5),  # type: ignore[arg-type]
        Outcome(words="\ud83d"),
        Outcome(wood="\udc80"),
    ],
    ids=repr,
)
def test_an_outcome_that_cannot_be_stored_changes_nothing(
    store: Store, cook_id: int, bad: Outcome
) -> None:
    store.outcomes.save(cook_id, FULL)
    before = stamp(store, cook_id)
    with pytest.raises(InvalidEntry, match="allowed is"):
        store.outcomes.save(cook_id, bad)
    assert store.outcomes.of(cook_id) == FULL
    assert stamp(store, cook_id) == before


def test_a_missing_cook_has_no_outcome(store: Store) -> None:
    for act in (lambda: store.outcomes.of(7), lambda: store.outcomes.save(7, FULL)):
        with pytest.raises(NoSuchCook, match="no cook 7"):
            act()


CHANGES: dict[str, Callable[[Store, int, int], object]] = {
    "a line": lambda store, cook, line: store.add_line(cook, **typed(9, thigh=9.0)),
    "an event": lambda store, cook, line: store.add_line(cook, **happened(9, EventKind.VENTS)),
    "a correction": lambda store, cook, line: store.correct_line(line, **typed(1, thigh=6.0)),
    "a deletion": lambda store, cook, line: store.delete_line(line),
    "undo": lambda store, cook, line: store.undo(cook),
    "the plan": lambda store, cook, line: store.change_plan(
        cook, replace(GOOSE.plan, pit_c=140.0), GOOSE.probes
    ),
    "a probe": lambda store, cook, line: store.change_plan(
        cook, GOOSE.plan, (*GOOSE.probes, Probe("wing", 80.0))
    ),
    "the start": lambda store, cook, line: store.change_start(cook, START.replace(minute=7)),
    "the end": lambda store, cook, line: store.end_cook(cook, at(300)),
    "taken up again": lambda store, cook, line: store.reopen_cook(cook),
    "the outcome": lambda store, cook, line: store.outcomes.save(cook, FULL),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_the_stamp_changes_with_the_cook_and_only_with_that_one(
    store: Store, cook_id: int, change: Callable[[Store, int, int], object]
) -> None:
    line = store.add_line(cook_id, **typed(1, thigh=5.0))
    other = store.create_cook(GOOSE)
    before, others = stamp(store, cook_id), stamp(store, other)
    change(store, cook_id, line.id)
    assert stamp(store, cook_id) != before
    assert stamp(store, other) == others


def test_a_restored_line_gives_another_stamp_each_time(store: Store, cook_id: int) -> None:
    line = store.add_line(cook_id, **typed(1, thigh=5.0))
    seen = {stamp(store, cook_id)}
    for act in (store.delete_line, store.restore_line) * 2:
        act(line.id)
        seen.add(stamp(store, cook_id))
    assert len(seen) == 5


def test_the_stamp_stays_when_nothing_of_the_cook_has_changed(store: Store, cook_id: int) -> None:
    line = store.add_line(cook_id, **typed(1, thigh=5.0))
    store.delete_line(line.id)
    before = stamp(store, cook_id)
    store.delete_line(line.id)
    assert store.undo(cook_id) is None
    store.change_title(cook_id, "Another title")
    store.change_units(cook_id, TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    store.bin_cook(cook_id, at(10))
    store.unbin_cook(cook_id)
    store.derived.put(cook_id, "evidence:1", before, "{}")
    assert stamp(store, cook_id) == before
