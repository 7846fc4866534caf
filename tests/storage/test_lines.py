"""Lines: one unit of work each, nothing ever erased."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from core.cook import Event, EventKind, Reading
from storage.errors import InvalidEntry, LineNotLive, NoSuchCook, NoSuchLine
from storage.store import Store, open_store
from tests.storage.samples import GOOSE, NOW, START, at, happened, reading, typed


def test_a_line_comes_back_as_it_was_given(store: Store, cook_id: int) -> None:
    given = typed(21.5, 152.0, thigh=9.4, breast=11.0)
    given["events"] = (Event(1290.0, EventKind.LID_OPEN, ""), Event(1291.0, EventKind.NOTE, "fat"))
    saved = store.add_line(cook_id, **given)
    assert saved.text == "152.0 thigh 9.4 breast 11.0"
    assert (saved.typed_at, saved.at) == (at(22), at(21.5))
    assert saved.readings == (reading(21.5, 152.0, thigh=9.4, breast=11.0),)
    assert saved.events == given["events"]
    assert saved.live
    assert store.cook(cook_id).lines == (saved,)


def test_what_was_saved_is_there_after_reopening(path: Path) -> None:
    first = open_store(path, now=NOW)
    cook_id = first.create_cook(GOOSE)
    saved = first.add_line(cook_id, **typed(10, thigh=6.25))
    first.close()
    second = open_store(path, now=NOW)
    assert second.cook(cook_id).lines == (saved,)
    assert second.cook(cook_id).started_at == START
    second.close()


def test_one_line_may_hold_many_readings_and_keeps_the_order_of_probes(
    store: Store, cook_id: int
) -> None:
    swapped = Reading(60.0, None, (("breast", 5.0), ("thigh", 6.0)))
    saved = store.add_line(cook_id, **{**typed(1), "readings": (swapped, reading(2, 150.0))})
    assert saved.readings[0].meat_c == (("thigh", 6.0), ("breast", 5.0))
    assert saved.readings[1].meat_c == ()


def test_lines_come_in_the_order_of_the_time_they_speak_of(store: Store, cook_id: int) -> None:
    late = store.add_line(cook_id, **typed(40, thigh=20.0))
    early = store.add_line(cook_id, **typed(20, thigh=12.0))
    same = store.add_line(cook_id, **typed(40, thigh=20.5))
    saved = store.cook(cook_id)
    assert [line.id for line in saved.lines] == [early.id, late.id, same.id]
    assert [r.of("thigh") for r in saved.cook.readings] == [12.0, 20.0, 20.5]


def test_a_correction_keeps_the_original_beside_it(store: Store, cook_id: int) -> None:
    wrong = store.add_line(cook_id, **typed(30, thigh=91.0))
    right = store.correct_line(wrong.id, **typed(30, thigh=19.0))
    assert right.replaces_id == wrong.id
    saved = store.cook(cook_id)
    assert [line.text for line in saved.lines] == [wrong.text, right.text]
    assert saved.lines[0] == replace(wrong, replaced_by_id=right.id)
    assert [r.of("thigh") for r in saved.cook.readings] == [19.0]


def test_undo_takes_back_the_line_accepted_last(store: Store, cook_id: int) -> None:
    late = store.add_line(cook_id, **typed(40, thigh=20.0))
    early = store.add_line(cook_id, **typed(20, thigh=12.0))
    assert store.undo(cook_id) == replace(early, deleted=True)
    assert store.undo(cook_id) == replace(late, deleted=True)
    assert store.undo(cook_id) is None
    assert len(store.cook(cook_id).lines) == 2


def test_undo_of_a_correction_brings_the_original_back(store: Store, cook_id: int) -> None:
    first = store.add_line(cook_id, **typed(30, thigh=19.0))
    second = store.correct_line(first.id, **typed(30, thigh=29.0))
    third = store.correct_line(second.id, **typed(30, thigh=39.0))
    for expected, taken in ((29.0, third), (19.0, second)):
        undone = store.undo(cook_id)
        assert undone is not None
        assert undone.id == taken.id
        assert [r.of("thigh") for r in store.cook(cook_id).cook.readings] == [expected]
    assert store.undo(cook_id) is not None
    assert store.cook(cook_id).cook.readings == ()


def test_a_deleted_correction_does_not_bring_the_original_back(store: Store, cook_id: int) -> None:
    first = store.add_line(cook_id, **typed(30, thigh=19.0))
    second = store.correct_line(first.id, **typed(30, thigh=29.0))
    store.delete_line(second.id)
    assert store.cook(cook_id).cook.readings == ()
    store.restore_line(second.id)
    assert [r.of("thigh") for r in store.cook(cook_id).cook.readings] == [29.0]


def test_delete_and_restore(store: Store, cook_id: int) -> None:
    line = store.add_line(cook_id, **typed(30, thigh=19.0))
    store.delete_line(line.id)
    store.delete_line(line.id)
    assert store.cook(cook_id).cook.readings == ()
    assert store.cook(cook_id).lines == (replace(line, deleted=True),)
    store.restore_line(line.id)
    store.restore_line(line.id)
    assert store.cook(cook_id).lines == (line,)


def test_restoring_an_undone_correction_puts_it_in_place_again(store: Store, cook_id: int) -> None:
    first = store.add_line(cook_id, **typed(30, thigh=19.0))
    second = store.correct_line(first.id, **typed(30, thigh=29.0))
    store.undo(cook_id)
    store.restore_line(second.id)
    assert [r.of("thigh") for r in store.cook(cook_id).cook.readings] == [29.0]
    assert store.cook(cook_id).lines[0].replaced_by_id == second.id


def test_restoring_is_refused_when_another_correction_came_between(
    store: Store, cook_id: int
) -> None:
    first = store.add_line(cook_id, **typed(30, thigh=19.0))
    second = store.correct_line(first.id, **typed(30, thigh=29.0))
    store.undo(cook_id)
    third = store.correct_line(first.id, **typed(30, thigh=39.0))
    with pytest.raises(LineNotLive, match=f"corrected by line {third.id}"):
        store.restore_line(second.id)
    assert [r.of("thigh") for r in store.cook(cook_id).cook.readings] == [39.0]


def test_a_line_that_another_screen_changed_is_not_changed_again(
    store: Store, cook_id: int
) -> None:
    corrected = store.add_line(cook_id, **typed(30, thigh=19.0))
    store.correct_line(corrected.id, **typed(30, thigh=20.0))
    deleted = store.add_line(cook_id, **typed(31, thigh=19.0))
    store.delete_line(deleted.id)
    before = store.cook(cook_id)
    for line_id in (corrected.id, deleted.id):
        with pytest.raises(LineNotLive):
            store.correct_line(line_id, **typed(30, thigh=25.0))
    with pytest.raises(LineNotLive):
        store.delete_line(corrected.id)
    assert store.cook(cook_id) == before


def test_ids_are_never_used_twice(store: Store, cook_id: int) -> None:
    ids = set()
    for minute in range(5):
        ids.add(store.add_line(cook_id, **typed(minute)).id)
        store.undo(cook_id)
    assert len(ids) == 5


@pytest.mark.parametrize("number", [0, -1, 99, 2**63, 10**40])
def test_unknown_ids(store: Store, cook_id: int, number: int) -> None:
    with pytest.raises(NoSuchCook, match=str(number)):
        store.add_line(number, **typed(1))
    with pytest.raises(NoSuchCook):
        store.undo(number)
    for change in (store.delete_line, store.restore_line):
        with pytest.raises(NoSuchLine, match=str(number)):
            change(number)
    with pytest.raises(NoSuchLine):
        store.correct_line(number, **typed(1))


NAN = float("nan")
BAD_LINES = {
    "a probe that is not there": typed(1, wing=20.0),
    "a probe twice": {**typed(1), "readings": (Reading(1.0, None, (("thigh", 1.0),) * 2),)},
    "not a number": typed(1, NAN),
    "not a number from a probe": typed(1, thigh=NAN),
    "infinite": typed(1, float("inf")),
    "hotter than any pit": typed(1, 601.0),
    "colder than any meat": typed(1, thigh=-41.0),
    "time not a number": {**typed(1), "readings": (Reading(NAN, 150.0),)},
    "a year late": {**typed(1), "readings": (reading(525600, 150.0),)},
    "event a year late": happened(525600, EventKind.NOTE),
    "half a character": happened(1, EventKind.NOTE, "\ud800"),
    "half a character in the line": {**typed(1), "text": "\udcff"},
    "no zone": {**typed(1), "at": at(1).replace(tzinfo=None)},
    "the far future": {**typed(1), "typed_at": at(1).replace(year=9999)},
}


@pytest.mark.parametrize("line", BAD_LINES.values(), ids=BAD_LINES.keys())
def test_what_cannot_be_stored_leaves_nothing_behind(
    store: Store, cook_id: int, line: dict[str, object]
) -> None:
    good = store.add_line(cook_id, **typed(5, thigh=8.0))
    with pytest.raises(InvalidEntry, match="nothing was saved"):
        store.add_line(cook_id, **line)  # type: ignore[arg-type]
    with pytest.raises(InvalidEntry):
        store.correct_line(good.id, **line)  # type: ignore[arg-type]
    assert store.cook(cook_id).lines == (good,)


TEXTS = ["", "\x00 nul", "\x1b[31mred", "[b]x[/b]", "'; DROP TABLE line;--", "\u202egnp.exe",
         "ü 火 \U0001f525", "x" * 1_000_000]  # fmt: skip


@pytest.mark.parametrize("note", TEXTS)
def test_any_text_comes_back_unchanged(store: Store, cook_id: int, note: str) -> None:
    store.add_line(cook_id, **happened(3, EventKind.NOTE, note))
    (line,) = store.cook(cook_id).lines
    assert line.events[0].note == note
