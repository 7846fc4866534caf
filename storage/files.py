"""Where the data file lies, and creating files and folders that only their owner can read."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from pathlib import Path

FILE_NAME = "cooks.sqlite3"
VARIABLE = "DONEBY_DATA"
SIDE_FILES = ("-wal", "-shm", "-journal")

_FOLDER_MODE = 0o700
_FILE_MODE = 0o600
_OTHERS = stat.S_IRWXG | stat.S_IRWXO


def default_path(env: Mapping[str, str]) -> Path:
    """Path of the data file: in the user's data folder, unless ``DONEBY_DATA`` says otherwise.

    The variable may name a file or a folder. What does not exist yet counts as a folder if it
    ends in a slash or its name has no suffix.
    """
    override = env.get(VARIABLE, "")
    if not override.strip():
        import platformdirs

        return platformdirs.user_data_path("doneby", appauthor=False) / FILE_NAME
    path = Path(override).expanduser().absolute()
    ends_in_slash = override.endswith(("/", os.sep))
    is_folder = path.is_dir() or (not path.exists() and (ends_in_slash or not path.suffix))
    return path / FILE_NAME if is_folder else path


def make_folder(folder: Path) -> None:
    """Create a folder for its owner alone; one that is there already is left as it is."""
    if not folder.is_dir():
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=_FOLDER_MODE, exist_ok=True)


def make_file(path: Path) -> bool:
    """Create an empty file for its owner alone; False if there was one already.

    It has its mode from the first moment. SQLite gives the mode of a data file to the files it
    puts beside it.
    """
    try:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, _FILE_MODE)
    except FileExistsError:
        return False
    os.close(descriptor)
    return True


def keep_private(path: Path) -> None:
    """Take the access of others away from a data file of ours and from the files beside it."""
    if os.name != "posix":
        return
    for name in (path.name, *(path.name + end for end in SIDE_FILES)):
        file = path.with_name(name)
        try:
            state = file.stat()
        except FileNotFoundError:
            continue
        if state.st_mode & _OTHERS and state.st_uid == os.getuid():
            file.chmod(_FILE_MODE)
