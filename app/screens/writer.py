"""One writer for all that a screen saves: in order, never cancelled, answered after the commit."""

from __future__ import annotations

import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

from textual.message import Message
from textual.message_pump import MessagePump

from storage.errors import StorageError

log = logging.getLogger(__name__)


class WriteDone(Message):
    """A write has committed. `result` is what the job gave back."""

    def __init__(self, number: int, kind: str, result: object) -> None:
        super().__init__()
        self.number, self.kind, self.result = number, kind, result


class WriteFailed(Message):
    """A write did not happen; nothing of it is in the file."""

    def __init__(self, number: int, kind: str, reason: str) -> None:
        super().__init__()
        self.number, self.kind, self.reason = number, kind, reason


class Writer:
    """A queue with one thread behind it."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="writer")
        self._count = 0

    def submit(self, owner: MessagePump, kind: str, job: Callable[[], object]) -> int:
        """Queue `job`; `owner` hears `WriteDone` or `WriteFailed` with the number given back."""
        self._count += 1
        number = self._count
        self._pool.submit(self._run, owner, number, kind, job)
        return number

    def close(self) -> None:
        """Wait until everything queued is in the file."""
        self._pool.shutdown(wait=True)

    @staticmethod
    def _run(owner: MessagePump, number: int, kind: str, job: Callable[[], object]) -> None:
        try:
            result = job()
        except StorageError as error:
            log.warning("write %d (%s) failed: %s", number, kind, error)
            owner.post_message(WriteFailed(number, kind, str(error)))
        except Exception as error:
            log.exception("write %d (%s) failed", number, kind)
            owner.post_message(WriteFailed(number, kind, f"{type(error).__name__}: {error}"))
        else:
            owner.post_message(WriteDone(number, kind, result))
