"""The demo: a sample typed letter by letter, at a speed that can be changed, to its end."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from textual.pilot import Pilot

from app.demo import Demo, schedule, start_pace
from app.samples import sample_files
from app.screens.replay import ReplayClock, ReplayScreen, Step, open_replay
from app.widgets.entry import Entry
from storage.documents import read_document
from tests.journeys.acting import echo, entry_text, settle
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage


@dataclass(slots=True)
class Steady:
    """A steady clock that tests move."""

    seconds: float = 100.0

    def __call__(self) -> float:
        return self.seconds


def demo_of(sample: str, speed: float = 120.0) -> Demo:
    return Demo(read_document(sample_files()[sample]), speed)


def test_the_clock_runs_stands_and_goes_on_from_there() -> None:
    demo, steady = demo_of("duck-autumn-afternoon"), Steady()
    clock = ReplayClock(demo, steady)
    begun = clock()
    assert begun == start_pace(demo, 100.0).now(100.0)
    steady.seconds += 10.0
    assert clock() - begun == timedelta(seconds=1200)
    clock.paused = True
    clock.turn()
    steady.seconds += 50.0
    assert clock() - begun == timedelta(seconds=1200)
    clock.paused = False
    clock.faster(2.0)
    steady.seconds += 1.0
    assert clock() - begun == timedelta(seconds=1440)


async def play(pilot: Pilot[None], screen: ReplayScreen, steady: Steady, ticks: int) -> None:
    """Let the replay take so many steps, half a second of the steady clock each."""
    for _ in range(ticks):
        steady.seconds += 0.5
        screen.tick()
        if screen.step is Step.SETTLE:
            await settle(pilot)
        if screen.step is Step.OVER:
            return


async def test_a_sample_is_typed_to_its_end_each_line_at_its_minute(stage: Stage) -> None:
    demo, steady = demo_of("chicken-pieces-two-probes", 1200.0), Steady()
    stage.begin()
    app = stage.app()
    replay = open_replay(demo, stage.kit, steady=steady)
    async with app.run_test(size=(100, 32)) as pilot:
        screen = ReplayScreen(replay.kit, replay.saved, demo, replay.clock)
        screen.own_ticks = False
        await app.push_screen(screen)
        await settle(pilot)
        half_typed = 0
        while screen.step is not Step.OVER:
            await play(pilot, screen, steady, 1)
            half_typed += screen.step is Step.TYPE and 0 < len(entry_text(pilot)) < 4
        assert half_typed > 20, "lines appear letter by letter"
        await settle(pilot)
        assert "at its end" in text_of(app)
        assert "nvented" in text_of(app)
        lines = replay.kit.store.cook(replay.saved.id).lines
    wanted = schedule(demo.document)
    assert [line.text for line in lines] == [line.text for line in wanted]
    off = [
        abs((line.at - demo.document.started_at).total_seconds() - want.elapsed_s)
        for line, want in zip(lines, wanted, strict=True)
    ]
    assert max(off) <= 1.0
    replay.close()


async def test_keys_pause_and_change_the_speed(stage: Stage) -> None:
    demo, steady = demo_of("duck-autumn-afternoon"), Steady()
    stage.begin()
    app = stage.app()
    replay = open_replay(demo, stage.kit, steady=steady)
    async with app.run_test(size=(100, 32)) as pilot:
        screen = ReplayScreen(replay.kit, replay.saved, demo, replay.clock)
        screen.own_ticks = False
        await app.push_screen(screen)
        await settle(pilot)
        assert app.screen.query_one(Entry).disabled
        await pilot.press("plus")
        await pilot.pause()
        assert "at 240 times life" in text_of(app)
        await pilot.press("minus", "minus")
        await pilot.pause()
        assert "at 60 times life" in text_of(app)
        await pilot.press("space")
        await pilot.pause()
        assert "paused" in text_of(app)
        shown = replay.clock()
        await play(pilot, screen, steady, 20)
        assert replay.clock() == shown and not replay.kit.store.cook(replay.saved.id).lines
        await pilot.press("space")
        await play(pilot, screen, steady, 12)
        assert replay.clock() > shown
        assert echo(pilot) or entry_text(pilot)
    replay.close()
