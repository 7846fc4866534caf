"""Getting out of a damaged data file what can still be read, into a new one.

The damaged file is never written to. Its rows are read page by page (:mod:`storage.pages`), so one
bad page costs what lay on it and no more. Rows that a copy of the file still has are taken from
there; what then belongs to nothing is written to a text file beside the new one.
"""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Mapping
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path

from storage.backup import verify
from storage.engine import our_errors
from storage.errors import DamagedFile, FileTrouble, NewerSchema, NotADataFile
from storage.files import SIDE_FILES, make_file, make_folder
from storage.mending import Mended, mend
from storage.pages import PageFile, RawRow, Value
from storage.schema import HEAD, bring_up_to_date

_KEPT_FOR_EVER = ("cook", "probe", "line", "reading", "temp", "event", "outcome")
"""Tables that lose no rows, so that a row of a copy is still true."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, as its CREATE TABLE says."""

    name: str
    type: str
    required: bool
    is_rowid: bool


@dataclass(slots=True)
class Table:
    """One table of the damaged file and what was found of it."""

    name: str
    columns: tuple[Column, ...]
    root: int | None
    rows: dict[int, tuple[Value, ...]] = field(default_factory=dict)

    def fits(self, row: RawRow) -> bool:
        """Whether a row could be one of this table: number and kinds of its values."""
        values = row.values
        if not 0 < len(values) <= len(self.columns):
            return False
        if any(column.required for column in self.columns[len(values) :]):
            return False
        return all(
            _suits(value, column) for value, column in zip(values, self.columns, strict=False)
        )

    def take(self, row: RawRow) -> None:
        """Keep a row, unless that one was found before."""
        self.rows.setdefault(row.rowid, row.values)


@dataclass(frozen=True, slots=True)
class Salvage:
    """What was got out of a damaged file.

    Attributes
    ----------
    path : Path
        The new data file, sound and of the newest schema.
    leftovers : Path or None
        A text file with the rows that belong to nothing, one JSON object to a line.
    rows : mapping
        How many rows of each table the new file holds.
    broken : int
        Rows that were there and could not be read.
    loose : int
        Rows found on pages that no table led to.
    from_copy : int
        Rows that only the copy still had.
    mended : Mended
        What had to be put in place of rows that are lost.
    """

    path: Path
    leftovers: Path | None
    rows: Mapping[str, int]
    broken: int
    loose: int
    from_copy: int
    mended: Mended


def salvage(path: Path, target: Path, copy: Path | None = None) -> Salvage:
    """Write what can be read of `path` into a new data file at `target`.

    Parameters
    ----------
    path : Path
        The damaged file; it is only read.
    target : Path
        Must not exist.
    copy : Path or None
        A sound copy of the file from earlier; gives the rows that the file has lost.

    Raises
    ------
    FileTrouble
        There is a file at `target`.
    NotADataFile
        Nothing of a data file could be found.
    NewerSchema
        The file was written by a newer program.
    """
    with our_errors(path):
        pages = PageFile(_folded(path))
    tables, revision = _tables(pages)
    if revision > HEAD:
        raise NewerSchema(path, revision, HEAD)
    broken, loose = _read(pages, tables)
    if not any(table.rows for table in tables):
        raise NotADataFile(path, "nothing that can be read")
    with our_errors(target):
        make_folder(target.parent)
        if not make_file(target):
            raise FileTrouble(target, "there is a file of that name already")
    try:
        with our_errors(target), tempfile.TemporaryDirectory(dir=target.parent) as scratch:
            made = Path(scratch) / target.name
            from_copy = _write(made, tables, revision, copy)
            mended = mend(made)
            rows = _counts(made)
            with closing(sqlite3.connect(made)) as connection:
                connection.execute("PRAGMA journal_mode=DELETE").fetchall()
            found = verify(made)
            if found:
                raise DamagedFile(made, found[0])
            made.chmod(0o600)
            made.replace(target)
        left = _write_leftovers(target, mended.left)
    except BaseException:
        with suppress(OSError):
            target.unlink()
        raise
    return Salvage(target, left, rows, broken, loose, from_copy, mended)


def _folded(path: Path) -> bytes:
    """The bytes of the file with its write-ahead log folded in, where SQLite can do that."""
    with tempfile.TemporaryDirectory() as scratch:
        copy = Path(scratch) / "copy"
        shutil.copyfile(path, copy)
        for end in SIDE_FILES:
            side = path.with_name(path.name + end)
            if end != "-shm" and side.exists():
                shutil.copyfile(side, copy.with_name(copy.name + end))
        with suppress(sqlite3.Error), closing(sqlite3.connect(copy)) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        folded = copy.read_bytes()
    return folded or path.read_bytes()


def _tables(pages: PageFile) -> tuple[list[Table], str]:
    """The tables that the file says it has, and its schema; the newest ones if it cannot say."""
    said: dict[str, tuple[str, int]] = {}
    for number in pages.tree(1)[0]:
        for row in pages.rows(number)[0]:
            match row.values:
                case ("table", str(name), _, int(root), str(sql)):
                    said[name] = sql, root
    revision = _revision(pages, said)
    wanted = (
        _described(_newest())
        if revision is None
        else _described({name: sql for name, (sql, _) in said.items()})
    )
    tables = [
        Table(name, columns, said[name][1] if name in said else None)
        for name, columns in wanted.items()
    ]
    return tables, revision or HEAD


