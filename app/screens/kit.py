"""What every screen is given: the store, the one writer, the clock and the forecast."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from app.desk import Desk
from app.learned import Learned, Learning
from app.presenters.alerts import AlertChoices
from app.screens.forecaster import ForecastFunction, personal_forecast
from app.screens.writer import Writer
from storage.store import Store
from storage.values import NewCook, SavedCook


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
    learning : Learning or None
        What own cooks teach; None goes by the book and by `forecast` alone.
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
    learning: Learning | None = None

    def forecast_of(self, saved: Callable[[], SavedCook]) -> ForecastFunction:
        """The forecast of one cook, on what own cooks taught until its meat went on."""
        learning = self.learning
        if learning is None:
            return self.forecast
        return personal_forecast(lambda stop: learning.for_cook(saved(), cancelled=stop))

    def forecast_of_new(self, new: Callable[[], NewCook]) -> ForecastFunction:
        """The forecast of a cook that is not in the file yet."""
        learning = self.learning
        if learning is None:
            return self.forecast

        def learned_now(stop: Callable[[], bool]) -> Learned:
            asked = new()
            return learning.of(asked.plan.cut, asked.started_at, cancelled=stop)

        return personal_forecast(learned_now)

    def desk(self, cook_id: int) -> Desk:
        """The desk of one cook."""
        return Desk(self.store, self.clock, zone=self.zone, cook_id=cook_id)
