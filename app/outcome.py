"""What a typed line led to: the desk's answers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from storage.values import SavedLine


class Action(StrEnum):
    """What an accepted line did."""

    LOGGED = "logged"
    FIXED = "fixed"
    DROPPED = "dropped"
    RESTORED = "restored"
    UNDONE = "undone"
    PLANNED = "planned"
    """The plan was changed; no line was added to the log."""
    ENDED = "ended"
    """The cook is over: served, or ended unserved."""
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
    """The line was saved (committed) and did `action`; `message` says so.

    `line` is the line that was added, corrected, dropped, restored or taken back.
    """

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
    """Nothing was saved: `reason` says what was found and what is allowed.

    `failed` tells that the line was good and the data file could not take it.
    """

    reason: str
    failed: bool = False


Outcome = Accepted | AskOnce | Refused
