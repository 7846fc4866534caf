"""What can be read of a damaged file is got out of it, into a new file and nowhere else."""

from __future__ import annotations

import json
import random
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from core.cook import EventKind
from storage.backup import backup, verify
from storage.errors import FileError, FileTrouble, NewerSchema, NotADataFile, StorageError
from storage.salvage import Salvage, salvage
from storage.store import open_store
from storage.values import SavedCook
from tests.storage.samples import GOOSE, NOW, happened, typed
from tests.storage.test_schema import saved_file

LONG_NOTE = "a long story, " * 900


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A file of many pages: five cooks with forty lines each, long notes, corrections."""
    store = open_store(tmp_path_factory.mktemp("made") / "cooks.sqlite3", now=NOW)
    for number in range(5):
        cook_id = store.create_cook(replace(GOOSE, title=f"Goose {number} (invented)"))
        for minute in range(40):
            store.add_line(cook_id, **typed(minute, thigh=20.0 + minute, breast=19.5))
        last = store.add_line(cook_id, **happened(50, EventKind.NOTE, LONG_NOTE))
        store.correct_line(last.id, **happened(50, EventKind.NOTE, "ü short"))
    store.close()
    return store.path.read_bytes()


@pytest.fixture
def whole(made: bytes, path: Path) -> Path:
    """That file, alone in its folder."""
    path.parent.mkdir()
    path.write_bytes(made)
    return path


def cooks_of(path: Path) -> dict[int, SavedCook]:
    store = open_store(path, now=NOW)
    found = {summary.id: store.cook(summary.id) for summary in store.cooks()}
    store.close()
    return found


def spoilt(path: Path, change: Callable[[bytearray], None], name: str = "spoilt.sqlite3") -> Path:
    """A changed copy of a file."""
    data = bytearray(path.read_bytes())
    change(data)
    copy = path.with_name(name)
    copy.write_bytes(bytes(data))
    return copy


def page_of(path: Path, table: str) -> int:
    """Root page of a table."""
    with closing(sqlite3.connect(path)) as connection:
        chosen = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (table,))
        return int(chosen.fetchone()[0])


def fill(number: int) -> Callable[[bytearray], None]:
    """Nonsense all over one page."""

    def change(data: bytearray) -> None:
        data[4096 * (number - 1) : 4096 * number] = b"\x5a" * 4096

    return change


def got_from(path: Path, copy: Path | None = None) -> Salvage:
    """Salvage; the damaged file must be as it was and the new one sound."""
    before, files = path.read_bytes(), set(path.parent.iterdir())
    got = salvage(path, path.with_name("new.sqlite3"), copy)
    assert path.read_bytes() == before
    assert got.path.stat().st_mode & 0o777 == 0o600
    assert set(path.parent.iterdir()) - files <= {got.path, got.leftovers}, "left over"
    assert verify(got.path) == ()
    return got


def test_a_sound_file_comes_out_as_it_is(whole: Path) -> None:
    expected = cooks_of(whole)
    got = got_from(whole)
    assert cooks_of(got.path) == expected
    assert (got.broken, got.loose, got.from_copy, got.leftovers) == (0, 0, 0, None)
    assert got.rows["line"] == 5 * 42
    assert got.mended.left == ()


def test_a_file_of_schema_1_comes_out_with_all_its_values(tmp_path: Path) -> None:
    path = saved_file(tmp_path, "0001")
    copy = tmp_path / "opened.sqlite3"
    copy.write_bytes(path.read_bytes())
    got = got_from(path)
    assert cooks_of(got.path) == cooks_of(copy)


@pytest.mark.parametrize("header", [100, 4096], ids=["header", "first page"])
def test_without_its_first_page_all_rows_are_found(whole: Path, header: int) -> None:
    expected = cooks_of(whole)

    def no_header(data: bytearray) -> None:
        data[:header] = bytes(header)

    path = spoilt(whole, no_header)
    with pytest.raises(FileError):
        open_store(path, now=NOW)
    got = got_from(path)
    assert cooks_of(got.path) == expected
    assert (got.loose > 0) == (header == 4096)


def test_the_root_of_a_table_may_be_lost(whole: Path) -> None:
    for table in ("line", "temp", "reading", "event"):
        got = got_from(spoilt(whole, fill(page_of(whole, table))))
        assert cooks_of(got.path).keys() == {1, 2, 3, 4, 5}, table
        assert got.rows["line"] == 210
        got.path.unlink()


def test_lines_whose_cooks_are_lost_get_stand_ins_that_say_so(whole: Path) -> None:
    expected = cooks_of(whole)
    got = got_from(spoilt(spoilt(whole, fill(page_of(whole, "cook")), "half.sqlite3"),
                          fill(page_of(whole, "probe"))))  # fmt: skip
    assert got.mended.cooks == 5
    found = cooks_of(got.path)
    assert found.keys() == expected.keys()
    for number, cook in found.items():
        was = expected[number]
        assert "plan is lost" in cook.title
        assert cook.started_at == was.started_at, "the readings tell when the meat went on"
        assert cook.ended_at is not None, "no cook in hand by accident"
        assert [line.text for line in cook.lines] == [line.text for line in was.lines]
        assert [r.pit_c for r in cook.cook.readings] == [r.pit_c for r in was.cook.readings]
        temps = [[temp for _, temp in r.meat_c] for r in cook.cook.readings]
        assert temps == [[temp for _, temp in r.meat_c] for r in was.cook.readings]
        assert all(probe.target_c == 100.0 for probe in cook.cook.probes)


def test_rows_that_belong_to_nothing_are_kept_as_text(whole: Path) -> None:
    with closing(sqlite3.connect(whole)) as connection:
        connection.execute("DELETE FROM line WHERE id BETWEEN 3 AND 6")
        connection.commit()
    got = got_from(whole)
    assert got.leftovers is not None
    rows = [json.loads(row) for row in got.leftovers.read_text().splitlines()]
    assert {row["table"] for row in rows} == {"reading", "temp"}
    assert len(rows) == 4 + 8
    assert got.leftovers.stat().st_mode & 0o777 == 0o600
    assert got.rows["line"] == 206


def test_a_copy_gives_back_what_the_file_has_lost(whole: Path, tmp_path: Path) -> None:
    copy = backup(whole, tmp_path / "copy" / "copy.sqlite3")
    store = open_store(whole, now=NOW)
    newest = store.add_line(5, **typed(90, thigh=70.0))
    store.close()
    expected = cooks_of(whole)
    path = spoilt(whole, fill(page_of(whole, "cook")))
    path = spoilt(path, fill(page_of(whole, "probe")), "twice.sqlite3")
    got = got_from(path, copy)
    assert got.from_copy == 5 + 10
    assert got.mended.cooks == 0
    found = cooks_of(got.path)
    assert found == {n: replace(c, stamp=found[n].stamp) for n, c in expected.items()}
    assert newest in found[5].lines, "what is newer than the copy"


def test_values_without_sense_are_told_and_taken_out(whole: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(whole)) as connection:
        connection.execute("UPDATE cook SET cut = 'goosf' WHERE id = 2")
        connection.execute("UPDATE temp SET temp_c = 4e30 WHERE reading_id = 130")
        connection.commit()
    store = open_store(whole, now=NOW)
    for act in (lambda: store.cook(2), store.cooks, lambda: store.cook(4)):
        with pytest.raises(StorageError, match="make no sense"):
            act()
    store.close()
    assert verify(whole) == (), "SQLite sees nothing wrong"
    got = got_from(whole)
    assert got.mended.cooks == 2
    assert {row["table"] for row in got.mended.left} >= {"cook", "probe"}
    found = cooks_of(got.path)
    assert "plan is lost" in found[2].title and len(found[2].lines) == 42
    assert 4 not in found, "it holds a temperature that no place has"
    assert any(row.get("temp_c") == 4e30 for row in got.mended.left)


def test_nothing_is_ever_overwritten(whole: Path) -> None:
    target = whole.with_name("new.sqlite3")
    target.write_text("mine")
    with pytest.raises(FileTrouble, match="already"):
        salvage(whole, target)
    assert target.read_text() == "mine"
    with pytest.raises(FileTrouble):
        salvage(whole, whole)


def test_what_holds_nothing_is_told(tmp_path: Path) -> None:
    path = tmp_path / "x.sqlite3"
    for data in (b"", b"dear diary " * 900, bytes(9000), random.Random(3).randbytes(50000)):
        path.write_bytes(data)
        with pytest.raises(NotADataFile, match="nothing that can be read"):
            salvage(path, tmp_path / "new.sqlite3")
        assert [file.name for file in tmp_path.iterdir()] == ["x.sqlite3"]


def test_a_newer_file_is_left_to_the_newer_program(whole: Path) -> None:
    with closing(sqlite3.connect(whole)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0917'")
        connection.commit()
    with pytest.raises(NewerSchema):
        salvage(whole, whole.with_name("new.sqlite3"))
