"""What the screens remember between two runs: the palette, the alerts, and when they were alive.

A small file beside the data file. It is a convenience: an unreadable one counts as none.
"""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import mkstemp

LONGEST_SNOOZE = timedelta(hours=4)
"""A whole evening without an alert is switched off, not put off."""


@dataclass(frozen=True, slots=True)
class ScreenState:
    """`seen` is when a screen last ran, aware, as ISO 8601; empty if never.

    `alerts_off` names the kinds of alert that are switched off; `quiet_until`, as ISO 8601, is the
    end of a snooze, empty for none.
    """

    theme: str = "dusk"
    seen: str = ""
    alerts_off: tuple[str, ...] = ()
    quiet_until: str = ""

    def snoozed_until(self, now: datetime) -> datetime | None:
        """The end of a snooze that still runs; None if there is none, or it cannot be true."""
        try:
            until = datetime.fromisoformat(self.quiet_until)
            return until if timedelta(0) < until - now <= LONGEST_SNOOZE else None
        except (ValueError, TypeError):
            return None

    def away_s(self, now: datetime) -> float | None:
        """How long no screen ran [s]; None if that is not known."""
        try:
            seen = datetime.fromisoformat(self.seen)
            return max((now - seen).total_seconds(), 0.0)
        except (ValueError, TypeError):
            return None


def state_path(data: Path) -> Path:
    """Where the state lies for a data file."""
    return data.with_name(f"{data.stem}-screen.json")


def load_state(data: Path) -> ScreenState:
    """The remembered state, or the default one."""
    try:
        found = json.loads(state_path(data).read_text(encoding="utf-8"))
        off = tuple(str(kind) for kind in found.get("alerts_off", ()))
        quiet = str(found.get("quiet_until", ""))
        return ScreenState(str(found["theme"]), str(found["seen"]), off, quiet)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return ScreenState()


def save_state(data: Path, state: ScreenState) -> None:
    """Remember a state; readable by the owner only, replaced as a whole."""
    path = state_path(data)
    # a name that nobody can guess: the folder may be one that others write to
    descriptor, fresh = mkstemp(".new", f"{path.stem}.", path.parent)
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            json.dump(asdict(state), file)
        Path(fresh).replace(path)
    except OSError:
        Path(fresh).unlink(missing_ok=True)
        raise
