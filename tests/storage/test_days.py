"""Planned days: the wish, what was done about the steps, the cooks begun from them."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from storage.errors import InvalidEntry, NoSuchCook, NoSuchDay
from storage.store import Store
from storage.values import SavedDay, SavedStep
from tests.storage.samples import GOOSE, START, at

TICKER = """
import sys
from pathlib import Path
from storage.store import open_store
from tests.storage.samples import NOW, at

store = open_store(Path(sys.argv[1]), now=NOW)
for step in range(20):
    store.days.tick(1, f"{sys.argv[2]} {step:02}", at(step))
    store.days.move(1, "shared", at(step))
store.close()
"""


def test_a_day_comes_back_as_it_was_given(store: Store) -> None:
    assert store.days.in_hand() is None
    day_id = store.days.create("Goose Sunday (invented)", '{"people": 6}', START)
    day = SavedDay(day_id, "Goose Sunday (invented)", '{"people": 6}', (), (), at(0), None)
    assert store.days.get(day_id) == store.days.in_hand() == day
    assert store.days.all() == (day,)
    store.days.change(day_id, "Goose Monday", "{}")
    assert store.days.get(day_id).title == "Goose Monday"
    assert store.days.get(day_id).wish == "{}"


def test_ticks_and_moves_are_kept_apart_and_can_be_taken_back(store: Store) -> None:
    day_id = store.days.create("", "{}", at(0))
    other = store.days.create("", "{}", at(0))
    store.days.move(day_id, "light", at(100))
    store.days.tick(day_id, "light", at(103.5))
    store.days.tick(day_id, "brine", at(20))
    store.days.tick(other, "light", at(1))
    assert store.days.get(day_id).steps == (
        SavedStep("brine", at(20), None),
        SavedStep("light", at(103.5), at(100)),
    )
    store.days.change(day_id, "x", "{}")
    assert len(store.days.get(day_id).steps) == 2
    store.days.tick(day_id, "light", None)
    assert store.days.get(day_id).steps[1] == SavedStep("light", None, at(100))
    store.days.move(day_id, "light", None)
    store.days.tick(day_id, "brine", None)
    store.days.tick(day_id, "never there", None)
    assert store.days.get(day_id).steps == ()
    assert store.days.get(other).steps == (SavedStep("light", at(1), None),)


def test_the_day_in_hand_is_the_newest_one_that_is_not_closed(store: Store) -> None:
    older = store.days.create("older", "{}", at(-100))
    newer = store.days.create("newer", "{}", at(0))
    oldest = store.days.create("oldest", "{}", at(-200))
    assert [day.id for day in store.days.all()] == [newer, older, oldest]
    in_hand = []
    for _ in range(4):
        day = store.days.in_hand()
        in_hand.append(None if day is None else day.id)
        if day is not None:
            store.days.close(day.id, at(10))
    assert in_hand == [newer, older, oldest, None]
    assert store.days.get(older).closed_at == at(10)
    store.days.close(older, None)
    day = store.days.in_hand()
    assert day is not None
    assert (day.id, day.closed_at) == (older, None)


def test_a_day_names_its_cooks_but_not_those_in_the_bin(store: Store, cook_id: int) -> None:
    day_id = store.days.create("", "{}", at(0))
    other = store.create_cook(GOOSE)
    for joined in (other, cook_id, other):
        store.days.join(day_id, joined)
    assert store.days.get(day_id).cook_ids == (cook_id, other)
    store.bin_cook(cook_id, at(1))
    assert store.days.get(day_id).cook_ids == (other,)
    store.unbin_cook(cook_id)
    assert store.days.all()[0].cook_ids == (cook_id, other)


def test_what_is_not_there_is_said_to_be_missing(store: Store, cook_id: int) -> None:
    for day_id in (0, 7, 2**70):
        for act in (
            lambda d=day_id: store.days.get(d),
            lambda d=day_id: store.days.change(d, "", ""),
            lambda d=day_id: store.days.tick(d, "light", at(0)),
            lambda d=day_id: store.days.move(d, "light", None),
            lambda d=day_id: store.days.join(d, cook_id),
            lambda d=day_id: store.days.close(d, at(0)),
        ):
            with pytest.raises(NoSuchDay, match="no day"):
                act()
    with pytest.raises(NoSuchCook, match="no cook 99"):
        store.days.join(store.days.create("", "{}", at(0)), 99)


def test_what_cannot_be_stored_leaves_nothing_behind(store: Store) -> None:
    day_id = store.days.create("", "{}", at(0))
    before = store.days.all()
    naive = datetime(2026, 10, 17, 11, 0)  # noqa: DTZ001
    for act in (
        lambda: store.days.create("\ud83d", "{}", at(0)),
        lambda: store.days.create("", "\ud83d", at(0)),
        lambda: store.days.create("", "{}", naive),
        lambda: store.days.change(day_id, "", "\udc80"),
        lambda: store.days.tick(day_id, "", at(0)),
        lambda: store.days.tick(day_id, "a\nb", at(0)),
        lambda: store.days.tick(day_id, "light", naive),
        lambda: store.days.move(day_id, "light", naive),
        lambda: store.days.close(day_id, naive),
    ):
        with pytest.raises(InvalidEntry, match="allowed is"):
            act()
    assert store.days.all() == before


def test_two_processes_tick_the_steps_of_one_day(store: Store) -> None:
    assert store.days.create("", "{}", at(0)) == 1
    seen = store.change_token()
    command = [sys.executable, "-c", TICKER, str(store.path)]
    tickers = [
        subprocess.Popen([*command, name], stderr=subprocess.PIPE, text=True, cwd=Path.cwd())
        for name in ("a", "b")
    ]
    for ticker in tickers:
        _, errors = ticker.communicate(timeout=120)
        assert (ticker.returncode, errors) == (0, "")
    assert store.change_token() != seen
    steps = {step.key: step for step in store.days.get(1).steps}
    assert len(steps) == 41
    assert steps["shared"] == SavedStep("shared", None, at(19))
    assert steps["b 07"].ticked_at == at(7)
