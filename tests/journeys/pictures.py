"""Makes pictures of every screen: ``python -m tests.journeys.pictures FOLDER [NAME...]``.

SVG always; PNG beside it when Chromium is installed. The cooks are the invented samples and the
forecasts are real, so a picture shows what a person would see.
"""

from __future__ import annotations

import asyncio
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

from textual.pilot import Pilot

from app.day_book import save_day
from app.day_pieces import numbered, read_piece
from app.day_wish import KeptWish
from app.screens.cook_screen import CookScreen
from app.screens.dayline import DaylineScreen
from app.screens.forecaster import Forecaster, core_forecast
from app.tui import DonebyApp
from core.answers import Forecast
from core.day_values import DayWish
from core.units import MassUnit, TemperatureUnit
from tests.household.cook import fill
from tests.journeys.acting import settle
from tests.journeys.stage import ZONE, Stage

HOUSEHOLD = ("2026-01-17", "2026-03-07", "2026-03-14", "2026-03-28", "2026-06-06")
"""Days of the invented household that are put into the Ledger."""

SIZES = ((80, 24), (120, 40), (200, 50))
MODES = ("dusk", "noon", "no-color")

Act = Callable[[Stage, Pilot[None]], Awaitable[None]]


async def _keys(pilot: Pilot[None], *keys: str) -> None:
    await pilot.press(*keys)
    await settle(pilot)


async def duck(stage: Stage, pilot: Pilot[None]) -> None:
    """Tend in the middle of a cook, with a line half typed."""
    await _keys(pilot, *"153 57")


async def patio(stage: Stage, pilot: Pilot[None]) -> None:
    """The large letters."""
    await _keys(pilot, "f5")


async def lines(stage: Stage, pilot: Pilot[None]) -> None:
    """A line picked for correction."""
    await _keys(pilot, "f2", "up", "up")


async def odd(stage: Stage, pilot: Pilot[None]) -> None:
    """An odd line that is asked about."""
    await _keys(pilot, *"153 13", "enter")


async def cursor(stage: Stage, pilot: Pilot[None]) -> None:
    """The chart read off ahead of now."""
    await _keys(pilot, "f6", *["right"] * 12)


async def help_card(stage: Stage, pilot: Pilot[None]) -> None:
    """The card."""
    await _keys(pilot, "f1")


async def fire_page(stage: Stage, pilot: Pilot[None]) -> None:
    """The page of the fire, with refuels and a change of vents."""
    await _keys(pilot, "f9")


async def levers_page(stage: Stage, pilot: Pilot[None]) -> None:
    """The levers, worked out."""
    await _keys(pilot, "f9", "f9")


async def tables_page(stage: Stage, pilot: Pilot[None]) -> None:
    """The published tables."""
    await _keys(pilot, "f9", "f9", "f9")


async def resting(stage: Stage, pilot: Pilot[None]) -> None:
    """Spots checked and the meat pulled a moment ago."""
    await _keys(pilot, *"spot thigh 78, breast 75, wing 80", "enter")
    await _keys(pilot, *"pull", "enter")


async def patio_rest(stage: Stage, pilot: Pilot[None]) -> None:
    """The large letters after the pull."""
    await resting(stage, pilot)
    await _keys(pilot, "f5")


async def served(stage: Stage, pilot: Pilot[None]) -> None:
    """Served: the leftovers count down."""
    await resting(stage, pilot)
    await _keys(pilot, *"serve", "enter")
    stage.clock.pass_minutes(95)
    await _keys(pilot, "x", "backspace")
    pilot.app.screen.beat()  # type: ignore[attr-defined]
    await settle(pilot)


async def ledger(stage: Stage, pilot: Pilot[None]) -> None:
    """Some days of the invented household in the Ledger, two of them picked."""
    fill(stage.store, HOUSEHOLD)
    await _keys(pilot, "f3")
    await _keys(pilot, "slash", *"march lamb", "enter", "space", "space", "up")


async def review(stage: Stage, pilot: Pilot[None]) -> None:
    """Why a windy day ran late."""
    await ledger(stage, pilot)
    await _keys(pilot, "enter")


async def review_chart(stage: Stage, pilot: Pilot[None]) -> None:
    """What happened on it."""
    await review(stage, pilot)
    await _keys(pilot, "2", *["left"] * 20)


async def review_moved(stage: Stage, pilot: Pilot[None]) -> None:
    """How its projected finish moved."""
    await review(stage, pilot)
    await _keys(pilot, "3")


async def compare(stage: Stage, pilot: Pilot[None]) -> None:
    """The windy day beside the calm one."""
    await ledger(stage, pilot)
    await _keys(pilot, "c")


async def compare_chart(stage: Stage, pilot: Pilot[None]) -> None:
    """Both on one chart, aligned at a core temperature."""
    await compare(stage, pilot)
    await _keys(pilot, "2", "a")


