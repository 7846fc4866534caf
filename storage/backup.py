"""Copies of the data file that hold together, and checking that they do.

Copies are made by SQLite's online backup: they are whole even while others write.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing, suppress
from datetime import UTC, datetime
from glob import escape
from pathlib import Path
from tempfile import mkstemp

from storage.engine import BUSY_S, file_error, our_errors
from storage.errors import DamagedFile, FileBusy, NewerSchema, NotADataFile
from storage.files import SIDE_FILES, make_folder

_DAY_S = 86400.0
_PATIENCE_S = 2.0
"""How long to wait for others to close the file before it is replaced."""

KEPT = 7
"""How many daily backups are kept."""


def backup_folder(path: Path) -> Path:
    """The folder beside the data file that holds its copies."""
    return path.with_name(f"{path.stem}-backups")


def backup(path: Path, copy: Path) -> Path:
    """Copy the data file at `path` to `copy`, replacing it only by a whole and sound copy.

    Returns
    -------
    Path
        `copy`.

    Raises
    ------
    DamagedFile
        What was copied does not hold together; `copy` is as it was.
    """
    with our_errors(copy):
        make_folder(copy.parent)
        descriptor, name = mkstemp(".part", f"{copy.name}.", copy.parent)  # for its owner alone
        os.close(descriptor)
    part = Path(name)
    try:
        with (
            our_errors(path),
            closing(_open(path, "rw")) as source,
            closing(sqlite3.connect(part, isolation_level=None)) as target,
        ):
            target.execute("PRAGMA synchronous=FULL")
            source.backup(target)
            target.execute("PRAGMA journal_mode=DELETE").fetchall()
        found = verify(part)
        if found:
            raise DamagedFile(path, found[0])
        with our_errors(copy):
            part.replace(copy)
            _sync_folder(copy.parent)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return copy


def verify(path: Path) -> tuple[str, ...]:
    """What is wrong with the data file at `path`, in SQLite's words; empty if nothing is."""
    try:
        with our_errors(path), closing(_open(path, "ro")) as file:
            said = [str(row[0]) for row in file.execute("PRAGMA integrity_check(20)")]
            lost = len(file.execute("PRAGMA foreign_key_check").fetchall())
    except (DamagedFile, NotADataFile) as error:
        return (error.found,)
    wrong = [] if said == ["ok"] else said
    return (*wrong, f"{lost} rows have lost their owner") if lost else tuple(wrong)


def copy_before_migration(path: Path, now: datetime) -> Path:
    """Copy the file aside before its schema changes; such copies are never removed."""
    stamp = now.astimezone(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    return backup(path, backup_folder(path) / f"{path.stem}-before-update-{stamp}{path.suffix}")


def daily_backup(path: Path, now: datetime, *, again: bool = False) -> Path | None:
    """Make the backup of the day unless there is one, and drop the oldest ones.

    With `again` the one of today is replaced by a newer one. Nothing is dropped unless the new
    copy is sound. Returns the new copy, None if there was one.
    """
    folder = backup_folder(path)
    copy = folder / f"{path.stem}-{now.astimezone(UTC).date().isoformat()}{path.suffix}"
    if copy.exists() and not again:
        return None
    backup(path, copy)
    with our_errors(folder):
        for old in daily_backups(path)[KEPT:]:
            old.unlink(missing_ok=True)
        for part in folder.glob("*.part"):  # a kill leaves one behind
            if now.timestamp() - part.stat().st_mtime > _DAY_S:
                part.unlink(missing_ok=True)
    return copy


def restore(path: Path, copy: Path, now: datetime) -> Path | None:
    """Put a copy in the place of the data file; what was there is kept beside the copies.

    Parameters
    ----------
    path : Path
        The data file; it may be damaged, or gone.
    copy : Path
        A sound copy, which stays where it is.
    now : datetime
        Aware; names what is kept.

    Returns
    -------
    Path or None
        Where the old file lies now; None if there was none.

    Raises
    ------
    FileBusy
        Somebody has the data file open.
    DamagedFile, NotADataFile, NewerSchema
        The copy is not fit to be used. The data file is as it was.
    """
    _check_fit(copy)
    stamp = now.astimezone(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    kept = backup_folder(path) / f"{path.stem}-before-restore-{stamp}{path.suffix}"
    made = _keep_as_it_is(path, kept)
    try:
        if path.exists():
            _close_for_all(path)
    except FileBusy:
        for file in made:
            file.unlink(missing_ok=True)
        raise
    with our_errors(path):
        for end in SIDE_FILES:
            # a log of the old file must never be folded into the new one
            path.with_name(path.name + end).unlink(missing_ok=True)
    backup(copy, path)
    return kept if kept in made else None


def _check_fit(copy: Path) -> None:
    """Raise unless `copy` is a sound data file that this program can read."""
    from storage.schema import HEAD, found_schema

    found = verify(copy)
    if found:
        raise DamagedFile(copy, found[0])
    schema = found_schema(copy)
    if schema is None:
        raise NotADataFile(copy, "an empty file")
    if schema > HEAD:
        raise NewerSchema(copy, schema, HEAD)


def _close_for_all(path: Path) -> None:
    """Raise FileBusy if anybody has the file open; fold its log into it, where it can be read."""
    try:
        with closing(sqlite3.connect(path, timeout=_PATIENCE_S)) as connection:
            # Leaving the write-ahead log needs the file for oneself alone.
            connection.execute("PRAGMA journal_mode=DELETE").fetchall()
    except sqlite3.DatabaseError as error:
        found = file_error(path, error)
        if isinstance(found, FileBusy):
            raise found from error
        # damaged or no data file at all: that is why it is being replaced


def _keep_as_it_is(path: Path, kept: Path) -> list[Path]:
    """Copy a file byte by byte, with what lies beside it; it may not be one that SQLite reads.

    Before anything opens it: SQLite may throw away a log that goes with an emptied file.
    """
    made = []
    with our_errors(kept):
        make_folder(kept.parent)
        for end in ("", *SIDE_FILES):
            source = path.with_name(path.name + end)
            if not source.exists():
                continue
            target = kept.with_name(kept.name + end)
            descriptor = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            made.append(target)
            with source.open("rb") as old, os.fdopen(descriptor, "wb") as new:
                shutil.copyfileobj(old, new)
                new.flush()
                os.fsync(new.fileno())
        _sync_folder(kept.parent)
    return made


def daily_backups(path: Path) -> list[Path]:
    """The daily backups of the data file at `path`, newest first."""
    pattern = f"{escape(path.stem)}-[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]{escape(path.suffix)}"
    return sorted(backup_folder(path).glob(pattern), reverse=True)


def _open(path: Path, mode: str) -> sqlite3.Connection:
    """A bare connection to a file that must be there already."""
    address = f"{path.absolute().as_uri()}?mode={mode}"
    return sqlite3.connect(address, uri=True, timeout=BUSY_S)


def _sync_folder(folder: Path) -> None:
    """Make a rename last; not every system can."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
