"""The desk: where a typed line is read, checked, asked about and saved.

Both the Tend screen and ``doneby say`` go through it, so a line means the same everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from enum import StrEnum
from typing import TYPE_CHECKING

from app.localtime import SYSTEM_ZONE
from storage.values import SavedCook, SavedLine

if TYPE_CHECKING:
    from core.answers import Forecast
    from storage.store import Store


class Action(StrEnum):
    """What an accepted line did."""

    LOGGED = "logged"
    FIXED = "fixed"
    DROPPED = "dropped"
    RESTORED = "restored"
    UNDONE = "undone"
    PLANNED = "planned"
    ENDED = "ended"
    REOPENED = "reopened"
    HELP = "help"
    """Nothing was saved: the message is the card."""


@dataclass(frozen=True, slots=True)
class Preview:
    """How a line would be read if Enter were pressed now.

    ``reads_as`` is empty when `error` is set or nothing was typed; `odd` asks once.
    """

    reads_as: str
    odd: tuple[str, ...] = ()
    error: str | None = None


@dataclass(frozen=True, slots=True)
class Accepted:
    """The line was saved (committed) and did `action`; `message` says so in one line."""

    action: Action
    message: str
    line: SavedLine | None = None


@dataclass(frozen=True, slots=True)
class AskOnce:
    """Nothing was saved: the line is odd. The same line once more is accepted."""

    reads_as: str
    odd: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Refused:
    """Nothing was saved: `reason` says what was found and what is allowed."""

    reason: str


Outcome = Accepted | AskOnce | Refused


class Desk:
    """Reads, checks and saves typed lines.

    May be used from several threads; `preview` is quick enough for every key press.

    Parameters
    ----------
    store : Store
    clock : callable
        The present as an aware datetime.
    zone : tzinfo
        Zone in which clock times are typed and shown.
    cook_id : int or None
        The cook to write to; None is the cook in hand, looked up each time.
    """

    def __init__(
        self,
        store: Store,
        clock: Callable[[], datetime],
        *,
        zone: tzinfo = SYSTEM_ZONE,
        cook_id: int | None = None,
    ) -> None:
        self._store, self._clock, self._zone, self._cook_id = store, clock, zone, cook_id

    def saved(self) -> SavedCook | None:
        """The cook that lines go to, fresh from the file; None if there is none."""
        raise NotImplementedError

    def watch(self, forecast: Forecast | None) -> None:
        """Take the newest forecast: lines are compared with what it expects."""
        raise NotImplementedError

    def preview(self, text: str) -> Preview:
        """How `text` would be read now."""
        raise NotImplementedError

    def accept(
        self, text: str, *, confirmed: bool = False, typed_at: datetime | None = None
    ) -> Outcome:
        """Save a line. An odd one is asked about once, unless `confirmed`.

        `typed_at` is when Enter was pressed, if that is not now.
        """
        raise NotImplementedError
