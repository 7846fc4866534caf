"""Files that are not ours, or not any more: one clear message and no overwrite."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from storage.engine import file_error
from storage.errors import (
    DamagedFile,
    DiskFull,
    FileBusy,
    FileError,
    FileReplaced,
    FileTrouble,
    NewerSchema,
    NotADataFile,
    NotWritable,
)
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, filled, typed


def foreign(path: Path) -> None:
    """A database of another program, even one that uses the same migration tool."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num TEXT)")
        connection.execute("INSERT INTO alembic_version VALUES ('0001')")
        connection.execute("CREATE TABLE cook (id INTEGER)")
        connection.commit()


def newer(path: Path) -> None:
    """A file of a later program."""
    open_store(path, now=NOW).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0917'")
        connection.commit()


def truncated(path: Path) -> None:
    """A file that lost its second half."""
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    store.add_line(cook_id, **filled())
    store.close()
    path.write_bytes(path.read_bytes()[:6000])


def flipped(path: Path) -> None:
    """A file whose first page has changed."""
    open_store(path, now=NOW).close()
    data = bytearray(path.read_bytes())
    data[100:400] = bytes(300)
    path.write_bytes(bytes(data))


HOSTILE: list[tuple[Callable[[Path], object], type[FileError], str]] = [
    (lambda path: path.write_text("dear diary " * 500), NotADataFile, "no SQLite file"),
    (lambda path: path.write_bytes(b"SQLite format 3\0"), NotADataFile, "left as it is"),
    (foreign, NotADataFile, "a database of another program"),
    (newer, NewerSchema, "schema 0917; this program knows schemas up to"),
    (truncated, DamagedFile, "is damaged"),
    (flipped, DamagedFile, "is damaged"),
]


@pytest.mark.parametrize(
    ("make", "error", "words"),
    HOSTILE,
    ids=["text", "bare header", "foreign", "newer", "truncated", "flipped"],
)
def test_a_file_that_is_not_ours_is_refused_and_left_alone(
    tmp_path: Path, make: Callable[[Path], object], error: type[FileError], words: str
) -> None:
    path = tmp_path / "cooks.sqlite3"
    make(path)
    before = path.read_bytes()
    with pytest.raises(error, match=words) as caught:
        open_store(path, now=NOW)
    assert str(path) in str(caught.value)
    assert caught.value.path == path
    assert path.read_bytes() == before


def test_an_empty_file_becomes_a_data_file(path: Path) -> None:
    path.parent.mkdir()
    path.touch()
    store = open_store(path, now=NOW)
    assert store.cooks() == ()
    store.close()


def test_a_folder_in_the_place_of_the_file(tmp_path: Path) -> None:
    with pytest.raises(NotWritable, match="Check owner and permissions"):
        open_store(tmp_path, now=NOW)


def test_a_file_in_the_place_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("x")
    with pytest.raises(FileError, match="data"):
        open_store(tmp_path / "data" / "cooks.sqlite3", now=NOW)
    assert (tmp_path / "data").read_text() == "x"


def test_damage_found_by_the_daily_copy_is_told_and_keeps_the_old_copies(path: Path) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    store.add_line(cook_id, **filled())
    store.close()
    data = bytearray(path.read_bytes())
    data[-4096 * 3 : -4096] = b"\x5a" * 8192
    path.write_bytes(bytes(data))
    opened = open_store(path, now=NOW)
    assert opened.notice is not None
    assert "no backup was made today" in opened.notice
    assert "is damaged" in opened.notice
    opened.close()
    assert list(path.with_name("cooks-backups").iterdir()) == []


@pytest.mark.parametrize("replaced", [False, True])
def test_a_file_that_goes_away_while_open_is_noticed(path: Path, replaced: bool) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    away = path.rename(path.with_name("moved.sqlite3"))
    if replaced:
        open_store(path, now=NOW).close()
    with pytest.raises(FileReplaced, match="moved, deleted or replaced"):
        store.add_line(cook_id, **typed(1, thigh=5.0))
    path.unlink(missing_ok=True)
    away.rename(path)
    with pytest.raises(FileReplaced, match="start again"):
        store.cooks()
    store.close()
    again = open_store(path, now=NOW)
    again.add_line(cook_id, **typed(1, thigh=5.0))
    again.close()


def test_the_file_alone_holds_all_that_is_committed(path: Path, tmp_path: Path) -> None:
    store = open_store(path, now=NOW)
    cook_id = store.create_cook(GOOSE)
    for minute in range(20):
        store.add_line(cook_id, **typed(minute, thigh=5.0))
    copy = tmp_path / "copied.sqlite3"
    copy.write_bytes(path.read_bytes())
    copied = open_store(copy, now=NOW)
    assert copied.cook(cook_id) == store.cook(cook_id)
    copied.close()
    store.close()


CODES = {
    sqlite3.SQLITE_FULL: DiskFull,
    sqlite3.SQLITE_BUSY: FileBusy,
    sqlite3.SQLITE_LOCKED: FileBusy,
    sqlite3.SQLITE_READONLY: NotWritable,
    sqlite3.SQLITE_READONLY_DBMOVED: NotWritable,
    sqlite3.SQLITE_CANTOPEN: NotWritable,
    sqlite3.SQLITE_PERM: NotWritable,
    sqlite3.SQLITE_CORRUPT: DamagedFile,
    sqlite3.SQLITE_NOTADB: NotADataFile,
    sqlite3.SQLITE_IOERR: FileTrouble,
    sqlite3.SQLITE_IOERR_FSYNC: FileTrouble,
}


@pytest.mark.parametrize(("code", "expected"), CODES.items())
def test_every_code_of_sqlite_has_our_words(code: int, expected: type[FileError]) -> None:
    # Result codes: https://sqlite.org/rescode.html
    error = sqlite3.OperationalError("boom")
    error.sqlite_errorcode = code
    found = file_error(Path("x.sqlite3"), error)
    assert type(found) is expected
    assert str(found).startswith(("x.sqlite3", "no space left", "another program"))
