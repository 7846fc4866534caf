"""Our reading of pages against SQLite's own, on files of many shapes."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from storage.pages import PageFile, Value


def made(path: Path, page_size: int, rows: list[tuple[Value, ...]], gaps: int = 1) -> None:
    """A table of those rows, some deleted again, in a file with pages of that size."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA page_size={page_size}")
        connection.execute("CREATE TABLE other (x)")
        connection.execute("CREATE TABLE t (a, b, c, d)")
        for number, row in enumerate(rows):
            connection.execute(
                "INSERT INTO t (rowid, a, b, c, d) VALUES (?, ?, ?, ?, ?)",
                (number * gaps - 9, *row),
            )
        connection.execute("DELETE FROM t WHERE rowid % 7 = 3")
        connection.commit()


def by_sqlite(path: Path) -> tuple[int, dict[int, tuple[Value, ...]]]:
    """Root page of the table, and its rows by rowid."""
    with closing(sqlite3.connect(path)) as connection:
        (root,) = connection.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 't'"
        ).fetchone()
        found = connection.execute("SELECT rowid, * FROM t").fetchall()
    return root, {row[0]: tuple(row[1:]) for row in found}


def by_pages(path: Path, root: int) -> dict[int, tuple[Value, ...]]:
    pages = PageFile(path.read_bytes())
    leaves, whole = pages.tree(root)
    assert whole
    found = {}
    for number in leaves:
        rows, broken = pages.rows(number)
        assert broken == 0
        found |= {row.rowid: row.values for row in rows}
    return found


def any_value(dice: random.Random) -> Value:
    return dice.choice(
        [
            None, 0, 1, -1, 127, -128, 2**15, -(2**23), 2**31, 2**47, -(2**63), 2**63 - 1,
            0.0, -0.5, 1e308, float("inf"), "", "ü\u6f22\U0001f356", "x" * dice.randrange(900), b"",
            b"\0\xff", "y" * dice.randrange(40000), b"z" * dice.randrange(9000),
        ]
    )  # fmt: skip


@pytest.mark.parametrize("page_size", [512, 1024, 4096, 65536])
def test_every_row_is_read_as_sqlite_reads_it(tmp_path: Path, page_size: int) -> None:
    # SQLite itself is the reference for https://sqlite.org/fileformat2.html
    dice = random.Random(page_size)
    rows = [tuple(any_value(dice) for _ in range(4)) for _ in range(400)]
    path = tmp_path / "file"
    made(path, page_size, rows, gaps=dice.choice([1, 3, 2**40]))
    root, expected = by_sqlite(path)
    assert len(expected) > 300
    assert by_pages(path, root) == expected


def test_an_empty_table_has_no_rows(tmp_path: Path) -> None:
    path = tmp_path / "file"
    made(path, 4096, [])
    root, expected = by_sqlite(path)
    assert by_pages(path, root) == expected == {}


@pytest.mark.parametrize("seed", range(40))
def test_nothing_is_raised_for_what_is_found(tmp_path: Path, seed: int) -> None:
    dice = random.Random(seed)
    path = tmp_path / "file"
    made(path, 512, [tuple(any_value(dice) for _ in range(4)) for _ in range(60)])
    data = bytearray(path.read_bytes())
    for _ in range(dice.choice([1, 20, 400])):
        data[dice.randrange(len(data))] = dice.randrange(256)
    pages = PageFile(bytes(data[: dice.randrange(len(data))]) if seed % 3 == 0 else bytes(data))
    for root in range(-1, pages.count + 3):
        for number in pages.tree(root)[0]:
            pages.rows(number)
    for number in pages.leaves():
        pages.rows(number)


@pytest.mark.parametrize("data", [b"", b"SQLite format 3\0", bytes(100), b"\x0d" * 5000])
def test_what_is_no_file_raises_nothing(data: bytes) -> None:
    pages = PageFile(data)
    for number in pages.leaves():
        pages.rows(number)
    assert pages.tree(1)[0] in ([], [1])
