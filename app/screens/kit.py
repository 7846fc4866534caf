"""What every screen is given: the store, the one writer, the clock and the forecast."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from app.desk import Desk
from app.presenters.alerts import AlertChoices
from app.screens.forecaster import ForecastFunction
from app.screens.writer import Writer
from storage.store import Store


@dataclass(frozen=True, slots=True)
class Kit:
    """Wired once, in :func:`app.tui.run` or in a test.

    Attributes
    ----------
    store : Store
    writer : Writer
        All writes of all screens go through it.
    clock : callable
        The present as an aware datetime.
    zone : tzinfo
        Zone of the clock times that are typed and shown.
    forecast : ForecastFunction
    watch_sleep : bool
        Whether a gap in time means that the machine slept; not so while a replay races.
    beat_s : float
        Time between two looks at the clock and the file [s].
    slow_s : float
        A forecast older than this, with a newer one asked for, is shown as old [s].
    rings : bool
        Whether a new alert rings the terminal's bell.
    alerts : AlertChoices
        The kinds of alert that are switched off.
    """

    store: Store
    writer: Writer
    clock: Callable[[], datetime]
    zone: tzinfo
    forecast: ForecastFunction
    watch_sleep: bool = True
    beat_s: float = 1.0
    slow_s: float = 180.0
    rings: bool = True
    alerts: AlertChoices = field(default_factory=AlertChoices)

    def desk(self, cook_id: int) -> Desk:
        """The desk of one cook."""
        return Desk(self.store, self.clock, zone=self.zone, cook_id=cook_id)