async def outcome(stage: Stage, pilot: Pilot[None]) -> None:
    """How it turned out."""
    await review(stage, pilot)
    await _keys(pilot, "o")


async def form(stage: Stage, pilot: Pilot[None]) -> None:
    """The start form with its first forecast."""
    await asyncio.sleep(0.6)
    await settle(pilot)


async def _day(stage: Stage, pilot: Pilot[None], *keys: str) -> None:
    """An invented day of two pieces, its fire lit an hour late."""
    now = stage.clock()
    units = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    meat = numbered(
        read_piece(text, *units, now, ZONE) for text in ("leg_of_lamb 5lb", "whole_chicken 4lb wet")
    )
    wish = DayWish(meat, now + timedelta(hours=25), now, 8)
    day_id = save_day(stage.store, KeptWish(wish, *units), now)
    await _keys(pilot, "f12")
    # the day is laid out beside the loop; before that there is nothing to open
    await _keys(pilot, *keys)
    if not keys:
        stage.clock.pass_minutes(21.5 * 60)
        stage.store.days.tick(day_id, "light", stage.clock())
        screen = pilot.app.screen
        assert isinstance(screen, DaylineScreen)
        screen.beat()
        await settle(pilot)
        await _keys(pilot, "down")


async def dayline(stage: Stage, pilot: Pilot[None]) -> None:
    """A day with something in its way."""
    await _day(stage, pilot)


async def day_all(stage: Stage, pilot: Pilot[None]) -> None:
    """Every step with its reasons."""
    await _day(stage, pilot, "f6")


async def day_form(stage: Stage, pilot: Pilot[None]) -> None:
    """What is wished for."""
    await _day(stage, pilot, "f2")
    await asyncio.sleep(0.6)
    await settle(pilot)


async def mix(stage: Stage, pilot: Pilot[None]) -> None:
    """A brine weighed up."""
    await _day(stage, pilot, "f7")
    await _keys(pilot, *"1/2 cup kosher salt", "enter", *"1 gallon water")


async def start_bad(stage: Stage, pilot: Pilot[None]) -> None:
    """The start form with a field that cannot be read."""
    await form(stage, pilot)
    await _keys(pilot, *["tab"] * 4, *"five", "tab")
    await form(stage, pilot)


async def ledger_help(stage: Stage, pilot: Pilot[None]) -> None:
    """The card of the Ledger."""
    await ledger(stage, pilot)
    await _keys(pilot, "f1")


async def day_empty(stage: Stage, pilot: Pilot[None]) -> None:
    """The Dayline with nothing on it."""
    await _keys(pilot, "f12")


async def day_help(stage: Stage, pilot: Pilot[None]) -> None:
    """The card of the Dayline."""
    await _day(stage, pilot, "f1")


async def mix_help(stage: Stage, pilot: Pilot[None]) -> None:
    """What F1 shows over the mixes."""
    await _day(stage, pilot, "f7")
    await _keys(pilot, "f1")


async def replay(stage: Stage, pilot: Pilot[None]) -> None:
    """A sample replayed."""
    await _keys(pilot, "f9")
    await asyncio.sleep(6.0)
    await pilot.press("space")
    await settle(pilot)


async def palette(stage: Stage, pilot: Pilot[None]) -> None:
    """The commands of the screens."""
    await _keys(pilot, "ctrl+p")
    await asyncio.sleep(0.4)


async def refused(stage: Stage, pilot: Pilot[None]) -> None:
    """A line that cannot be read, after Enter."""
    await _keys(pilot, *"153 fifty", "enter")


async def late(stage: Stage, pilot: Pilot[None]) -> None:
    """An hour without a reading, the meal near."""
    stage.clock.pass_minutes(75)
    pilot.app.screen.beat()  # type: ignore[attr-defined]
    await settle(pilot)


async def patio_late(stage: Stage, pilot: Pilot[None]) -> None:
    """The large letters when nothing was read for long."""
    await late(stage, pilot)
    await _keys(pilot, "f5")


async def stale(stage: Stage, pilot: Pilot[None]) -> None:
    """The forecast fails and the last one stays."""

    def fails(*_: object, **__: object) -> Forecast:
        raise ValueError("the numbers ran out")

    screen = pilot.app.screen
    assert isinstance(screen, CookScreen)
    screen.forecaster = Forecaster(screen, fails)
    stage.clock.pass_minutes(12)
    await _keys(pilot, *"150 55", "enter")


async def away(stage: Stage, pilot: Pilot[None]) -> None:
    """The cook that is over, its leftovers cold."""
    await served(stage, pilot)
    await _keys(pilot, *"away", "enter")


async def still(stage: Stage, pilot: Pilot[None]) -> None:
    """The screen as it comes up."""


