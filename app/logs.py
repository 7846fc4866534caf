"""The log of warnings and errors beside the data file: small, private, and never in the way."""

from __future__ import annotations

import logging
import os
from io import TextIOWrapper
from logging.handlers import RotatingFileHandler
from pathlib import Path

ROOMS = ("app", "storage", "core")
LARGEST = 500_000
"""Then it is put aside for a new one, and the one before that goes [bytes]."""


def log_path(data: Path) -> Path:
    """The log file beside a data file."""
    return data.with_name(f"{data.stem}.log")


class PrivateLog(RotatingFileHandler):
    """Every file it begins is for its owner alone; what it cannot write it drops.

    A full disk must not end the program, or paint over its screens.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(path, maxBytes=LARGEST, backupCount=1, encoding="utf-8", delay=True)
        self.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))

    def _open(self) -> TextIOWrapper:
        descriptor = os.open(self.baseFilename, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        return os.fdopen(descriptor, "a", encoding=self.encoding, errors="backslashreplace")

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802  the library's name
        """Nothing: whoever wanted to log has better things to do."""


def log_to(path: Path) -> PrivateLog:
    """Write warnings and errors of all our rooms to the file at `path`."""
    handler = PrivateLog(path)
    for room in ROOMS:
        logging.getLogger(room).addHandler(handler)
    return handler


def stop_log(handler: PrivateLog) -> None:
    """Write no more, and close the file."""
    for room in ROOMS:
        logging.getLogger(room).removeHandler(handler)
    handler.close()
