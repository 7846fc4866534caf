"""The live screen: typing, asking, correcting, deleting, and what other terminals write."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest
from textual.events import Paste

from app.widgets.log_lines import LogLines
from app.widgets.preview import PreviewLine, Tone
from storage.errors import DiskFull
from storage.values import SavedLine
from tests.journeys.acting import (
    echo,
    entry_text,
    saved_word,
    settle,
    tend,
    type_line,
    wait_saved,
)
from tests.journeys.screen_text import rows_of, text_of
from tests.journeys.stage import Stage, lamb


def live_texts(stage: Stage, cook_id: int) -> list[str]:
    return [line.text for line in stage.store.cook(cook_id).lines if line.live]


def likely_temps(count: int) -> list[int]:
    """What the plain forecast expects every six minutes, in °F, so that nothing is odd."""
    temps = [42.0]
    for _ in range(count - 1):
        temps.append(302.0 + (temps[-1] - 302.0) * 0.5 ** (6.0 / 120.0))
    return [round(temp) for temp in temps]


async def test_ten_readings_are_in_the_file_and_on_the_screen(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for number, temp in enumerate(likely_temps(10)):
            stage.clock.pass_minutes(6)
            await type_line(pilot, stage, f"{300 + number} {temp}")
        assert len(live_texts(stage, cook_id)) == 10
        assert f"pit 309 °F, leg {likely_temps(10)[-1]} °F" in text_of(pilot.app)
        assert saved_word(pilot) == "saved"
        assert entry_text(pilot) == ""
        for label in ("DONE", "GLAZE", "FIRE", "NEXT LOOK"):
            assert any(row.lstrip()[2:].startswith(label) for row in rows_of(pilot.app)), label


async def test_the_line_below_reads_along(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press(*"305 128")
        await pilot.pause()
        assert echo(pilot).startswith("pit 305 °F, leg 128 °F")


async def test_what_cannot_be_read_stays_with_its_reason(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press(*"305 12z8", "enter")
        await pilot.pause()
        assert entry_text(pilot) == "305 12z8"
        assert pilot.app.screen.query_one(PreviewLine).echo.tone is Tone.WRONG
        assert "12z8" in echo(pilot)
        assert live_texts(stage, cook_id) == []


async def test_an_odd_line_asks_once(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        stage.clock.pass_minutes(10)
        await pilot.press(*"305 12", "enter")
        await settle(pilot)
        assert entry_text(pilot) == "305 12"
        assert "Enter again" in echo(pilot)
        assert len(live_texts(stage, cook_id)) == 1
        # changing it takes the question back
        await pilot.press("backspace", "3")
        await pilot.press("enter")
        await settle(pilot)
        assert len(live_texts(stage, cook_id)) == 1
        await pilot.press("enter")
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == ["305 42", "305 13"]


async def test_markup_and_control_words_are_shown_as_typed(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "note [red]wind[/b] [@click=quit]got up")
        assert "note: [red]wind[/b] [@click=quit]got up" in text_of(pilot.app)


async def test_a_line_is_corrected_from_the_log_by_keys(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        stage.clock.pass_minutes(1)
        await type_line(pilot, stage, "306 43")
        await pilot.press("f2", "up", "enter")
        assert entry_text(pilot) == "fix #1 305 42"
        await pilot.press(*["backspace"] * 2, *"41", "enter")
        await wait_saved(pilot, stage)
        lines = stage.store.cook(cook_id).lines
        assert [r.of("leg") for line in lines if line.live for r in line.readings] == [
            pytest.approx(5.0),
            pytest.approx(6.11, abs=0.01),
        ]
        first: SavedLine = lines[0]
        assert first.replaced_by_id is not None, "the original is kept"
        assert "corrected, was pit 305 °F, leg 42 °F" in text_of(pilot.app)


async def test_a_line_is_deleted_and_brought_back(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        await pilot.press("f2", "delete")
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == []
        assert "deleted" in text_of(pilot.app)
        await pilot.press("delete")
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == ["305 42"]


async def test_the_mouse_does_what_the_keys_do(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        log = pilot.app.screen.query_one(LogLines)
        await pilot.click(LogLines, offset=(20, 0))
        await pilot.pause()
        assert log.picked == 0
        await pilot.click(LogLines, offset=(log.size.width - 3, 0))
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == []
        assert pilot.app.focused is tend(pilot).query_one("#entry")


async def test_the_palette_offers_the_same(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        await pilot.press("ctrl+p")
        await pilot.pause()
        await pilot.press(*"Lines")
        await pilot.app.workers.wait_for_complete()
        await pilot.pause(0.3)
        await pilot.press("enter")
        await pilot.pause(0.3)
        assert tend(pilot).query_one(LogLines).picked == 0


async def test_a_typed_word_opens_what_it_names(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press(*"patio", "enter")
        await settle(pilot)
        assert tend(pilot).has_class("-patio")


async def test_a_letter_in_the_entry_never_acts(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press("q", "x", "d", "space")
        assert entry_text(pilot) == "qxd "
        assert pilot.app.is_running


async def test_up_and_down_bring_earlier_lines(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
        stage.clock.pass_minutes(1)
        await type_line(pilot, stage, "310 43")
        await pilot.press(*"31")
        await pilot.press("up")
        assert entry_text(pilot) == "310 43"
        await pilot.press("up")
        assert entry_text(pilot) == "305 42"
        await pilot.press("down", "down")
        assert entry_text(pilot) == "31"


async def test_a_line_from_another_terminal_shows(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        stage.say(cook_id, "298 77")
        # what the timer does each second
        tend(pilot).beat()
        await wait_saved(pilot, stage)
        assert "pit 298 °F, leg 77 °F" in text_of(pilot.app)


async def test_saved_shows_only_after_the_commit(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook_id = stage.begin()
    gate = threading.Event()
    add_line = stage.store.add_line

    def slow(*args: object, **values: object) -> SavedLine:
        assert gate.wait(10.0)
        return add_line(*args, **values)  # type: ignore[arg-type]

    monkeypatch.setattr(stage.store, "add_line", slow)
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await pilot.press(*"305 42", "enter")
        await pilot.pause()
        assert saved_word(pilot) == "saving"
        assert "305 42" in text_of(pilot.app)
        assert live_texts(stage, cook_id) == []
        # typing does not wait for the disk
        await pilot.press(*"pit 310")
        await pilot.pause()
        assert echo(pilot).startswith("pit 310 °F")
        assert saved_word(pilot) == "saving"
        gate.set()
        await wait_saved(pilot, stage)
        assert saved_word(pilot) == "saved"
        assert live_texts(stage, cook_id) == ["305 42"]


async def test_a_line_that_is_not_saved_comes_back(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    cook_id = stage.begin()

    def full(*_: object, **__: object) -> SavedLine:
        raise DiskFull(stage.path)

    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        monkeypatch.setattr(stage.store, "add_line", full)
        await pilot.press(*"305 42", "enter")
        await wait_saved(pilot, stage)
        assert entry_text(pilot) == "305 42"
        assert saved_word(pilot) == "NOT SAVED"
        assert echo(pilot).startswith("Not saved")
        monkeypatch.undo()
        await pilot.press("enter")
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == ["305 42"]


async def test_several_pasted_lines_come_one_by_one(stage: Stage) -> None:
    cook_id = stage.begin()
    stage.clock.pass_minutes(30)
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        tend(pilot).query_one("#entry").post_message(Paste("305 -20m\n306 -9m\n"))
        await settle(pilot)
        assert entry_text(pilot) == "305 -20m"
        await pilot.press("enter")
        await wait_saved(pilot, stage)
        assert entry_text(pilot) == "306 -9m"
        await pilot.press("enter")
        await wait_saved(pilot, stage)
        assert live_texts(stage, cook_id) == ["305 -20m", "306 -9m"]


async def test_a_target_below_the_published_minimum_keeps_its_caution(stage: Stage) -> None:
    new = lamb(stage.clock())
    stage.begin(replace(new, probes=(replace(new.probes[0], target_c=55.0),)))
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for _ in range(4):
            stage.clock.pass_minutes(1)
            await type_line(pilot, stage, "note still going")
            assert "Below the published minimum" in text_of(pilot.app)


async def test_names_and_words_are_completed(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press(*"305 42 gl")
        await settle(pilot)
        await pilot.press("right")
        assert entry_text(pilot) == "305 42 glaze"


async def test_what_is_expected_stands_under_an_empty_entry(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        assert "the numbers off the thermometers" in echo(pilot)
        await type_line(pilot, stage, "302 42")
        stage.clock.pass_minutes(1)
        tend(pilot).beat()
        await pilot.press("x", "backspace")
        await settle(pilot)
        assert echo(pilot).startswith("expected now: pit 29")
