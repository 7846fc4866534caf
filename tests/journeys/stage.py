"""Sets the stage: a clock that stands still, a data file, cooks in it, and a plain forecast."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path

import numpy as np

from app.demo import new_cook, schedule
from app.desk import Accepted, Desk
from app.samples import sample_files
from app.screens.forecaster import ForecastFunction
from app.screens.kit import Kit
from app.screens.writer import Writer
from app.tui import DonebyApp
from core.answers import Arrival, Fan, FireOutlook, Forecast, NextLook
from core.cook import Cook, Milestone, Plan, Probe
from core.units import MassUnit, TemperatureUnit
from storage.documents import read_document
from storage.store import Store, open_store
from storage.values import NewCook

ZONE = timezone(timedelta(hours=-5))
NOON = datetime(2026, 5, 9, 12, 0, tzinfo=ZONE)


@dataclass(slots=True)
class StageClock:
    """A clock that shows what it is told."""

    shown: datetime = NOON

    def __call__(self) -> datetime:
        return self.shown

    def pass_minutes(self, minutes: float) -> None:
        """Move on."""
        self.shown += timedelta(minutes=minutes)


def plain_forecast(
    cook: Cook, now_s: float, *, cancelled: Callable[[], bool] = lambda: False
) -> Forecast:
    """A forecast without a model: every probe closes half of its gap to the pit in two hours.

    For tests of what the screens do with a forecast, not of the forecast.
    """
    ahead = np.linspace(0.0, max(now_s, 0.0) + 6 * 3600.0, 121)
    levels = np.array([-1.645, -1.282, -0.674, 0.0, 0.674, 1.282, 1.645])[:, None]
    fans, arrivals = [], []
    for probe in cook.probes:
        start_c, start_s = 5.0, 0.0
        for reading in cook.readings:
            temp_c = reading.of(probe.name)
            if temp_c is not None and reading.elapsed_s <= now_s:
                start_c, start_s = temp_c, reading.elapsed_s
        tau_s = 7200.0 / np.log(2.0)
        since = np.maximum(ahead - start_s, 0.0)
        middle = cook.plan.pit_c + (start_c - cook.plan.pit_c) * np.exp(-since / tau_s)
        fans.append(Fan(probe.name, ahead, middle + levels * since / 900.0))
        for milestone in (Milestone.GLAZE, Milestone.WRAP, Milestone.TARGET):
            threshold = probe.threshold_c(milestone)
            if threshold is not None:
                arrivals.append(_arrival(probe, milestone, threshold, start_c, start_s, cook))
    fans.append(Fan("pit", ahead, cook.plan.pit_c + levels * np.full_like(ahead, 4.0)))
    pits = [r.pit_c for r in cook.readings if r.pit_c is not None]
    times = [r.elapsed_s for r in cook.readings if r.pit_c is not None]
    pit_c = pits[-1] if pits else cook.plan.pit_c
    fire = FireOutlook(
        pit_c, pit_c - 3, pit_c + 3, 0.0, cook.plan.pit_c - 15, cook.plan.pit_c + 15, 0.9, None,
        times[-1] if times else None,
    )  # fmt: skip
    last = max((r.elapsed_s for r in cook.readings), default=now_s)
    look = NextLook(last + 1500.0, "target", cook.probes[0].name)
    return Forecast(now_s, tuple(arrivals), tuple(fans), fire, look)


def _arrival(
    probe: Probe, milestone: Milestone, threshold: float, start_c: float, start_s: float, cook: Cook
) -> Arrival:
    gap = (cook.plan.pit_c - start_c) / max(cook.plan.pit_c - threshold, 1.0)
    if gap <= 1.0:
        return Arrival(probe.name, milestone, threshold, np.full(9, start_s), start_s)
    middle_s = start_s + 7200.0 * np.log2(gap)
    width_s = 0.15 * (middle_s - start_s)
    draws = middle_s + width_s * np.linspace(-1.6, 1.6, 99)
    return Arrival(probe.name, milestone, threshold, draws)


def lamb(started_at: datetime = NOON) -> NewCook:
    """An invented leg of lamb in °F and lb."""
    return NewCook(
        title="Lamb for the garden table",
        started_at=started_at,
        unit=TemperatureUnit.FAHRENHEIT,
        mass_unit=MassUnit.POUND,
        plan=Plan("leg_of_lamb", 2.5, 150.0, serve_s=4 * 3600.0, rest_s=1200.0),
        probes=(Probe("leg", 62.8, glaze_c=50.0),),
    )


@dataclass(slots=True)
class Stage:
    """A data file with its clock, and apps opened on it."""

    path: Path
    clock: StageClock = field(default_factory=StageClock)
    forecast: ForecastFunction = plain_forecast
    store: Store = field(init=False)
    writer: Writer = field(init=False)

    def __post_init__(self) -> None:
        self.store = open_store(self.path, now=self.clock())
        self.writer = Writer()

    @property
    def kit(self) -> Kit:
        """What screens are given."""
        zone = self.clock.shown.tzinfo or ZONE
        return Kit(self.store, self.writer, self.clock, zone, self.forecast, rings=False)

    def app(self) -> DonebyApp:
        """The program on this data file."""
        return DonebyApp(self.kit, data=self.path)

    def begin(self, new: NewCook | None = None) -> int:
        """Put a cook into the file."""
        return self.store.create_cook(new or lamb(self.clock()))

    def say(self, cook_id: int, text: str) -> None:
        """A line from somewhere else, such as another terminal."""
        desk = Desk(self.store, self.clock, zone=ZONE, cook_id=cook_id)
        outcome = desk.accept(text, confirmed=True, typed_at=self.clock())
        assert isinstance(outcome, Accepted), outcome

    def play(self, sample: str, until_min: float) -> int:
        """A sample cook with all lines up to a minute, and the clock there."""
        document = read_document(sample_files()[sample])
        zone = document.started_at.tzinfo
        cook_id = self.store.create_cook(new_cook(document))
        desk = Desk(self.store, self.clock, zone=zone or ZONE, cook_id=cook_id)
        for line in schedule(document):
            if line.elapsed_s <= until_min * 60.0:
                at = document.started_at + timedelta(seconds=line.elapsed_s)
                outcome = desk.accept(line.text, confirmed=True, typed_at=at)
                assert isinstance(outcome, Accepted), outcome
        self.clock.shown = document.started_at + timedelta(minutes=until_min)
        return cook_id

    def close(self) -> None:
        """End everything."""
        self.writer.close()
        self.store.close()
