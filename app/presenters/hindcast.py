"""What the forecast would have said, as the exchange object and as a table to read."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from app.display import Display, plain_number
from app.presenters.status import LEVELS
from core.cook import Cook, Milestone

if TYPE_CHECKING:
    from core.answers import Arrival, Forecast

MINUTE_S = 60.0
NEVER = "never"


def hindcast_object(title: str, forecasts: tuple[Forecast, ...]) -> dict[str, Any]:
    """One entry for each time, probe and milestone not yet reached; minutes from meat-on."""
    return {
        "cook": title,
        "made": [
            _entry(forecast, arrival)
            for forecast in forecasts
            for arrival in forecast.arrivals
            if arrival.reached_s is None
        ],
    }


def _entry(forecast: Forecast, arrival: Arrival) -> dict[str, Any]:
    return {
        "at_minute": _minutes(forecast.now_s),
        "probe": arrival.probe,
        "milestone": arrival.milestone.value,
        **{key: _maybe_minutes(arrival.quantile_s(level)) for key, level in LEVELS},
        "probability_never": round(arrival.probability_never, 6),
    }


def _minutes(elapsed_s: float) -> float:
    return round(elapsed_s / MINUTE_S, 4)


def _maybe_minutes(elapsed_s: float | None) -> float | None:
    return None if elapsed_s is None else _minutes(elapsed_s)


def hindcast_table(
    cook: Cook, started_at: datetime, forecasts: tuple[Forecast, ...], display: Display
) -> list[tuple[str, ...]]:
    """Rows of text, the first is the heading: time, minute, and a column for each milestone."""
    columns = [
        (probe.name, milestone)
        for probe in cook.probes
        for milestone in (Milestone.GLAZE, Milestone.WRAP, Milestone.TARGET)
        if probe.threshold_c(milestone) is not None
    ]
    heads = [f"{probe} {milestone.value}" for probe, milestone in columns]
    rows: list[tuple[str, ...]] = [("made at", "minute", *heads)]
    for forecast in forecasts:
        made = started_at + timedelta(seconds=forecast.now_s)
        cells = [_cell(forecast, *column, started_at, made, display) for column in columns]
        minute = plain_number(forecast.now_s / MINUTE_S, 1)
        rows.append((display.clock(made, started_at), minute, *cells))
    return rows


def _cell(
    forecast: Forecast, probe: str, milestone: Milestone,
    started_at: datetime, made: datetime, display: Display,
) -> str:  # fmt: skip
    arrival = forecast.arrival(probe, milestone)
    if arrival is None:
        return ""

    def clock(elapsed_s: float | None) -> str:
        if elapsed_s is None:
            return NEVER
        return display.clock(started_at + timedelta(seconds=elapsed_s), made)

    if arrival.reached_s is not None:
        return f"reached {clock(arrival.reached_s)}"
    low, middle, high = (clock(arrival.quantile_s(level)) for level in (0.1, 0.5, 0.9))
    return NEVER if low == NEVER else f"{middle} ({low} to {high})"
