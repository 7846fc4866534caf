"""How quick the screens are. Figures, no pass or fail: ``pytest tests/bench --benchmark-enable``.

Goals for reading the figures: first paint under 1.5 s warm, a key echoed within 50 ms in 95 of 100
cases while forecasts run, new data on the chart within 8 ms at 200x50 with 5,000 readings.
"""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from app.display import Display
from app.presenters.chart import present_chart
from app.presenters.raster import rasterise
from app.widgets.chart import FanChart
from core.cook import Cook, Plan, Probe, Reading
from core.units import MassUnit, TemperatureUnit
from storage.store import open_store
from storage.values import SavedCook
from tests.journeys.acting import settle, tend, wait_saved
from tests.journeys.stage import Stage, lamb, plain_forecast
from tests.journeys.test_terminal import PROGRAM, Terminal, start

RACING = (
    "import sys; from pathlib import Path\n"
    "from app.screens.cook_screen import CookScreen\n"
    "from app.tui import run\n"
    "show = CookScreen.forecast_done\n"
    "asked = CookScreen.ask_forecast\n"
    "from app.screens import tend\n"
    "plain_show = tend.TendScreen.show\n"
    "def again(screen):\n"
    "    plain_show(screen)\n"
    "    if screen.forecaster.revision and not screen.forecaster.running: asked(screen)\n"
    "tend.TendScreen.show = again\n"
    "sys.exit(run(Path(sys.argv[1])))"
)
"""The program with a forecast always running: a new one is asked for when one is shown."""


def long_cook(readings: int, hours: float) -> Cook:
    """A shoulder that climbs slowly, read at even times."""
    step_s = hours * 3600.0 / readings
    return Cook(
        Plan("pork_shoulder", 3.5, 120.0),
        (Probe("shoulder", 95.0, wrap_c=74.0),),
        tuple(
            Reading(i * step_s, 120.0 + (i % 7), (("shoulder", 5.0 + 70.0 * i / readings),))
            for i in range(readings)
        ),
    )


def saved_of(cook: Cook) -> SavedCook:
    start_at = datetime(2026, 5, 9, 6, 0, tzinfo=UTC)
    return SavedCook(
        1, "A shoulder", start_at, TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, cook, (), None, True
    )


@pytest.mark.parametrize("size", [(120, 40), (200, 50)], ids=lambda size: f"{size[0]}x{size[1]}")
def test_chart_from_new_data_to_strips(benchmark: BenchmarkFixture, size: tuple[int, int]) -> None:
    """5,000 readings: presenter, raster, and the strips of the widget."""
    import asyncio

    from textual.app import App, ComposeResult

    from app.themes import DUSK, variable_defaults

    saved = saved_of(long_cook(5000, 20.0))
    forecast = plain_forecast(saved.cook, 72000.0)
    display = Display(saved.unit, saved.mass_unit, UTC)
    now = saved.started_at + timedelta(hours=20)

    class Only(App[None]):
        def get_theme_variable_defaults(self) -> dict[str, str]:
            return variable_defaults()

        def compose(self) -> ComposeResult:
            yield FanChart()

    async def measure() -> None:
        app = Only()
        app.register_theme(DUSK)
        app.theme = "dusk"
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            chart = app.query_one(FanChart)

            def repaint() -> None:
                chart.view = present_chart(saved, forecast, now, display)
                for y in range(chart.size.height):
                    chart.render_line(y)

            benchmark.pedantic(repaint, rounds=20, warmup_rounds=3)

    asyncio.run(measure())


def test_raster_alone(benchmark: BenchmarkFixture) -> None:
    """5,000 readings at 200x50, without the presenter."""
    saved = saved_of(long_cook(5000, 20.0))
    display = Display(saved.unit, saved.mass_unit, UTC)
    now = saved.started_at + timedelta(hours=20)
    view = present_chart(saved, plain_forecast(saved.cook, 72000.0), now, display)
    benchmark(rasterise, view, 200, 50)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    path = tmp_path / "bench.db"
    store = open_store(path, now=datetime.now(UTC))
    store.create_cook(lamb(datetime.now(UTC) - timedelta(hours=2)))
    store.close()
    return path


def test_first_paint(benchmark: BenchmarkFixture, data: Path) -> None:
    """From the start of the process to the four answers on the terminal, warm."""

    def first_paint() -> None:
        terminal = start(data)
        try:
            terminal.wait_for(b"NEXT LOOK")
        finally:
            terminal.close()

    benchmark.pedantic(first_paint, rounds=5, warmup_rounds=1)


def _echo_times(terminal: Terminal, keys: int) -> list[float]:
    """Seconds from a key to its letter on the terminal."""
    times = []
    for number in range(keys):
        letter = "abcdefghijklmnop"[number % 16]
        terminal.read(0.0)
        terminal.output = b""
        begun = time.perf_counter()
        terminal.write(letter)
        while letter.encode() not in terminal.output:
            terminal.read(0.001)
            assert time.perf_counter() - begun < 10.0
        times.append(time.perf_counter() - begun)
        time.sleep(0.02 + 0.005 * (number % 7))
    return times


@pytest.mark.parametrize("racing", [False, True], ids=["idle", "forecasting"])
def test_key_to_echo(benchmark: BenchmarkFixture, data: Path, racing: bool) -> None:
    """A key typed after ``note``, in a real pseudo-terminal; with and without forecasts."""
    found: list[float] = []

    def type_keys() -> None:
        terminal = start(data, RACING if racing else PROGRAM)
        try:
            terminal.wait_for(b"NEXT LOOK")
            time.sleep(2.0)
            terminal.write("note ")
            time.sleep(0.3)
            found.extend(_echo_times(terminal, 100))
        finally:
            terminal.close()

    benchmark.pedantic(type_keys, rounds=1)
    found.sort()
    benchmark.extra_info["median_ms"] = round(1000 * found[len(found) // 2], 1)
    benchmark.extra_info["p95_ms"] = round(1000 * found[int(0.95 * len(found))], 1)
    benchmark.extra_info["max_ms"] = round(1000 * found[-1], 1)


def test_reading_typed_to_new_forecast_shown(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """From Enter to the new forecast on the screen, in a ten-hour cook with the real forecast."""
    import asyncio

    from app.screens.forecaster import core_forecast

    async def measure() -> None:
        stage = Stage(tmp_path / "bench.db", forecast=core_forecast)
        cook_id = stage.begin()
        for number in range(40):
            stage.clock.pass_minutes(15)
            stage.say(cook_id, f"{250 + number % 5} {40 + number * 2}")
        times = []
        async with stage.app().run_test(size=(120, 40)) as pilot:
            await settle(pilot)
            screen = tend(pilot)
            for number in range(6):
                stage.clock.pass_minutes(1)
                before = screen.live.forecast
                begun = time.perf_counter()
                screen.save_line(f"251 {120 + number}")
                while screen.live.forecast is before or screen.forecaster.running:
                    await asyncio.sleep(0.002)
                times.append(time.perf_counter() - begun)
                await wait_saved(pilot, stage)
        stage.close()
        benchmark.extra_info["each_ms"] = [round(1000 * t) for t in times]

    benchmark.pedantic(lambda: asyncio.run(measure()), rounds=1)
