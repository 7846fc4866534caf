"""A forecast that fails, hangs or talks nonsense: the log goes on, and the last one stays."""

from __future__ import annotations

import sys
import termios
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from app.presenters.views import Mark
from app.sanity import checked
from app.widgets.answers import Answers
from core.answers import Forecast
from core.cook import Cook
from core.errors import ForecastFailed
from tests.app.cli.runs import Terminal as User
from tests.journeys.acting import settle, tend, wait_saved
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage, lamb, plain_forecast
from tests.journeys.test_terminal import Terminal, start
from tests.storms.attack import begin, texts

HANGING = """
import sys, time
from pathlib import Path
from app.tui import run

def hang(cook, now_s, *, cancelled, **more):
    while True:
        time.sleep(1)

sys.exit(run(Path(sys.argv[1]), forecast=hang))
"""


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal")
def test_a_forecast_that_never_ends_keeps_neither_lines_nor_the_program(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    data = tmp_path / "cooks.db"
    begin(data)
    terminal = start(data, HANGING)
    terminals.append(terminal)
    usable = termios.tcgetattr(terminal.slave)
    terminal.wait_for(b"NEXT LOOK")
    for number in range(3):
        terminal.write(f"note number {number}\r")
        terminal.wait_for(f"saved: note: number {number}".encode())
    terminal.write("\x11")
    begun = time.monotonic()
    assert terminal.finish() == 0
    assert time.monotonic() - begun < 15.0
    assert termios.tcgetattr(terminal.slave) == usable
    assert texts(data) == [f"note number {number}" for number in range(3)]


def _not_a_number(made: Forecast) -> Forecast:
    (first, *others) = made.arrivals
    draws = np.array(first.draws_s)
    draws[3] = np.nan
    return replace(made, arrivals=(replace(first, draws_s=draws), *others))


def _bad_fan(made: Forecast) -> Forecast:
    temps = np.array(made.fans[0].temp_c)
    temps[2, 5] = np.nan
    return replace(made, fans=(replace(made.fans[0], temp_c=temps), *made.fans[1:]))


NONSENSE: dict[str, Callable[[Forecast], Forecast]] = {
    "an arrival": _not_a_number,
    "a fan": _bad_fan,
    "the fire": lambda made: replace(made, fire=replace(made.fire, pit_c=float("nan"))),
    "its time": lambda made: replace(made, now_s=float("nan")),
}


@pytest.mark.parametrize("what", NONSENSE)
def test_what_is_no_number_is_found(what: str) -> None:
    new = lamb()
    good = plain_forecast(Cook(new.plan, new.probes, ()), 600.0)
    assert checked(good) is good
    with pytest.raises(ForecastFailed, match="not a number"):
        checked(NONSENSE[what](good))


FAILURES: dict[str, Exception] = {
    "ForecastFailed": ForecastFailed("no member fits"),
    "FloatingPointError": FloatingPointError("invalid value encountered in divide"),
    "MemoryError": MemoryError(),
    "RecursionError": RecursionError("maximum recursion depth exceeded"),
    "LinAlgError": np.linalg.LinAlgError("Singular matrix"),
    "odd words": ValueError("[red]\x1b[2J[/b]\u202e " + "long " * 200),
}


@pytest.mark.parametrize("what", [*FAILURES, *NONSENSE])
async def test_the_last_one_stays_marked_stale_with_its_age_and_the_reason(
    stage: Stage, what: str
) -> None:
    cook_id = stage.begin()
    broken: list[bool] = []

    def forecast(cook: Cook, now_s: float, *, cancelled: Callable[[], bool]) -> Forecast:
        made = plain_forecast(cook, now_s)
        if broken and what in FAILURES:
            raise FAILURES[what]
        return NONSENSE[what](made) if broken else made

    stage.forecast = forecast
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        before = tend(pilot).live.forecast
        broken.append(True)
        for number in range(3):
            stage.clock.pass_minutes(7)
            tend(pilot).save_line(f"note number {number}")
            await wait_saved(pilot, stage)
        assert tend(pilot).live.forecast is before
        view = tend(pilot).query_one(Answers).view
        assert view is not None and view.done.mark is Mark.STALE
        words = " ".join(text_of(pilot.app).split())
        assert "Old forecast from 12:00" in words, "how old it is"
        assert "the forecast failed" in words, "and why"
        assert "\x1b" not in words and "\u202e" not in words
        broken.clear()
        tend(pilot).save_line("note number 3")
        await wait_saved(pilot, stage)
        assert tend(pilot).live.failure is None
        assert "Old forecast" not in text_of(pilot.app)
    assert len(stage.store.cook(cook_id).lines) == 4


@pytest.mark.parametrize("what", ["ForecastFailed", "FloatingPointError", "odd words"])
def test_status_tells_the_log_without_a_forecast(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    user = User(tmp_path / "cooks.sqlite3")
    user.ok("start", "duck", "--weight", "2.3kg", "--unit", "C")
    user.after(10).ok("say", "--yes", "150 8")

    def fails(*_: object, **__: object) -> None:
        raise FAILURES[what]

    monkeypatch.setattr("app.cli.status.forecast", fails)
    result = user.run("status")
    assert result.code == 1 and "no forecast" in result.err
    said = result.out
    assert "Last line: 13:15" in said and "pit 150 °C" in said
    assert "no forecast" in said.lower()
    assert "\x1b" not in said and "\u202e" not in said
    assert user.run("status", "--json").object["unit"] == "C"
