"""The engine over one data file: pragmas, transactions that hold, errors in our own words."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, Pool, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from storage.errors import (
    DamagedFile,
    DiskFull,
    FileBusy,
    FileError,
    FileTrouble,
    InvalidEntry,
    NotADataFile,
    NotWritable,
)
from storage.limits import TEXT_RULE

BUSY_S = 30.0
"""How long a writer waits for another one; a unit of work takes milliseconds."""

_BEGIN = "doneby_begin"
_UNDECODABLE = "Could not decode to UTF-8"
"""The driver's words for a text that is none: it was good when it was written."""
_LEAST_FREE = 256 * 1024
"""With less room than this a failed write is put down to the lack of it [bytes]."""
_NOT_WRITABLE = (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM)


def open_engine(
    path: Path, *, foreign_keys: bool = True, poolclass: type[Pool] | None = None
) -> Engine:
    """An engine over `path` whose transactions cover schema changes too.

    The driver's own transaction handling is switched off (it commits before DDL); BEGIN comes
    from a listener instead, and is what the connection's options say.
    """
    url = URL.create("sqlite", database=str(path))
    arguments = {"isolation_level": None, "timeout": BUSY_S, "check_same_thread": False}
    engine = create_engine(url, connect_args=arguments, poolclass=poolclass)

    @event.listens_for(engine, "connect")
    def _prepare(connection: sqlite3.Connection, _record: object) -> None:
        prepare(connection, foreign_keys=foreign_keys)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get(_BEGIN, "BEGIN"))

    return engine


def writing(engine: Engine) -> Engine:
    """The same engine for units of work that write.

    They take the write lock when they begin. A reader that turned into a writer halfway could
    not wait for its turn: SQLite would have to refuse it at once.
    """
    return engine.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})


def prepare(connection: sqlite3.Connection, *, foreign_keys: bool) -> None:
    """Set what every connection needs, the write-ahead log last: it may meet a lock."""
    connection.execute(f"PRAGMA foreign_keys={'ON' if foreign_keys else 'OFF'}")
    connection.execute("PRAGMA synchronous=FULL")
    connection.execute("PRAGMA fullfsync=ON")
    connection.execute("PRAGMA trusted_schema=OFF")
    # The log is folded into the file after every commit: whoever copies or moves the one file
    # that has the data file's name has all of it.
    connection.execute("PRAGMA wal_autocheckpoint=1")
    _write_ahead(connection)


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Switch to the write-ahead log; the busy handler does not cover this switch."""
    deadline = time.monotonic() + BUSY_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL").fetchall()
            return
        except sqlite3.OperationalError as error:
            if _code(error) not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise
            if time.monotonic() > deadline:
                raise
            time.sleep(0.02)


def _code(error: BaseException) -> int:
    """Primary SQLite result code of an error, 0 if it has none."""
    return int(getattr(error, "sqlite_errorcode", 0) or 0) & 0xFF


def file_error(path: Path, error: BaseException) -> FileError:
    """Our error for one that SQLite or the operating system raised over `path`."""
    code, said = _code(error), str(error)
    number = error.errno if isinstance(error, OSError) else None
    if code in _NOT_WRITABLE or number in (errno.EACCES, errno.EPERM, errno.EROFS):
        return NotWritable(path, said)
    if code == sqlite3.SQLITE_NOTADB:
        return NotADataFile(path, "no SQLite file")
    if code == sqlite3.SQLITE_CORRUPT or _UNDECODABLE in said:
        return DamagedFile(path, said)
    if code == sqlite3.SQLITE_FULL or number in (errno.ENOSPC, errno.EDQUOT):
        return DiskFull(path)
    if code == sqlite3.SQLITE_IOERR and _no_space(path):
        return DiskFull(path)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return FileBusy(path)
    return FileTrouble(path, said)


def _no_space(path: Path) -> bool:
    """Whether the disk is full: SQLite calls it an I/O error when its shared memory cannot grow."""
    try:
        return shutil.disk_usage(path.parent).free < _LEAST_FREE
    except OSError:
        return False


@contextmanager
def our_errors(path: Path) -> Iterator[None]:
    """Turn the errors of the driver, the library and the system into StorageError."""
    try:
        yield
    except DBAPIError as error:
        cause: Any = error.orig if error.orig is not None else error
        raise file_error(path, cause) from error
    except (sqlite3.Error, OSError) as error:
        raise file_error(path, error) from error
    except PoolTimeout as error:
        raise FileBusy(path) from error
    except UnicodeDecodeError as error:
        raise DamagedFile(path, "a text in it is not UTF-8") from error
    except UnicodeEncodeError as error:
        raise InvalidEntry("text", error.object, TEXT_RULE) from error
