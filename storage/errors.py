"""Errors that storage raises on purpose, each with its data on the instance.

Every message says what was found, what was kept and what to do next, in words for the person at
the keyboard. Errors of SQLite and SQLAlchemy never leave this room.
"""

from __future__ import annotations

from pathlib import Path


class StorageError(Exception):
    """Base of the errors storage raises on purpose."""


class NoSuchCook(StorageError):
    """A cook id that the file does not hold."""

    def __init__(self, cook_id: int) -> None:
        super().__init__(f"there is no cook {cook_id}; the Ledger lists those there are")
        self.cook_id = cook_id


class NoSuchLine(StorageError):
    """A line id that the file does not hold."""

    def __init__(self, line_id: int) -> None:
        super().__init__(f"there is no line {line_id}")
        self.line_id = line_id


class NoSuchMix(StorageError):
    """A mix id that the file does not hold."""

    def __init__(self, mix_id: int) -> None:
        super().__init__(f"there is no mix {mix_id}; nothing was changed")
        self.mix_id = mix_id


class NoSuchDay(StorageError):
    """The id of a day that the file does not hold."""

    def __init__(self, day_id: int) -> None:
        super().__init__(f"there is no day {day_id}; nothing was changed")
        self.day_id = day_id


class LineNotLive(StorageError):
    """A line that was deleted or corrected meanwhile, perhaps from another screen."""

    def __init__(self, line_id: int, replaced_by_id: int | None) -> None:
        what = "deleted" if replaced_by_id is None else f"corrected by line {replaced_by_id}"
        super().__init__(f"line {line_id} was {what} meanwhile; nothing was changed")
        self.line_id, self.replaced_by_id = line_id, replaced_by_id


class UnreadableCook(StorageError):
    """A cook whose stored values make no sense: damage that no check of SQLite sees."""

    def __init__(self, cook_id: int) -> None:
        super().__init__(
            f"cook {cook_id} holds values that make no sense: the data file was damaged. "
            "It was left as it is. 'doneby doctor' shows what can be done"
        )
        self.cook_id = cook_id


class InvalidEntry(StorageError):
    """A value that the file does not take; nothing of the entry was saved."""

    def __init__(self, field: str, found: object, allowed: str) -> None:
        super().__init__(f"{field} is {shown(found)}; allowed is {allowed}; nothing was saved")
        self.field, self.found, self.allowed = field, found, allowed


class ProbeInUse(StorageError):
    """A probe that has readings cannot be taken out of the plan: they would be lost."""

    def __init__(self, name: str) -> None:
        super().__init__(f"probe {name} has readings and stays in the plan; nothing was changed")
        self.name = name


class FileError(StorageError):
    """Base of the errors about the data file as a whole; `path` names it."""

    def __init__(self, path: Path, message: str) -> None:
        super().__init__(message)
        self.path = path


class NotADataFile(FileError):
    """The path holds something that is not a data file of this program."""

    def __init__(self, path: Path, found: str) -> None:
        super().__init__(
            path,
            f"{path} is {found}, not a data file of doneby. It was left as it is. "
            "Move it away, or let DONEBY_DATA name another file. Had it been a data file, "
            "'doneby doctor' shows what can be done",
        )
        self.found = found


class DamagedFile(FileError):
    """The data file, or a copy of it, does not hold together."""

    def __init__(self, path: Path, found: str) -> None:
        super().__init__(
            path,
            f"{path} is damaged: {found}. It was left as it is. "
            "'doneby doctor' shows what can be done: go back to a backup, or salvage what it holds",
        )
        self.found = found


class NewerSchema(FileError):
    """The data file was written by a newer program."""

    def __init__(self, path: Path, found: str, known: str) -> None:
        super().__init__(
            path,
            f"{path} has schema {found}; this program knows schemas up to {known}. "
            "It was left as it is. Use the newer doneby that wrote it",
        )
        self.found, self.known = found, known


class MigrationFailed(FileError):
    """Bringing an older file up to date failed; the file is as it was."""

    def __init__(self, path: Path, reason: str, copy: Path | None) -> None:
        kept = "" if copy is None else f" A copy is at {copy}."
        super().__init__(
            path, f"{path} could not be brought up to date: {reason}. It was left as it is.{kept}"
        )
        self.reason, self.copy = reason, copy


class NotWritable(FileError):
    """The data file or its folder cannot be read or written by this user."""

    def __init__(self, path: Path, found: str) -> None:
        super().__init__(
            path,
            f"{path} cannot be read and written here: {found}. Nothing was saved. "
            "Check owner and permissions of the file and its folder, "
            "or let DONEBY_DATA name another file",
        )
        self.found = found


class DiskFull(FileError):
    """There was no space left; the entry was not saved, all earlier ones are."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            path,
            f"no space left for {path}. The entry was not saved, all earlier ones are. "
            "Free some space and enter it again",
        )


class FileReplaced(FileError):
    """The data file was moved, deleted or replaced while it was open."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            path,
            f"{path} was moved, deleted or replaced while doneby was running. "
            "Nothing was saved now. Close doneby, put the file back and start again",
        )


class FileBusy(FileError):
    """Another program held the data file for too long."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            path,
            f"another program keeps {path} locked. The entry was not saved, all earlier ones "
            "are. Close the other program and enter it again",
        )


class FileTrouble(FileError):
    """Anything else that the operating system or SQLite refused."""

    def __init__(self, path: Path, found: str) -> None:
        super().__init__(
            path, f"{path}: {found}. Nothing was saved now; all that was saved before is kept"
        )
        self.found = found


class DocumentError(StorageError):
    """A cook document that does not keep to the format; nothing of it was taken."""

    def __init__(self, file: str, json_path: str, found: str, allowed: str) -> None:
        where = f"{file}: {json_path}" if json_path else file
        super().__init__(f"{where}: found {found}; allowed is {allowed}")
        self.file, self.json_path, self.found, self.allowed = file, json_path, found, allowed


def shown(value: object, limit: int = 60) -> str:
    """A value as one short printable line: escapes and bidi marks are spelled out."""
    text = repr(value[:limit] if isinstance(value, str) else value)
    text = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
    cut = len(text) > limit or (isinstance(value, str) and len(value) > limit)
    return f"{text[:limit]}..." if cut else text
