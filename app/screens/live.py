"""One cook as the Tend screen knows it, turned into the views that its widgets paint."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from typing import TYPE_CHECKING

from app.display import Display, span
from app.presenters.alerts import Call, find_calls
from app.presenters.answers import present_moment
from app.presenters.chart import ChartView, Window, present_chart
from app.presenters.moment import Moment
from app.presenters.tend import (
    LineView,
    Notice,
    TopView,
    correction_text,
    expected_words,
    present_lines,
    present_notices,
    present_top,
    waiting_line,
)
from app.presenters.views import AnswersView
from core.answers import Forecast
from storage.values import SavedCook

if TYPE_CHECKING:
    from core.fire_leaving import Leaving


@dataclass(slots=True)
class LiveCook:
    """The newest snapshot, the newest forecast, and why that is old if it is.

    Attributes
    ----------
    saved : SavedCook
    zone : tzinfo
    slow_s : float
        A forecast older than this, with a newer one asked for, is shown as old [s].
    forecast : Forecast or None
        Of `forecast_of`, which may be an older snapshot.
    failure : str or None
        Why the last forecast could not be made.
    early : bool
        Whether the meat is to be pulled early, so that the rest carries it to its target.
    waiting : dict
        Lines on their way to the file, by number of their write.
    """

    saved: SavedCook
    zone: tzinfo
    slow_s: float = 180.0
    forecast: Forecast | None = None
    failure: str | None = None
    early: bool = False
    waiting: dict[int, tuple[str, datetime]] = field(default_factory=dict)
    # the log's rows depend on the snapshot and, past midnight, on the day
    _log: tuple[SavedCook, date, tuple[LineView, ...]] | None = None
    _leaving: Leaving | None = None

    @property
    def display(self) -> Display:
        """Units of this cook in the zone of the screen."""
        return Display(self.saved.unit, self.saved.mass_unit, self.zone)

    def elapsed_s(self, now: datetime) -> float:
        """Seconds from meat-on to `now`, or to the end of a cook that is over."""
        end = now if self.saved.ended_at is None else min(now, self.saved.ended_at)
        return (end - self.saved.started_at).total_seconds()

    def stale_reason(self, now: datetime, *, running: bool = False) -> str | None:
        """Why the forecast on the screen is not of now; None while it is."""
        if self.failure is not None:
            return self.failure
        if self.forecast is None or not running:
            return None
        age_s = self.elapsed_s(now) - self.forecast.now_s
        if age_s < self.slow_s:
            return None
        return f"it is {span(age_s)} old, the new one is not ready"

    def answers(self, now: datetime, *, running: bool = False) -> AnswersView:
        """The four answers at `now`."""
        reason = self.stale_reason(now, running=running)
        return present_moment(self.moment(now), stale_reason=reason)

    def moment(self, now: datetime) -> Moment:
        """The cook at `now`, for what is worded outside the four answers."""
        return Moment(self.saved, self.forecast, now, self.display, self.leaving, self.early)

    def take(self, forecast: Forecast, leaving: Leaving | None) -> None:
        """Put a newer forecast in the place of the last one."""
        self.forecast, self.failure, self._leaving = forecast, None, leaving

    @property
    def leaving(self) -> Leaving | None:
        """When the fire leaves its band, as of the newest forecast."""
        return None if self.saved.ended_at is not None else self._leaving

    def chart(self, now: datetime, window: Window) -> ChartView:
        """The chart at `now`."""
        return present_chart(
            self.saved,
            self.forecast,
            self._shown_now(now),
            self.display,
            window=window,
            stale=self.failure is not None,
        )

    def top(self, now: datetime) -> TopView:
        """The top line at `now`."""
        return present_top(self.saved, now, self.display)

    def lines(self, now: datetime) -> tuple[LineView, ...]:
        """The log, with the lines that are not in the file yet at its end."""
        display = self.display
        day = display.local(now).date()
        if self._log is None or self._log[0] is not self.saved or self._log[1] != day:
            self._log = (self.saved, day, present_lines(self.saved, now, display))
        on_the_way = (waiting_line(text, at, display) for text, at in self.waiting.values())
        return (*self._log[2], *on_the_way)

    def expected(self, now: datetime) -> str:
        """What the forecast expects the thermometers to show, once something was read."""
        if not self.saved.lines:
            return ""
        return expected_words(self.saved, self.forecast, now, self.display)

    def correction(self, line_id: int) -> str:
        """What to put into the entry to correct a line."""
        return correction_text(self.saved, line_id, self.display)

    def notices(
        self, answers: AnswersView, alerts: tuple[Notice, ...], now: datetime
    ) -> tuple[Notice, ...]:
        """The notice area at `now`."""
        return present_notices(self.saved, answers, now, self.display, alerts)

    def calls(self, answers: AnswersView, now: datetime) -> tuple[Call, ...]:
        """What calls for the cook at `now`."""
        return find_calls(self.moment(now), answers)

    def _shown_now(self, now: datetime) -> datetime:
        ended = self.saved.ended_at
        return now if ended is None else min(now, ended)
