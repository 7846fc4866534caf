"""Commit is on purpose, everything else rolls back; threads take turns; closing waits."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import func, select, text
from sqlalchemy.exc import IntegrityError

from core.cook import EventKind
from storage.errors import DiskFull, FileTrouble, StorageError
from storage.rows import EventRow, LineRow
from storage.store import Store, open_store
from storage.unit_of_work import DataFile
from tests.storage.samples import NOW, at, happened, typed


def _add_rows(file: DataFile, cook_id: int, *, commit: bool, fail: bool = False) -> None:
    with file.write() as session:
        line = LineRow(cook_id=cook_id, text="x", typed_us=0, at_us=0, deleted=False)
        session.add(line)
        session.flush()
        session.add(EventRow(line_id=line.id, elapsed_s=0.0, kind="note", note="x"))
        session.flush()
        if fail:
            raise KeyError("something else went wrong")
        if commit:
            session.commit()


@pytest.fixture
def file(store: Store) -> DataFile:
    """The store's own file."""
    return store._file


def _counts(file: DataFile) -> list[int | None]:
    with file.read() as session:
        tables = (LineRow, EventRow)
        return [session.scalar(select(func.count()).select_from(table)) for table in tables]


def test_only_a_commit_keeps_anything(file: DataFile, cook_id: int) -> None:
    _add_rows(file, cook_id, commit=False)
    assert _counts(file) == [0, 0]
    with pytest.raises(KeyError):
        _add_rows(file, cook_id, commit=True, fail=True)
    assert _counts(file) == [0, 0]
    _add_rows(file, cook_id, commit=True)
    assert _counts(file) == [1, 1]


def test_foreign_keys_are_on(file: DataFile) -> None:
    with pytest.raises(StorageError) as caught:
        _add_rows(file, 999, commit=True)
    assert isinstance(caught.value.__cause__, IntegrityError)


@pytest.mark.parametrize(
    ("pragma", "expected"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),  # FULL, https://sqlite.org/pragma.html#pragma_synchronous
        ("foreign_keys", 1),
        ("busy_timeout", 30000),
        ("trusted_schema", 0),
    ],
)
def test_every_connection_is_prepared(file: DataFile, pragma: str, expected: object) -> None:
    with file.read() as session:
        assert session.scalar(text(f"PRAGMA {pragma}")) == expected


def test_a_reader_sees_one_state_while_a_writer_commits(file: DataFile, cook_id: int) -> None:
    with file.read() as session:
        count = select(func.count()).select_from(LineRow)
        before = session.scalar(count)
        _add_rows(file, cook_id, commit=True)
        assert session.scalar(count) == before == 0
    assert _counts(file) == [1, 1]


def test_threads_take_turns(store: Store, cook_id: int) -> None:
    def work(number: int) -> list[int]:
        return [
            store.add_line(cook_id, **typed(number * 100 + step, thigh=20.0)).id
            for step in range(10)
        ]

    with ThreadPoolExecutor(6) as pool:
        ids = [line_id for found in pool.map(work, range(6)) for line_id in found]
    assert len(set(ids)) == 60
    saved = store.cook(cook_id)
    assert {line.id for line in saved.lines} == set(ids)
    assert len(saved.cook.readings) == 60


def test_no_space_is_said_and_the_next_line_works(store: Store, cook_id: int) -> None:
    kept = store.add_line(cook_id, **typed(1, thigh=5.0))
    with pytest.raises(DiskFull, match="no space left"), store._file.write() as session:
        session.execute(text("PRAGMA max_page_count=1"))
        for _ in range(2000):
            session.add(
                LineRow(cook_id=cook_id, text="x" * 900, typed_us=0, at_us=0, deleted=False)
            )
            session.flush()
    assert store.cook(cook_id).lines == (kept,)
    with store._file.read() as session:
        session.execute(text("PRAGMA max_page_count=1000000"))
    store.add_line(cook_id, **typed(2, thigh=6.0))
    assert len(store.cook(cook_id).lines) == 2


def test_the_token_changes_with_each_commit_and_not_without(path: Path, store: Store) -> None:
    from tests.storage.samples import GOOSE

    other = open_store(path, now=NOW)
    seen = store.change_token()
    assert store.change_token() == seen
    for act in (
        lambda: store.create_cook(GOOSE),
        lambda: other.add_line(1, **typed(1, thigh=5.0)),
        lambda: store.add_line(1, **happened(2, EventKind.LID_OPEN)),
        lambda: other.undo(1),
        lambda: store.end_cook(1, at(9)),
    ):
        act()
        assert store.change_token() != seen
        seen = store.change_token()
    store.cook(1)
    store.cooks()
    assert store.undo(1) is not None
    seen = store.change_token()
    store.undo(1)  # nothing is left to take back
    assert store.change_token() == seen
    other.close()


def test_closing_waits_for_the_unit_of_work_at_hand(path: Path) -> None:
    store = open_store(path, now=NOW)
    inside, go_on, order = threading.Event(), threading.Event(), []

    def slow() -> None:
        with store._file.write() as session:
            inside.set()
            go_on.wait(10)
            session.commit()
            order.append("committed")

    def close() -> None:
        store.close()
        order.append("closed")

    worker, closer = threading.Thread(target=slow), threading.Thread(target=close)
    worker.start()
    inside.wait(10)
    closer.start()
    go_on.set()
    worker.join(10)
    closer.join(10)
    assert order == ["committed", "closed"]


def test_a_closed_store_says_so(path: Path) -> None:
    store = open_store(path, now=NOW)
    store.close()
    store.close()
    for act in (store.cooks, store.change_token):
        with pytest.raises(FileTrouble):
            act()
    assert not path.with_name(path.name + "-wal").exists()
