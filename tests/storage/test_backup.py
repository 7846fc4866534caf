"""Copies that hold together, bounded in number."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from storage.backup import KEPT, backup, backup_folder, daily_backup, daily_backups, verify
from storage.errors import DamagedFile, DiskFull, FileError, NotWritable
from storage.store import Store, open_store
from tests.storage.samples import GOOSE, NOW, filled, typed


def test_a_copy_holds_what_is_committed_while_the_file_is_open(
    store: Store, cook_id: int, tmp_path: Path
) -> None:
    store.add_line(cook_id, **typed(1, thigh=5.0))
    with store._file.write():  # another one is writing
        copy = backup(store.path, tmp_path / "copies" / "one.sqlite3")
    assert verify(copy) == ()
    assert {file.name for file in copy.parent.iterdir()} == {"one.sqlite3"}
    opened = open_store(copy, now=NOW)
    assert opened.cook(cook_id) == store.cook(cook_id)
    opened.close()


def test_a_damaged_file_never_replaces_a_good_copy(
    store: Store, cook_id: int, tmp_path: Path
) -> None:
    store.add_line(cook_id, **filled())
    copy = backup(store.path, tmp_path / "copy.sqlite3")
    good = copy.read_bytes()
    store.close()
    data = bytearray(store.path.read_bytes())
    data[-4096 * 3 : -4096] = b"\x5a" * 8192
    store.path.write_bytes(bytes(data))
    assert verify(store.path) != ()
    with pytest.raises(DamagedFile):
        backup(store.path, copy)
    assert copy.read_bytes() == good
    assert list(tmp_path.glob("*.part")) == []


def test_verify_finds_rows_without_their_owner(store: Store, cook_id: int) -> None:
    store.add_line(cook_id, **typed(1, thigh=5.0))
    assert verify(store.path) == ()
    with closing(sqlite3.connect(store.path)) as connection:
        connection.execute("DELETE FROM cook")
        connection.commit()
    assert verify(store.path) == ("3 rows have lost their owner",)


def test_verify_says_what_is_no_data_file_at_all(tmp_path: Path) -> None:
    path = tmp_path / "x.sqlite3"
    path.write_text("dear diary " * 100)
    assert verify(path) == ("no SQLite file",)
    with pytest.raises(NotWritable):
        verify(tmp_path / "missing.sqlite3")
    assert not (tmp_path / "missing.sqlite3").exists()
    with pytest.raises(FileError):
        backup(tmp_path / "missing.sqlite3", tmp_path / "copy.sqlite3")
    assert [file.name for file in tmp_path.iterdir()] == ["x.sqlite3"]


def test_one_backup_a_day_and_a_week_of_them(path: Path) -> None:
    cooks = 0
    for day in range(10):
        for hour in (0, 5):
            store = open_store(path, now=NOW + timedelta(days=day, hours=hour))
            cooks += 1
            store.create_cook(GOOSE)
            assert store.notice is None
            store.close()
    names = [copy.name for copy in daily_backups(path)]
    assert len(names) == KEPT == 7
    assert names[0] == "cooks-2026-10-26.sqlite3"
    assert names[-1] == "cooks-2026-10-20.sqlite3"
    newest = open_store(daily_backups(path)[0], now=NOW)
    assert len(newest.cooks()) == cooks - 2  # as it was when that day began
    newest.close()


def test_what_a_kill_left_behind_goes_away_after_a_day(path: Path) -> None:
    open_store(path, now=NOW).close()
    folder = backup_folder(path)
    folder.mkdir()
    for name, hours in (("old.part", 25), ("new.part", 23)):
        (folder / name).touch()
        stamp = NOW.timestamp() - hours * 3600
        os.utime(folder / name, (stamp, stamp))
    assert daily_backup(path, NOW) is not None
    assert daily_backup(path, NOW) is None
    assert {file.name for file in folder.iterdir()} == {"new.part", "cooks-2026-10-17.sqlite3"}


def test_a_backup_that_fails_does_not_stop_the_cook(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_store(path, now=NOW).close()

    def full(*_: object) -> None:
        raise DiskFull(path)

    monkeypatch.setattr("storage.store.daily_backup", full)
    store = open_store(path, now=NOW)
    assert store.notice is not None
    assert store.notice.startswith("no backup was made today: no space left")
    store.create_cook(GOOSE)
    store.close()
