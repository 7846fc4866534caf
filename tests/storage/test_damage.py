"""Bits flipped and ends cut off, over the whole file: a clear word, or a file that can be read.

The short form takes a sample; ``pytest -m long tests/storage/test_damage.py`` takes many more.
"""

from __future__ import annotations

import io
import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from app.cli.main import main
from app.cli.shell import Shell
from core.cook import EventKind
from storage.backup import daily_backups, verify
from storage.errors import FileError, StorageError
from storage.salvage import salvage
from storage.store import open_store
from tests.storage.samples import GOOSE, NOW, happened, typed

SHORT, LONG = 60, 3000
CASES = (1, 2, 3)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A file of some thirty pages in which every table of cooks has rows."""
    store = open_store(tmp_path_factory.mktemp("made") / "cooks.sqlite3", now=NOW)
    for number in range(3):
        cook_id = store.create_cook(replace(GOOSE, title=f"Goose {number} (invented)"))
        for minute in range(25):
            store.add_line(cook_id, **typed(minute, thigh=20.0 + minute, breast=19.5))
        store.add_line(cook_id, **happened(50, EventKind.NOTE, "wind, " * 200))
    store.close()
    return store.path.read_bytes()


def contents(path: Path) -> list[object]:
    """All that `attack` reads of a sound file."""
    store = open_store(path, now=NOW)
    found: list[object] = [store.cooks(), store.cook_in_hand()]
    found += [read(n) for read in (store.cook, store.export_document) for n in CASES]
    store.close()
    return found


def attack(folder: Path, data: bytes, expected: list[object], *, salvages: bool) -> str:
    """Open, read, examine and salvage one damaged file; returns how it went.

    A flipped bit inside a number or a letter makes another good one: SQLite keeps no checksums, so
    that is "unseen". It is counted, not hidden.
    """
    folder.mkdir()
    path = folder / "cooks.sqlite3"
    path.write_bytes(data)
    try:
        store = open_store(path, now=NOW)
    except FileError as error:
        assert str(path) in str(error)
        assert path.read_bytes() == data, "a refused file was written to"
        outcome = "refused"
    else:
        outcome = "read"
        reads: list[Callable[[], object]] = [store.cooks, store.cook_in_hand]
        reads += [partial(read, n) for read in (store.cook, store.export_document) for n in CASES]
        seen = []
        for read in reads:
            try:
                seen.append(read())
            except StorageError as error:
                assert str(error)
                outcome = "told"
        store.close()
        if outcome == "read" and seen != expected:
            outcome = "unseen"
    path.write_bytes(data)
    out = io.StringIO()
    shell = Shell({"DONEBY_DATA": str(path)}, lambda: NOW, out=out, err=out)
    code = main(["doctor"], shell)
    assert code in (0, 1) and "something went wrong" not in out.getvalue(), out.getvalue()
    if code == 0:
        assert verify(daily_backups(path)[0]) == ()
    if salvages:
        path.write_bytes(data)
        try:
            got = salvage(path, folder / "new.sqlite3")
        except StorageError:
            assert not (folder / "new.sqlite3").exists()
        else:
            assert verify(got.path) == ()
            store = open_store(got.path, now=NOW)
            for summary in store.cooks():
                store.cook(summary.id)
            store.close()
        assert path.read_bytes() == data
    return outcome


def flip(folder: Path, made: bytes, rounds: int, seed: int) -> dict[str, int]:
    """One bit flipped in each of so many files; first page and heads of pages more often."""
    dice, seen = random.Random(seed), dict.fromkeys(("refused", "told", "unseen", "read"), 0)
    folder.joinpath("whole.sqlite3").write_bytes(made)
    expected = contents(folder / "whole.sqlite3")
    for number in range(rounds):
        place = dice.randrange(len(made))
        if number % 3 == 1:
            place = dice.randrange(4096)
        if number % 3 == 2:
            place = dice.randrange(len(made) // 4096) * 4096 + dice.randrange(120)
        data = bytearray(made)
        data[place] ^= 1 << dice.randrange(8)
        place_of_it = folder / str(number)
        seen[attack(place_of_it, bytes(data), expected, salvages=number % 10 == 0)] += 1
        shutil.rmtree(place_of_it)
    return seen


def test_a_flipped_bit_is_told_or_does_no_harm(tmp_path: Path, made: bytes) -> None:
    seen = flip(tmp_path, made, SHORT, seed=5)
    assert seen["refused"] and seen["told"] and seen["read"], f"the attack is too weak: {seen}"


@pytest.mark.long
def test_flipped_bits_by_the_thousand(tmp_path: Path, made: bytes) -> None:
    print(flip(tmp_path, made, LONG, seed=29))


def test_a_file_cut_off_at_every_page_is_told(tmp_path: Path, made: bytes) -> None:
    pages = len(made) // 4096
    outcomes = [
        attack(tmp_path / f"{kept}-{more}", made[: 4096 * kept + more], [], salvages=kept % 6 == 3)
        for kept in range(pages)
        for more in (0, 1, 2000)
        if kept or more
    ]
    assert set(outcomes) <= {"refused", "told"}, "a file without its end passed for whole"
