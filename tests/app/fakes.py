"""Hand-made forecasts, cooks and clocks for tests of what is worded from them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from app.display import Display
from app.presenters.answers import AnswersView, present_answers
from core.answers import (
    Arrival,
    Fan,
    FireOutlook,
    Forecast,
    Holdback,
    NextLook,
    Rest,
    Suspect,
)
from core.cook import Cook, Event, EventKind, Milestone, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit, f_to_c
from storage.values import SavedCook, SavedLine

BERLIN = ZoneInfo("Europe/Berlin")
START = datetime.fromisoformat("2026-05-09T13:00:00+02:00")
DISPLAY_C = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, BERLIN)
DISPLAY_F = Display(TemperatureUnit.FAHRENHEIT, MassUnit.POUND, BERLIN)
BREAST = Probe("breast", 74.0, 5.0, 62.0)
PLAN = Plan("duck", 2.3, 150.0, serve_s=4.5 * 3600.0, rest_s=900.0)


def minutes(count: float) -> float:
    """Seconds of so many minutes."""
    return 60.0 * count


def at(count: float) -> datetime:
    """The instant so many minutes from meat-on."""
    return START + timedelta(minutes=count)


def draws(low: float, middle: float, high: float, never: float = 0.0) -> np.ndarray:
    """Minutes as draws [s] whose 10, 50 and 90 % quantiles are about those given."""
    levels = (np.arange(200) + 0.5) / 200
    values = np.interp(levels, [0.0, 0.1, 0.5, 0.9, 1.0],
                       [low - 5.0, low, middle, high, high + 10.0])  # fmt: skip
    found = 60.0 * values
    if never:
        found[int(200 * (1.0 - never)) :] = np.inf
    return found


def arrival(
    milestone: Milestone = Milestone.TARGET,
    low: float = 150.0,
    middle: float = 180.0,
    high: float = 220.0,
    *,
    never: float = 0.0,
    reached: float | None = None,
    probe: str = "breast",
    threshold_c: float | None = 74.0,
) -> Arrival:
    """An arrival in minutes from meat-on."""
    values = draws(low, middle, high, never)
    if reached is not None:
        values = np.full(200, minutes(reached))
    return Arrival(
        probe, milestone, threshold_c, values, None if reached is None else minutes(reached)
    )


def fire(
    pit_c: float = 150.0,
    *,
    slope_c_per_s: float = 0.0,
    chance: float = 0.93,
    leaves: float | None = None,
    last_pit: float | None = 95.0,
    spread_c: float = 4.0,
) -> FireOutlook:
    """A fire in its band unless told otherwise."""
    return FireOutlook(
        pit_c, pit_c - spread_c, pit_c + spread_c, slope_c_per_s, 140.0, 165.0, chance,
        None if leaves is None else minutes(leaves),
        None if last_pit is None else minutes(last_pit),
    )  # fmt: skip


def fan(name: str, low_c: float, high_c: float) -> Fan:
    """A fan that is as wide at all times."""
    times = np.array([0.0, 86400.0])
    rows = np.linspace(low_c, high_c, 7)[:, None] * np.ones(2)
    return Fan(name, times, rows)


def forecast(
    *arrivals: Arrival,
    now: float = 100.0,
    outlook: FireOutlook | None = None,
    look: NextLook | None = None,
    rests: Sequence[Rest] = (),
    suspects: Sequence[Suspect] = (),
    holdbacks: Sequence[Holdback] = (),
    fans: Sequence[Fan] = (),
) -> Forecast:
    """A forecast made so many minutes from meat-on."""
    return Forecast(
        minutes(now), arrivals or (arrival(),), tuple(fans), outlook or fire(), look,
        tuple(rests), tuple(suspects), tuple(holdbacks), 5,
    )  # fmt: skip


def saved_cook(
    *,
    plan: Plan = PLAN,
    probes: tuple[Probe, ...] = (BREAST,),
    readings: Sequence[Reading] = (),
    events: Sequence[Event] = (),
    ended: float | None = None,
    unit: TemperatureUnit = TemperatureUnit.CELSIUS,
) -> SavedCook:
    """A saved cook with one line for each reading and event."""
    cook = Cook(plan, probes, tuple(readings), tuple(events))
    parts: list[Reading | Event] = [*cook.readings, *cook.events]
    lines = tuple(
        SavedLine(
            number, 1, "typed", at(part.elapsed_s / 60.0), at(part.elapsed_s / 60.0),
            (part,) if isinstance(part, Reading) else (),
            (part,) if isinstance(part, Event) else (),
            False, None, None,
        )
        for number, part in enumerate(sorted(parts, key=lambda part: part.elapsed_s), start=1)
    )  # fmt: skip
    mass = MassUnit.KILOGRAM if unit is TemperatureUnit.CELSIUS else MassUnit.POUND
    ended_at = None if ended is None else at(ended)
    return SavedCook(1, "An invented duck", START, unit, mass, cook, lines, ended_at, True)


def reading_f(minute: float, pit_f: float | None = None, **meat_f: float) -> Reading:
    """A reading in °F, as a test says it."""
    return Reading(
        minutes(minute),
        None if pit_f is None else f_to_c(pit_f),
        tuple((name, f_to_c(value)) for name, value in meat_f.items()),
    )


GLAZE = arrival(Milestone.GLAZE, 110.0, 120.0, 132.0, threshold_c=62.0)
GLAZED = Event(minutes(90), EventKind.GLAZED)
PULLED = Event(minutes(100), EventKind.PULLED)


def shown(
    made: Forecast | None,
    now: float = 100.0,
    saved: SavedCook | None = None,
    display: Display = DISPLAY_C,
    stale: str | None = None,
) -> AnswersView:
    """The answers so many minutes from meat-on."""
    return present_answers(saved or saved_cook(), made, at(now), display, stale_reason=stale)
