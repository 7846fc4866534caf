"""Small acts that journeys share: wait, type, look."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress

from textual.pilot import Pilot
from textual.worker import WorkerCancelled

from app.screens.tend import TendScreen
from app.widgets.entry_box import EntryBox
from app.widgets.preview import PreviewLine
from app.widgets.top import TopLine
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage


async def settle(pilot: Pilot[None], stage: Stage | None = None) -> None:
    """Wait for the writer, the workers and the messages that they posted."""
    for _ in range(3):
        if stage is not None:
            stage.writer.submit(pilot.app, "mark", lambda: None)
        # a forecast that a newer one replaced counts as cancelled
        with suppress(WorkerCancelled):
            await pilot.app.workers.wait_for_complete()
        await pilot.pause()


async def until(pilot: Pilot[None], holds: Callable[[], bool], seconds: float = 20.0) -> None:
    """Wait for something that another thread brings about; fail when it does not come."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, text_of(pilot.app)
        await pilot.pause(0.01)


async def type_line(pilot: Pilot[None], stage: Stage, text: str) -> None:
    """Type a line, press Enter, and wait until it is in the file."""
    await pilot.press(*text, "enter")
    await wait_saved(pilot, stage)


async def wait_saved(pilot: Pilot[None], stage: Stage) -> None:
    """Wait until everything queued before is written and shown."""
    await pilot.pause()
    stage.writer.submit(pilot.app, "mark", lambda: None)
    screen = pilot.app.screen
    if isinstance(screen, TendScreen):
        await until(pilot, lambda: not screen.live.waiting)
    await settle(pilot)


def tend(pilot: Pilot[None]) -> TendScreen:
    """The live screen."""
    screen = pilot.app.screen
    assert isinstance(screen, TendScreen)
    return screen


def entry_text(pilot: Pilot[None]) -> str:
    """What stands in the entry."""
    return pilot.app.screen.query_one(EntryBox).entry.value


def echo(pilot: Pilot[None]) -> str:
    """The words under the entry."""
    return pilot.app.screen.query_one(PreviewLine).echo.text


def saved_word(pilot: Pilot[None]) -> str:
    """What the top line says about saving."""
    return str(pilot.app.screen.query_one(TopLine).saved)
