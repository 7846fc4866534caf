"""Forecasts beside the typing: late ones, failing ones, and those that time asks for."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace

from app.presenters.views import Mark
from app.widgets.answers import Answers
from core.answers import Forecast
from core.cook import Cook
from core.errors import ForecastFailed
from tests.journeys.acting import settle, tend, type_line, until, wait_saved
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage, lamb, plain_forecast


class HeldForecast:
    """Holds chosen calls back until they are let go."""

    def __init__(self) -> None:
        self.gates: dict[int, threading.Event] = {}
        self.started: list[int] = []
        self.lock = threading.Lock()

    def __call__(self, cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
        with self.lock:
            number = len(self.started) + 1
            self.started.append(number)
        gate = self.gates.get(number)
        if gate is not None:
            # a thread cannot be stopped: this one never looks at `cancelled`
            assert gate.wait(20.0)
        return plain_forecast(cook, now_s)


async def test_a_late_forecast_does_not_win(stage: Stage) -> None:
    stage.begin()
    held = HeldForecast()
    stage.forecast = held
    gate = held.gates[2] = threading.Event()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        screen = tend(pilot)
        stage.clock.pass_minutes(2)
        await pilot.press(*"305 42", "enter")
        await until(pilot, lambda: len(held.started) >= 2)
        # the forecast of the first line is held back while the second one is asked for
        stage.clock.pass_minutes(3)
        await pilot.press(*"306 49", "enter")
        await until(pilot, lambda: len(held.started) >= 3 and not screen.forecaster.running)
        shown = screen.live.forecast
        assert shown is not None and shown.now_s == 300.0
        gate.set()
        await settle(pilot)
        assert screen.live.forecast is shown
        assert screen.live.failure is None


async def test_typing_goes_on_while_a_forecast_runs(stage: Stage) -> None:
    cook_id = stage.begin()
    held = HeldForecast()
    stage.forecast = held
    gate = held.gates[1] = threading.Event()
    async with stage.app().run_test() as pilot:
        await pilot.pause()
        await pilot.press(*"305 42", "enter")
        await until(pilot, lambda: bool(stage.store.cook(cook_id).lines))
        assert tend(pilot).live.forecast is None or len(held.started) > 1
        gate.set()
        await wait_saved(pilot, stage)
        assert "pit 305 °F, leg 42 °F" in text_of(pilot.app)


async def test_a_forecast_that_fails_leaves_the_last_one_and_says_why(stage: Stage) -> None:
    stage.begin()
    broken: list[Exception] = []

    def forecast(cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
        if broken:
            raise broken[0]
        return plain_forecast(cook, now_s)

    stage.forecast = forecast
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        screen = tend(pilot)
        before = screen.live.forecast
        assert before is not None
        failures = (
            (ForecastFailed("no member fits"), "no member fits"),
            (ZeroDivisionError("a bug"), "ZeroDivisionError"),
        )
        for number, (error, words) in enumerate(failures):
            broken[:] = [error]
            stage.clock.pass_minutes(1)
            await type_line(pilot, stage, f"note number {number}")
            assert screen.live.forecast is before
            view = screen.query_one(Answers).view
            assert view is not None and view.done.mark is Mark.STALE
            assert words in text_of(pilot.app)
            assert "stale" in text_of(pilot.app)
        broken.clear()
        screen.ask_forecast()
        await settle(pilot)
        assert screen.live.failure is None
        assert screen.live.forecast is not before
        assert len(screen.live.saved.lines) == 2, "the log went on"


async def test_time_alone_asks_for_a_new_forecast(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        screen = tend(pilot)
        first = screen.forecaster.revision
        stage.clock.pass_minutes(0.5)
        screen.beat()
        assert screen.forecaster.revision == first
        stage.clock.pass_minutes(0.6)
        screen.beat()
        assert screen.forecaster.revision == first + 1
        await settle(pilot)
        assert screen.live.forecast is not None and screen.live.forecast.now_s == 66.0


async def test_a_slow_forecast_is_shown_as_old(stage: Stage) -> None:
    stage.begin()
    held = HeldForecast()
    stage.forecast = held
    gate = held.gates[2] = threading.Event()
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        stage.clock.pass_minutes(2)
        tend(pilot).beat()
        stage.clock.pass_minutes(3)
        tend(pilot).beat()
        await pilot.pause()
        assert "the new one is not ready" in text_of(pilot.app)
        gate.set()
        await settle(pilot)
        assert "the new one is not ready" not in text_of(pilot.app)


async def test_an_alert_calls_once_and_stays_until_a_line(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        screen = tend(pilot)
        assert not any("NEXT LOOK" in alert.text for alert in screen.alerts)
        for _ in range(3):
            stage.clock.pass_minutes(14)
            screen.beat()
            await settle(pilot)
        assert sum("NEXT LOOK" in alert.text for alert in screen.alerts) == 1
        await pilot.press("escape")
        await settle(pilot)
        assert screen.alerts == ()
        stage.clock.pass_minutes(1.5)
        screen.beat()
        await settle(pilot)
        assert screen.alerts == (), "it was seen and does not call again"


async def test_a_cook_without_a_probe_is_shown_without_a_failure(stage: Stage) -> None:
    stage.begin(replace(lamb(), probes=(), title=""))
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305")
        words = text_of(pilot.app)
        assert "leg of lamb 5.5 lb" in words
        assert "no probe in the meat" in words
        assert "pit 305 °F" in words
        assert "failed" not in words
