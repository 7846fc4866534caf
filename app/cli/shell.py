"""What a text command may touch: streams, environment, clock and the data file."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from app.display import inert
from app.localtime import SYSTEM_ZONE, system_clock

if TYPE_CHECKING:
    from storage.store import Store

OK, FAILED, BAD_INPUT = 0, 1, 2


class CommandError(Exception):
    """A command that did not do what it was asked; `code` is its exit status."""

    def __init__(self, message: str, code: int = BAD_INPUT) -> None:
        super().__init__(message)
        self.code = code


@dataclass(frozen=True, slots=True)
class Shell:
    """The surroundings of one run. Tests put their own in."""

    env: Mapping[str, str] = field(default_factory=lambda: os.environ)
    clock: Callable[[], datetime] = system_clock
    zone: tzinfo = SYSTEM_ZONE
    out: TextIO | None = field(default_factory=lambda: sys.stdout)
    err: TextIO | None = field(default_factory=lambda: sys.stderr)
    stdin: TextIO | None = field(default_factory=lambda: sys.stdin)
    pause: Callable[[float], None] = time.sleep

    def say(self, text: str) -> None:
        """One or more lines of result, with nothing in them that acts on a terminal."""
        if self.out is not None:
            print(inert(text), file=self.out)

    def complain(self, text: str) -> None:
        """One message on the error stream."""
        if self.err is not None:
            print(f"doneby: {inert(text)}", file=self.err)

    @property
    def data_path(self) -> Path:
        """Path of the data file."""
        from storage.files import default_path

        return default_path(self.env)

    @contextmanager
    def store(self) -> Iterator[Store]:
        """The data file, opened; raises StorageError."""
        from storage.store import open_store

        store = open_store(self.data_path, now=self.clock())
        try:
            if store.notice:
                self.complain(store.notice)
            yield store
        finally:
            store.close()
