"""``doneby doctor``: checks the data file, backs it up, and helps when it is damaged.

It works on files that the rest of the program refuses, so it never opens the store.
"""

from __future__ import annotations

import argparse
import re
import sqlite3
from contextlib import closing
from pathlib import Path

from app.cli.shell import FAILED, OK, CommandError, Shell
from app.cli.table import table_lines
from storage.backup import backup_folder, daily_backup, daily_backups, restore, verify
from storage.errors import DiskFull, FileBusy, FileError, StorageError, shown
from storage.files import keep_private
from storage.mending import unloadable
from storage.salvage import Salvage, salvage
from storage.schema import HEAD, found_schema

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
WORST = 3
"""So many findings are told; more of them say nothing new."""


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Check, or restore a copy, or salvage what can be read."""
    path = shell.data_path.resolve()
    if options.restore is not None and options.salvage is not None:
        raise CommandError("--restore and --salvage are two things; ask for one at a time")
    if options.restore is not None:
        return _restore(path, options.restore, shell)
    if options.salvage is not None:
        return _salvage(path, options.salvage, shell)
    return _check(path, shell)


def _check(path: Path, shell: Shell) -> int:
    """Look at everything, make the backup of the day anew, and say what was found."""
    if not path.exists():
        shell.say(f"There is no data file at {path}; the first cook makes one.")
        _say_copies(path, shell)
        return FAILED if daily_backups(path) else OK
    found = _findings(path)
    shell.say(f"Data file: {path}, {path.stat().st_size / 1024:.0f} kB")
    if found:
        for words in found[:WORST]:
            shell.say(f"DAMAGED: {words}")
        shell.say("It was left as it is.")
        _say_copies(path, shell)
        _say_ways(path, shell)
        return FAILED
    keep_private(path)
    shell.say(
        f"Sound: pages, indexes and links hold together, every cook can be read. {_held(path)}"
    )
    try:
        daily_backup(path, shell.clock(), again=True)
    except DiskFull:
        raise CommandError(f"no backup was made: no space left in {path.parent}", FAILED) from None
    shell.say("Backed up just now.")
    _say_copies(path, shell)
    return OK


def _findings(path: Path) -> list[str]:
    """What is wrong with a data file, in words."""
    try:
        found = list(verify(path))
        if found:
            return found
        schema = found_schema(path)
    except StorageError as error:
        return [str(error)]
    if schema is not None and schema > HEAD:
        return [f"schema {schema} is of a newer doneby; this one knows schemas up to {HEAD}"]
    if schema != HEAD:
        return []
    lost = unloadable(path)
    return [f"cook {number} holds values that make no sense" for number in lost]


def _held(path: Path) -> str:
    """``3 cooks, 214 lines``."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as file:
        try:
            counts = [
                int(file.execute(sql).fetchone()[0])
                for sql in ("SELECT count(*) FROM cook", "SELECT count(*) FROM line")
            ]
        except sqlite3.Error:
            return ""
    cooks, lines = counts
    return f"{cooks} cook{'' if cooks == 1 else 's'}, {lines} line{'' if lines == 1 else 's'}"


def _say_copies(path: Path, shell: Shell) -> None:
    copies = daily_backups(path)
    if not copies:
        shell.say("There is no backup yet.")
        return
    shell.say(f"Backups in {backup_folder(path)}, one a day:")
    rows = []
    for copy in copies:
        wrong = _findings(copy)
        rows.append(
            (_day(path, copy), "damaged" if wrong else "sound", "" if wrong else _held(copy))
        )
    for line in table_lines(rows):
        shell.say(f"  {line}")


def _day(path: Path, copy: Path) -> str:
    return copy.stem.removeprefix(f"{path.stem}-")


def _say_ways(path: Path, shell: Shell) -> None:
    newest = _newest_sound(path)
    shell.say("What can be done:")
    if newest is not None:
        shell.say(f"  doneby doctor --restore   goes back to the backup of {_day(path, newest)}")
    shell.say("  doneby doctor --salvage   writes what can still be read into a new file")


def _newest_sound(path: Path) -> Path | None:
    return next((copy for copy in daily_backups(path) if not _findings(copy)), None)


def _restore(path: Path, wanted: str, shell: Shell) -> int:
    """Put a copy in the place of the data file."""
    copy = _copy(path, wanted)
    try:
        kept = restore(path, copy, shell.clock())
    except FileBusy:
        raise CommandError(
            f"{path} is open in another doneby; close it there first. Nothing was changed", FAILED
        ) from None
    shell.say(f"Restored from {copy}. {_held(path)}")
    if kept is not None:
        shell.say(f"The file that was there is kept as {kept}.")
    return OK


def _copy(path: Path, wanted: str) -> Path:
    """The copy that is meant: the newest sound one, that of a day, or a file."""
    if not wanted:
        newest = _newest_sound(path)
        if newest is None:
            raise CommandError(f"there is no sound backup in {backup_folder(path)}", FAILED)
        return newest
    if _DATE.fullmatch(wanted):
        copy = backup_folder(path) / f"{path.stem}-{wanted}{path.suffix}"
        if not copy.is_file():
            days = ", ".join(_day(path, copy) for copy in daily_backups(path)) or "none"
            raise CommandError(f"there is no backup of {wanted}; there are: {days}")
        return copy
    copy = Path(wanted).expanduser().resolve()
    if not copy.is_file():
        raise CommandError(f"--restore {shown(wanted)}: there is no such file or day")
    if copy == path:
        raise CommandError("that is the data file itself; a copy of it is wanted")
    return copy


def _salvage(path: Path, wanted: str, shell: Shell) -> int:
    """Write what can be read into a new file, with the help of the newest sound copy."""
    if not path.is_file():
        raise CommandError(f"there is no data file at {path}", FAILED)
    stamp = shell.clock().strftime("%Y%m%dT%H%M%SZ")
    target = Path(wanted).expanduser() if wanted else path.with_name(f"{path.stem}-{stamp}.sqlite3")
    target = target.absolute()
    if target.exists():
        raise CommandError(f"there is a file at {target} already; it was left as it is")
    copy = _newest_sound(path)
    try:
        got = salvage(path, target, copy)
    except FileError as error:
        raise CommandError(str(error), FAILED) from error
    for words in _told(got, copy):
        shell.say(words)
    shell.say(f"{path} was left as it is. To go on from the new file:")
    shell.say(f"  doneby doctor --restore '{target}'")
    return OK


def _told(got: Salvage, copy: Path | None) -> list[str]:
    """What became of the file, in words."""
    rows = got.rows
    words = [
        f"Salvaged into {got.path}: {rows['cook']} cooks, {rows['line']} lines, "
        f"{rows['reading']} readings, {rows['event']} events."
    ]
    if got.broken:
        words.append(f"{got.broken} rows could not be read.")
    if got.loose:
        words.append(f"{got.loose} rows lay on loose pages; what they say may be old.")
    if got.from_copy and copy is not None:
        words.append(f"{got.from_copy} rows came from the backup {copy.name}.")
    mended = got.mended
    if mended.cooks or mended.probes:
        words.append(
            f"Stand-ins for what is lost: {mended.cooks} cooks, {mended.probes} probes; "
            "their plans are made up."
        )
    if got.leftovers is not None:
        words.append(f"{len(mended.left)} rows belong to nothing; they are in {got.leftovers}.")
    words.append("A number that was changed by the damage and still makes sense cannot be told.")
    return words
