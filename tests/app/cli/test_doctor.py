"""``doneby doctor``: what it finds, what it does, and that it says so."""

from __future__ import annotations

import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from storage.backup import backup_folder, daily_backups, verify
from storage.store import open_store
from tests.app.cli.runs import SAMPLES, Terminal


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """A user with two sample cooks and one in hand."""
    found = Terminal(tmp_path / "cooks.sqlite3")
    names = ("duck-autumn-afternoon", "pork-shoulder-overnight")
    found.ok("import", *(str(SAMPLES / f"{name}.json") for name in names))
    found.ok("start", "goose", "--weight", "4.6kg", "--probe", "breast", "--unit", "F")
    found.after(10).ok("say", "--yes", "310 52")
    return found


def damage(path: Path) -> bytes:
    """Nonsense over the pages of three tables; returns what the file then is."""
    data = bytearray(path.read_bytes())
    data[4096 * 3 : 4096 * 6] = b"\x5a" * 4096 * 3
    path.write_bytes(bytes(data))
    return bytes(data)


def test_a_sound_file_is_backed_up(terminal: Terminal) -> None:
    said = terminal.ok("doctor").out
    assert str(terminal.data) in said
    assert "Sound:" in said and "3 cooks, " in said and "Backed up just now." in said
    assert re.search(r"2026-05-09 +sound +3 cooks", said)
    (copy,) = daily_backups(terminal.data)
    assert verify(copy) == ()
    store = open_store(copy, now=terminal.now)
    assert [line.text for line in store.cook(3).lines] == ["310 52"], "the newest line is in it"
    store.close()


def test_no_file_is_no_failure(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path / "new" / "cooks.sqlite3")
    assert "the first cook makes one" in terminal.ok("doctor").out
    assert not terminal.data.parent.exists(), "looking makes nothing"


def test_a_lost_file_is_one_when_there_are_backups(terminal: Terminal) -> None:
    terminal.ok("doctor")
    terminal.data.unlink()
    result = terminal.run("doctor")
    assert result.code == 1
    assert "2026-05-09" in result.out
    assert "Restored from" in terminal.ok("doctor", "--restore").out
    assert "310" in terminal.ok("status").out


def test_damage_is_told_with_what_can_be_done(terminal: Terminal) -> None:
    terminal.ok("doctor")
    spoilt = damage(terminal.data)
    refused = terminal.run("status")
    assert refused.code == 1 and "'doneby doctor' shows what can be done" in refused.err
    result = terminal.run("doctor")
    assert (result.code, result.err) == (1, "")
    assert "DAMAGED: " in result.out and "left as it is" in result.out
    assert "goes back to the backup of 2026-05-09" in result.out
    assert "--salvage" in result.out
    assert terminal.data.read_bytes() == spoilt


def test_restore_by_day_and_by_file(terminal: Terminal) -> None:
    terminal.ok("doctor")
    damage(terminal.data)
    said = terminal.ok("doctor", "--restore", "2026-05-09").out
    assert "3 cooks" in said and "kept as" in said
    kept = Path(said.split("kept as ")[1].rstrip(".\n"))
    assert kept.is_file()
    assert terminal.ok("doctor").out
    for wanted, words in (("2020-01-01", "there is no backup of 2020-01-01; there are: 2026-05-09"),
                          ("nowhere.sqlite3", "no such file or day"),
                          (str(terminal.data), "the data file itself")):  # fmt: skip
        result = terminal.run("doctor", "--restore", wanted)
        assert (result.code, result.out) == (2, "")
        assert words in result.err
    result = terminal.run("doctor", "--restore", str(kept))
    assert result.code == 1 and "is damaged" in result.err
    assert "310" in terminal.ok("status").out


def test_restore_without_a_backup_and_with_an_open_file(terminal: Terminal) -> None:
    shutil.rmtree(backup_folder(terminal.data))
    result = terminal.run("doctor", "--restore")
    assert result.code == 1 and "there is no sound backup" in result.err
    terminal.ok("doctor")
    store = open_store(terminal.data, now=terminal.now)
    assert store.cook_in_hand() is not None
    result = terminal.run("doctor", "--restore")
    store.close()
    assert result.code == 1 and "close it there first. Nothing was changed" in result.err


def test_salvage_and_go_on_from_it(terminal: Terminal) -> None:
    lines = terminal.ok("export", "2").out
    spoilt = damage(terminal.data)
    result = terminal.ok("doctor", "--salvage")
    assert "Salvaged into" in result.out
    assert terminal.data.read_bytes() == spoilt
    command = result.out.strip().splitlines()[-1].strip()
    new = command.removeprefix("doneby doctor --restore ").strip("'")
    assert terminal.ok("doctor", "--restore", new).out
    assert terminal.ok("doctor").out.count("sound") >= 1
    assert terminal.ok("export", "2").out == lines, "line by line as it was typed"


def test_salvage_never_overwrites(terminal: Terminal, tmp_path: Path) -> None:
    mine = tmp_path / "mine.sqlite3"
    mine.write_text("mine")
    for wanted in (str(mine), str(terminal.data)):
        result = terminal.run("doctor", "--salvage", wanted)
        assert result.code == 2 and "already; it was left as it is" in result.err
    assert mine.read_text() == "mine"
    result = terminal.run("doctor", "--salvage", str(tmp_path / "x"), "--restore")
    assert result.code == 2 and "one at a time" in result.err


def test_values_without_sense_are_found(terminal: Terminal) -> None:
    with closing(sqlite3.connect(terminal.data)) as connection:
        connection.execute("UPDATE cook SET unit = 'Q' WHERE id = 3")
        connection.commit()
    refused = terminal.run("status")
    assert refused.code == 1
    assert "cook 3 holds values that make no sense" in refused.err
    result = terminal.run("doctor")
    assert result.code == 1
    assert "DAMAGED: cook 3 holds values that make no sense" in result.out


def test_a_file_of_a_newer_program_and_one_of_another(terminal: Terminal, tmp_path: Path) -> None:
    with closing(sqlite3.connect(terminal.data)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0917'")
        connection.commit()
    result = terminal.run("doctor")
    assert result.code == 1 and "newer doneby" in result.out
    diary = Terminal(tmp_path / "diary.txt")
    diary.data.write_text("dear diary " * 500)
    for arguments in (("doctor",), ("doctor", "--salvage")):
        result = diary.run(*arguments)
        assert result.code == 1
        assert "Traceback" not in result.err
    assert diary.data.read_text() == "dear diary " * 500
