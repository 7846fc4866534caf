"""Copies that hold together, bounded in number."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from storage.backup import (
    KEPT,
    backup,
    backup_folder,
    daily_backup,
    daily_backups,
    restore,
    verify,
)
from storage.errors import (
    DamagedFile,
    DiskFull,
    FileBusy,
    FileError,
    NewerSchema,
    NotADataFile,
    NotWritable,
)
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


def test_a_restored_copy_is_the_file_and_the_old_one_is_kept(path: Path) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    store.add_line(cook_id, **typed(1, thigh=5.0))
    store.close()
    later = NOW + timedelta(days=1)
    store = open_store(path, now=later)  # makes the backup of that day
    expected = store.cook(cook_id)
    store.add_line(cook_id, **typed(2, thigh=6.0))
    newest = store.cook(cook_id)
    store.close()
    (copy,) = daily_backups(path)
    kept = restore(path, copy, later)
    store = open_store(path, now=later)
    assert store.cook(cook_id) == expected
    store.add_line(cook_id, **typed(3, thigh=7.0))
    store.close()
    assert kept is not None and kept.parent == backup_folder(path)
    assert kept.stat().st_mode & 0o777 == 0o600
    assert restore(path, kept, later + timedelta(seconds=1)) != kept
    store = open_store(path, now=later)
    assert store.cook(cook_id) == newest, "a restore can be taken back"
    store.close()
    assert copy.exists()


@pytest.mark.parametrize("damage", [b"", b"dear diary " * 900, None], ids=["empty", "text", "gone"])
def test_a_copy_takes_the_place_of_what_is_no_data_file(path: Path, damage: bytes | None) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    expected = store.cook(cook_id)
    store.close()
    copy = daily_backup(path, NOW)
    assert copy is not None
    if damage is None:
        path.unlink()
    else:
        path.write_bytes(damage)
    stale = path.with_name(path.name + "-wal")
    stale.write_bytes(b"left over by a crash")
    kept = restore(path, copy, NOW)
    assert (kept is None) == (damage is None)
    if kept is not None:
        assert kept.read_bytes() == damage
        assert kept.with_name(kept.name + "-wal").read_bytes() == b"left over by a crash"
    assert not stale.exists(), "an old log beside a new file would spoil it"
    store = open_store(path, now=NOW)
    assert store.cook(cook_id) == expected
    store.close()
    assert verify(path) == ()


def test_a_file_in_use_is_not_replaced(store: Store, cook_id: int) -> None:
    copy = daily_backup(store.path, NOW)
    assert copy is not None
    store.add_line(cook_id, **typed(1, thigh=5.0))
    with pytest.raises(FileBusy):
        restore(store.path, copy, NOW)
    store.add_line(cook_id, **typed(2, thigh=5.0))
    assert len(store.cook(cook_id).lines) == 2
    assert {file.name for file in backup_folder(store.path).iterdir()} == {copy.name}


def test_only_a_sound_copy_is_restored(store: Store, cook_id: int, tmp_path: Path) -> None:
    store.add_line(cook_id, **filled())
    copy = backup(store.path, tmp_path / "copy.sqlite3")
    store.close()
    before = store.path.read_bytes()
    data = bytearray(copy.read_bytes())
    data[-4096 * 3 : -4096] = b"\x5a" * 8192
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0917'")
        connection.commit()
    newer = copy.read_bytes()
    for found, error in ((data, DamagedFile), (b"", NotADataFile), (b"diary " * 999, DamagedFile),
                         (newer, NewerSchema)):  # fmt: skip
        copy.write_bytes(found)
        with pytest.raises((error, NotADataFile)):
            restore(store.path, copy, NOW)
        assert store.path.read_bytes() == before
    assert not backup_folder(store.path).exists()


def test_the_backup_of_the_day_can_be_made_anew(store: Store, cook_id: int) -> None:
    first = daily_backup(store.path, NOW)
    store.add_line(cook_id, **typed(1, thigh=5.0))
    assert daily_backup(store.path, NOW) is None
    again = daily_backup(store.path, NOW, again=True)
    assert again == first
    assert again is not None
    copied = open_store(again, now=NOW)
    assert len(copied.cook(cook_id).lines) == 1
    copied.close()


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
