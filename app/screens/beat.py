"""The screen's heartbeat: what has changed since it last looked at the clock and the file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

REFORECAST_S = 60.0
"""A forecast is made anew after this long, as time passes [s]."""

EARLY = 0.5
"""From this share of the time on, the next full minute is the time for a new forecast."""

ASLEEP_S = 120.0
"""A gap between two beats this long means that the machine slept [s]."""


@dataclass(frozen=True, slots=True)
class Beat:
    """What one beat found.

    Attributes
    ----------
    new_minute : bool
        The clock shows another minute: paint what depends on it.
    file_changed : bool
        Some process committed to the data file.
    forecast_due : bool
    asleep_s : float
        How long nothing ran, 0 unless that was long [s].
    """

    new_minute: bool
    file_changed: bool
    forecast_due: bool
    asleep_s: float


class Heartbeat:
    """Compares the clock and the file's change token with the last look at them.

    Times come from the clock, never from counting beats: a timer may skip some.
    """

    def __init__(self, token: Callable[[], int], *, watch_sleep: bool = True) -> None:
        self._token, self._watch_sleep = token, watch_sleep
        self.reforecast_s = REFORECAST_S
        self._last_token: int | None = None
        self._last: datetime | None = None
        self._minute: int | None = None
        self._forecast_at: datetime | None = None

    def forecast_asked(self, now: datetime) -> None:
        """Count the time to the next forecast from `now`."""
        self._forecast_at = now

    def look(self, now: datetime) -> Beat:
        """Look once."""
        minute = int(now.timestamp() // 60)
        new_minute = minute != self._minute
        token = self._token()
        file_changed = self._last_token is not None and token != self._last_token
        gap_s = 0.0 if self._last is None else (now - self._last).total_seconds()
        since_s = 0.0
        if self._forecast_at is not None:
            since_s = abs((now - self._forecast_at).total_seconds())
        # with the minute, so that one repaint serves the clock and the forecast
        due = new_minute and since_s >= EARLY * self.reforecast_s
        self._last, self._last_token, self._minute = now, token, minute
        asleep_s = gap_s if self._watch_sleep and gap_s >= ASLEEP_S else 0.0
        return Beat(new_minute, file_changed, due, asleep_s)
