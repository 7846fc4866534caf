"""Leaving at once: threads that still compute must not keep the program open.

A forecast cannot be stopped from outside. When the screens end, every line is in the file and the
terminal is as it was; there is nothing left to wait for.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from typing import Any

MOST_THREADS = 32
PATIENCE_S = 1.0
"""What is nearly done may finish [s]."""


class LooseExecutor(ThreadPoolExecutor):
    """Threads that nobody waits for at the end: what has not begun is dropped."""

    def __init__(self) -> None:
        super().__init__(MOST_THREADS, thread_name_prefix="worker")

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Take no more work, and come back at once."""
        super().shutdown(wait=False, cancel_futures=True)

    @property
    def busy(self) -> list[threading.Thread]:
        """The threads that still run."""
        return [thread for thread in self._threads if thread.is_alive()]


def leave(executor: LooseExecutor, code: int) -> None:
    """End the process now if a thread would keep it open; come back if none does.

    Call it last: nothing of Python's own clearing up happens after it.
    """
    end = time.monotonic() + PATIENCE_S
    for thread in executor.busy:
        thread.join(max(end - time.monotonic(), 0.0))
    if not executor.busy:
        return
    streams: list[Any] = [sys.stdout, sys.stderr]
    for stream in streams:
        if stream is not None:
            try:
                stream.flush()
            except (OSError, ValueError):
                continue
    os._exit(code)