SCENES: dict[str, tuple[str | None, float, Act]] = {
    "tend-duck": ("duck-autumn-afternoon", 104.0, duck),
    "tend-shoulder": ("pork-shoulder-overnight", 420.0, still),
    "tend-two-probes": ("chicken-pieces-two-probes", 46.0, still),
    "tend-first": ("leg-of-lamb-spring", 2.0, still),
    "fire-page": ("pork-shoulder-overnight", 420.0, fire_page),
    "levers-page": ("duck-autumn-afternoon", 104.0, levers_page),
    "tables-page": ("chicken-pieces-two-probes", 60.0, tables_page),
    "tend-resting": ("duck-autumn-afternoon", 190.0, resting),
    "tend-served": ("duck-autumn-afternoon", 190.0, served),
    "patio-resting": ("duck-autumn-afternoon", 190.0, patio_rest),
    "patio": ("duck-autumn-afternoon", 104.0, patio),
    "lines": ("duck-autumn-afternoon", 104.0, lines),
    "odd": ("duck-autumn-afternoon", 104.0, odd),
    "cursor": ("leg-of-lamb-spring", 80.0, cursor),
    "help": ("duck-autumn-afternoon", 104.0, help_card),
    "ledger": ("salmon-side-evening", 30.0, ledger),
    "review": ("salmon-side-evening", 30.0, review),
    "review-chart": ("salmon-side-evening", 30.0, review_chart),
    "review-moved": ("salmon-side-evening", 30.0, review_moved),
    "compare": ("salmon-side-evening", 30.0, compare),
    "compare-chart": ("salmon-side-evening", 30.0, compare_chart),
    "outcome": ("salmon-side-evening", 30.0, outcome),
    "start": (None, 0.0, form),
    "dayline": (None, 0.0, dayline),
    "day-all": (None, 0.0, day_all),
    "day-form": (None, 0.0, day_form),
    "mix": (None, 0.0, mix),
    "mix-help": (None, 0.0, mix_help),
    "start-bad": (None, 0.0, start_bad),
    "day-empty": (None, 0.0, day_empty),
    "day-help": (None, 0.0, day_help),
    "ledger-help": ("salmon-side-evening", 30.0, ledger_help),
    "replay": (None, 0.0, replay),
    "palette": ("duck-autumn-afternoon", 104.0, palette),
    "refused": ("duck-autumn-afternoon", 104.0, refused),
    "tend-late": ("duck-autumn-afternoon", 150.0, late),
    "patio-late": ("duck-autumn-afternoon", 150.0, patio_late),
    "tend-stale": ("duck-autumn-afternoon", 104.0, stale),
    "tend-away": ("duck-autumn-afternoon", 190.0, away),
}


async def picture(name: str, mode: str, size: tuple[int, int], folder: Path) -> Path:
    """One SVG."""
    sample, minute, act = SCENES[name]
    with tempfile.TemporaryDirectory() as place:
        stage = Stage(Path(place) / "pictures.db", forecast=core_forecast)
        if sample is not None:
            stage.play(sample, minute)
        app: DonebyApp = stage.app()
        app.theme = "noon" if mode == "noon" else "dusk"
        async with app.run_test(size=size) as pilot:
            await settle(pilot)
            await act(stage, pilot)
            target = folder / f"{name}-{size[0]}x{size[1]}-{mode}.svg"
            target.write_text(app.export_screenshot(title=None), encoding="utf-8")
        stage.close()
    return target


def to_png(svg: Path) -> Path | None:
    """The same picture as PNG; None without Chromium."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        return None
    head = svg.read_text(encoding="utf-8")[:600]
    width, height = head.split('viewBox="0 0 ')[1].split('"')[0].split()
    target = svg.with_suffix(".png")
    with tempfile.TemporaryDirectory() as profile:
        command = [
            chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
            "--no-first-run", "--disable-background-networking", "--disable-component-update",
            "--disable-sync", "--hide-scrollbars", f"--user-data-dir={profile}",
            f"--screenshot={target}",
            f"--window-size={round(float(width))},{round(float(height))}", svg.as_uri(),
        ]  # fmt: skip
        subprocess.run(command, check=True, capture_output=True, timeout=120)
    return target


def main(arguments: list[str]) -> int:
    """Make the pictures that are named, or all."""
    folder = Path(arguments[0]).resolve()
    folder.mkdir(parents=True, exist_ok=True)
    wanted = arguments[1:] or list(SCENES)
    for mode in MODES:
        os.environ.pop("NO_COLOR", None)
        if mode == "no-color":
            os.environ["NO_COLOR"] = "1"
        for name in wanted:
            for size in SIZES:
                svg = asyncio.run(picture(name, mode, size, folder))
                png = to_png(svg)
                print(png or svg)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
