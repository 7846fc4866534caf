"""What was computed from cooks, and settings."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from storage.errors import InvalidEntry, NoSuchCook
from storage.store import Store
from tests.storage.samples import GOOSE

TABLES = ("outcome", "mix", "day_step", "day_cook", "derived")


def test_the_last_payload_of_each_kind_counts(store: Store, cook_id: int) -> None:
    other = store.create_cook(GOOSE)
    store.derived.put(cook_id, "evidence:1", "0", '{"x": 1}')
    store.derived.put(cook_id, "evidence:1", "3", '{"x": "ü"}')
    store.derived.put(cook_id, "pit:1", "3", "[]")
    store.derived.put(other, "evidence:1", "0", "")
    assert store.derived.all("evidence:1") == {cook_id: ("3", '{"x": "ü"}'), other: ("0", "")}
    assert store.derived.all("pit:1") == {cook_id: ("3", "[]")}
    assert store.derived.all("evidence:2") == {}


def test_nothing_is_kept_for_a_cook_that_is_not_there(store: Store) -> None:
    with pytest.raises(NoSuchCook, match="no cook 7"):
        store.derived.put(7, "evidence:1", "0", "{}")
    assert store.derived.all("evidence:1") == {}


def test_a_setting_is_chosen_changed_and_given_up(store: Store) -> None:
    assert store.settings.get("learning") is None
    for value in ("off", "", "on"):
        store.settings.set("learning", value)
        assert store.settings.get("learning") == value
    store.settings.set("learning", None)
    store.settings.set("never chosen", None)
    assert store.settings.get("learning") is None


def test_what_cannot_be_stored_leaves_nothing_behind(store: Store, cook_id: int) -> None:
    for act in (
        lambda: store.derived.put(cook_id, "", "0", "{}"),
        lambda: store.derived.put(cook_id, "evidence:1", "0", "\ud83d"),
        lambda: store.derived.put(cook_id, "evidence:1", "\ud83d", "{}"),
        lambda: store.settings.set("", "on"),
        lambda: store.settings.set("learning", "\ud83d"),
    ):
        with pytest.raises(InvalidEntry, match="allowed is"):
            act()
    assert store.derived.all("evidence:1") == {}
    assert store.settings.get("learning") is None


@pytest.mark.parametrize("table", TABLES)
def test_nothing_can_belong_to_a_cook_or_a_day_that_is_not_there(store: Store, table: str) -> None:
    with closing(sqlite3.connect(store.path)) as connection:
        owners = {row[2] for row in connection.execute(f"PRAGMA foreign_key_list({table})")}
    assert owners <= {"cook", "day"}
    assert owners
