"""Runs forecasts beside the event loop, and drops the answers that come too late."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from textual.message import Message
from textual.screen import Screen
from textual.worker import get_current_worker

from app.display import one_line
from app.learned import Learned
from app.presenters.fire import leaving_of
from app.sanity import checked
from core.answers import Forecast
from core.cook import Cook
from core.errors import CoreError, ForecastCancelled
from storage.errors import StorageError

if TYPE_CHECKING:
    from core.fire_leaving import Leaving

log = logging.getLogger(__name__)


class ForecastFunction(Protocol):
    """The shape of :func:`core.forecast.forecast`."""

    def __call__(self, cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
        """Forecast `cook` from what is known at `now_s`."""
        ...


def core_forecast(cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
    """The real forecast; scipy is imported on the first call, in the worker."""
    from core.forecast import forecast

    return forecast(cook, now_s, cancelled=cancelled)


def personal_forecast(learned_now: Callable[[Callable[[], bool]], Learned]) -> ForecastFunction:
    """The real forecast on the prior that own cooks have sharpened.

    `learned_now` is called in the worker, with what tells whether to stop. If the data file cannot
    be asked, the forecast goes by the book.
    """

    def run(cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
        from core.forecast import forecast

        try:
            prior = learned_now(cancelled).prior
        except StorageError as error:
            log.warning("nothing was learned from own cooks: %s", error)
            prior = None
        return forecast(cook, now_s, prior=prior, cancelled=cancelled)

    return run


class ForecastReady(Message):
    """A forecast is finished. `revision` is the number of its request.

    `leaving` says when the fire leaves its band; it is worked out beside the forecast, since that
    would hold up the keys.
    """

    def __init__(self, revision: int, forecast: Forecast, leaving: Leaving | None) -> None:
        super().__init__()
        self.revision, self.forecast, self.leaving = revision, forecast, leaving


class ForecastFailed(Message):
    """A forecast could not be made; the reason is fit for a person to read."""

    def __init__(self, revision: int, reason: str) -> None:
        super().__init__()
        self.revision, self.reason = revision, reason


def _one_line(error: Exception) -> str:
    """The error's words, short enough for the screen; the log has all of them."""
    return one_line(str(error)[:120])


def _leaving(cook: Cook, forecast: Forecast) -> Leaving | None:
    """When the fire leaves its band; not knowing that is no reason to have no forecast."""
    try:
        return leaving_of(cook, forecast.now_s)
    except Exception:
        log.exception("when the fire leaves its band is not known")
        return None


class Forecaster:
    """Numbers the requests of one screen and runs them in its thread workers.

    A thread cannot be stopped: an older request may report after a younger one. So the screen
    asks `is_newest` before it shows an answer.
    """

    def __init__(self, screen: Screen[None], function: ForecastFunction) -> None:
        self._screen, self._function = screen, function
        self.revision = 0
        self.running = False

    def ask(self, cook: Cook, now_s: float) -> int:
        """Start a forecast of an immutable snapshot; older requests are told to stop."""
        self.revision += 1
        revision = self.revision
        self.running = True
        self._screen.run_worker(
            lambda: self._work(revision, cook, now_s),
            name=f"forecast {revision}",
            group="forecast",
            thread=True,
            exclusive=True,
            exit_on_error=False,
        )
        return revision

    def is_newest(self, revision: int) -> bool:
        """Whether this is the answer to the last request; marks it as no longer running."""
        if revision != self.revision:
            return False
        self.running = False
        return True

    def _work(self, revision: int, cook: Cook, now_s: float) -> None:
        worker = get_current_worker()
        try:
            forecast = checked(self._function(cook, now_s, cancelled=lambda: worker.is_cancelled))
        except ForecastCancelled:
            return
        except CoreError as error:
            log.warning("forecast %d failed: %s", revision, error)
            self._report(ForecastFailed(revision, _one_line(error)))
        except Exception as error:
            log.exception("forecast %d failed", revision)
            self._report(ForecastFailed(revision, f"{type(error).__name__}: {_one_line(error)}"))
        else:
            if not worker.is_cancelled:
                self._report(ForecastReady(revision, forecast, _leaving(cook, forecast)))

    def _report(self, message: Message) -> None:
        self._screen.post_message(message)
