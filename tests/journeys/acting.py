"""Small acts that journeys share: wait, type, look."""

from __future__ import annotations

from textual.pilot import Pilot

from app.screens.tend import TendScreen
from app.widgets.entry_box import EntryBox
from app.widgets.preview import PreviewLine
from app.widgets.top import TopLine
from tests.journeys.stage import Stage


async def settle(pilot: Pilot[None], stage: Stage | None = None) -> None:
    """Wait for the writer, the workers and the messages that they posted."""
    for _ in range(3):
        if stage is not None:
            stage.writer.submit(pilot.app, "mark", lambda: None)
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()


async def type_line(pilot: Pilot[None], stage: Stage, text: str) -> None:
    """Type a line, press Enter, and wait until it is in the file."""
    await pilot.press(*text, "enter")
    await wait_saved(pilot, stage)


async def wait_saved(pilot: Pilot[None], stage: Stage) -> None:
    """Wait until everything queued before is written and shown."""
    await pilot.pause()
    stage.writer.submit(pilot.app, "mark", lambda: None)
    for _ in range(500):
        screen = pilot.app.screen
        if not isinstance(screen, TendScreen) or not screen.live.waiting:
            break
        await pilot.pause(0.01)
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
