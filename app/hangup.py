"""A clean end when the terminal goes away or a signal says stop.

A closed laptop or a dropped line takes the terminal away while the program paints. Textual's
output thread would then die of the first failed write, and the event loop would wait for it for
ever. Here failed writes are dropped, and the program ends by itself.
"""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import threading
from collections.abc import Callable
from types import FrameType
from typing import TYPE_CHECKING, TextIO

from textual import constants
from textual.driver import Driver

if TYPE_CHECKING:
    from textual.app import App

SIGNAL_BASE = 128
"""Exit code of a program ended by a signal is this plus its number (POSIX shells)."""

GONE = SIGNAL_BASE + 1
"""Exit code when the terminal is gone: that of SIGHUP."""

GRACE_S = 10.0
"""Time for a clean end after a signal, before the program is ended the hard way [s]."""

SIGNALS = ("SIGTERM", "SIGHUP")
"""SIGHUP does not exist on Windows."""


class DroppingFile:
    """A terminal to write to that swallows everything once it is gone."""

    def __init__(self, file: TextIO) -> None:
        self._file = file
        self.gone = False

    def write(self, text: str) -> int:
        """Write, or drop."""
        if not self.gone:
            try:
                self._file.write(text)
            except OSError:
                self.gone = True
        return len(text)

    def flush(self) -> None:
        """Flush, or nothing."""
        if not self.gone:
            try:
                self._file.flush()
            except OSError:
                self.gone = True

    def isatty(self) -> bool:
        """As the file."""
        return self._file.isatty()

    def fileno(self) -> int:
        """As the file."""
        return self._file.fileno()


def driver_class() -> type[Driver] | None:
    """Textual's driver with writes that may fail; None where it brings another one."""
    if constants.DRIVER is not None or sys.platform == "win32":
        return None
    from textual.drivers.linux_driver import LinuxDriver

    class PatientDriver(LinuxDriver):
        """Goes on quietly while the program ends without a terminal."""

        def __init__(
            self,
            app: App[object],
            *,
            debug: bool = False,
            mouse: bool = True,
            size: tuple[int, int] | None = None,
        ) -> None:
            super().__init__(app, debug=debug, mouse=mouse, size=size)
            self._file: TextIO = DroppingFile(self._file)  # type: ignore[assignment]

    return PatientDriver


def terminal_is_gone() -> bool:
    """Whether standard input was a terminal and no longer is one."""
    if sys.platform == "win32" or sys.__stdin__ is None:
        return False
    import termios

    try:
        termios.tcgetattr(sys.__stdin__.fileno())
    except (termios.error, OSError, ValueError):
        return True
    return False


def end_on_signals(
    exit_app: Callable[[int], None], loop_of: Callable[[], asyncio.AbstractEventLoop | None]
) -> Callable[[], None]:
    """End the program on SIGTERM and SIGHUP; returns what puts the old handlers back.

    Parameters
    ----------
    exit_app : callable
        Begins a clean end with an exit code; called in the event loop.
    loop_of : callable
        The running loop, None before there is one.
    """

    def handle(number: int, frame: FrameType | None) -> None:
        code = SIGNAL_BASE + number
        # every acknowledged line is committed, so the hard way loses nothing
        last_resort = threading.Timer(GRACE_S, os._exit, (code,))
        last_resort.daemon = True
        last_resort.start()
        loop = loop_of()
        if loop is None or not loop.is_running():
            sys.exit(code)
        loop.call_soon_threadsafe(exit_app, code)

    numbers = [getattr(signal, name) for name in SIGNALS if hasattr(signal, name)]
    before = {number: signal.signal(number, handle) for number in numbers}

    def restore() -> None:
        for number, handler in before.items():
            signal.signal(number, handler)

    return restore
