"""The forecast of a whole cook: the one function the rest of the program calls."""

from __future__ import annotations

from collections.abc import Callable

from core.answers import Forecast
from core.cook import Cook


def forecast(
    cook: Cook, now_s: float, *, cancelled: Callable[[], bool] = lambda: False
) -> Forecast:
    """Forecast a cook from what is known at `now_s`.

    Parameters
    ----------
    cook : Cook
        Plan, probes, readings and events. Anything later than `now_s` is ignored.
    now_s : float
        Seconds from meat-on.
    cancelled : callable
        Polled between the stages of the fit.

    Returns
    -------
    Forecast

    Raises
    ------
    ForecastCancelled
        `cancelled` returned true.
    UnknownCut, InvalidValue
        The plan cannot be modelled.
    ForecastFailed
        The fit produced nothing usable.
    """
    raise NotImplementedError


def hindcast(
    cook: Cook, *, at_s: tuple[float, ...] | None = None, cancelled: Callable[[], bool] = lambda: False
) -> tuple[Forecast, ...]:
    """What the forecast would have said at each reading time (or at the times `at_s`)."""
    raise NotImplementedError