def _revision(pages: PageFile, said: Mapping[str, tuple[str, int]]) -> str | None:
    """The schema that the file names, None if that or a table of it cannot be read."""
    if "alembic_version" not in said or "cook" not in said:
        return None
    for number in pages.tree(said["alembic_version"][1])[0]:
        for row in pages.rows(number)[0]:
            if len(row.values) == 1 and isinstance(row.values[0], str):
                return row.values[0]
    return None


def _newest() -> dict[str, str]:
    """The CREATE TABLE of every table of the newest schema."""
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "new"
        make_file(path)
        bring_up_to_date(path, lambda: path)
        with closing(sqlite3.connect(path)) as connection:
            return dict(
                connection.execute("SELECT name, sql FROM sqlite_master WHERE type='table'")
            )


def _described(statements: Mapping[str, str]) -> dict[str, tuple[Column, ...]]:
    """The columns of our tables, as SQLite understands those statements."""
    found = {}
    with closing(sqlite3.connect(":memory:")) as connection:
        for name, sql in statements.items():
            if name.startswith("sqlite_") or name == "alembic_version":
                continue
            with suppress(sqlite3.Error):  # a statement that a flipped bit has spoilt
                connection.execute(sql)
                found[name] = tuple(_columns(connection, name))
    return found


def _columns(connection: sqlite3.Connection, table: str) -> list[Column]:
    rows = connection.execute("SELECT * FROM pragma_table_info(?)", (table,)).fetchall()
    keys = [row for row in rows if row[5]]
    alone = keys[0][1] if len(keys) == 1 and keys[0][2].upper() == "INTEGER" else None
    return [
        Column(name, kind.upper(), bool(needed) and default is None, name == alone)
        for _, name, kind, needed, default, _ in rows
    ]


def _suits(value: Value, column: Column) -> bool:
    """Whether a stored value could be one of that column."""
    if column.is_rowid:
        return value is None
    if value is None:
        return not column.required
    if column.type.startswith(("VARCHAR", "TEXT")):
        return isinstance(value, str)
    if column.type == "BOOLEAN":
        return value in (0, 1)
    if column.type == "INTEGER":
        return isinstance(value, int)
    return isinstance(value, (int, float))


def _read(pages: PageFile, tables: list[Table]) -> tuple[int, int]:
    """Fill the tables, first along their trees, then from pages that nothing leads to.

    Returns how many rows could not be read, and how many were found on such loose pages.
    """
    broken, loose, seen = 0, 0, set()
    for table in tables:
        for number in pages.tree(table.root)[0] if table.root else ():
            seen.add(number)
            rows, bad = pages.rows(number)
            good = [row for row in rows if table.fits(row)]
            broken += bad + len(rows) - len(good)
            for row in good:
                table.take(row)
    for number in pages.leaves():
        if number in seen or number == 1:
            continue
        for row in pages.rows(number)[0]:
            fitting = [table for table in tables if table.fits(row)]
            if len(fitting) == 1 and row.rowid not in fitting[0].rows:
                fitting[0].take(row)
                loose += 1
    return broken, loose


def _write(path: Path, tables: list[Table], revision: str, copy: Path | None) -> int:
    """A new file of that schema with all the rows; returns how many only the copy had."""
    make_file(path)
    bring_up_to_date(path, lambda: path, head=revision)
    from_copy = 0
    with closing(sqlite3.connect(path)) as connection, connection:
        for table in tables:
            names = [column.name for column in table.columns]
            for rowid, values in table.rows.items():
                named = dict(zip(names, values, strict=False))
                named |= {column.name: rowid for column in table.columns if column.is_rowid}
                _insert(connection, table.name, named)
        if copy is not None:
            from_copy = _fill_from(connection, copy)
    bring_up_to_date(path, lambda: path)
    return from_copy


def _insert(connection: sqlite3.Connection, table: str, named: Mapping[str, Value]) -> int:
    """Insert a row unless it breaks a rule of the table; returns how many were."""
    marks = ", ".join("?" for _ in named)
    # the names are those of the schema, read from SQLite itself
    sql = f"INSERT OR IGNORE INTO {_quoted(table)} ({', '.join(map(_quoted, named))})"
    return connection.execute(f"{sql} VALUES ({marks})", tuple(named.values())).rowcount


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _fill_from(connection: sqlite3.Connection, copy: Path) -> int:
    """Rows of a copy that are lost in the file; of tables whose rows are never taken away."""
    count = 0
    address = f"{copy.absolute().as_uri()}?mode=ro"
    with closing(sqlite3.connect(address, uri=True)) as old:
        for table in _KEPT_FOR_EVER:
            here = {column.name for column in _columns(connection, table)}
            there = [column.name for column in _columns(old, table) if column.name in here]
            if not there:
                continue
            wanted = ", ".join(map(_quoted, there))
            for values in old.execute(f"SELECT {wanted} FROM {_quoted(table)}"):  # noqa: S608
                count += _insert(connection, table, dict(zip(there, values, strict=True)))
    return count


def _counts(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as connection:
        names = [name for name in _described(_newest()) if name != "setting"]
        return {
            name: int(connection.execute(f"SELECT count(*) FROM {_quoted(name)}").fetchone()[0])  # noqa: S608
            for name in names
        }


def _write_leftovers(target: Path, left: tuple[Mapping[str, Value], ...]) -> Path | None:
    if not left:
        return None
    path = target.with_name(f"{target.stem}-leftovers.txt")
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.writelines(f"{json.dumps(row, default=repr)}\n" for row in left)
    return path
