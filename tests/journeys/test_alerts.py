"""Alerts on the screen: put off by key and by word, switched off for good, and without a bell."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from app.cli.main import main
from app.cli.shell import Shell
from app.presenters.alerts import AlertKind
from app.screen_state import ScreenState, load_state
from app.tui import DonebyApp
from tests.journeys.acting import echo, settle, tend, type_line
from tests.journeys.screen_text import rows_of
from tests.journeys.stage import Stage


def standing(pilot: Pilot[None]) -> list[str]:
    """The kinds of the alerts on the screen."""
    return [alert.kind for alert in tend(pilot).alerts if alert.kind]


async def later(pilot: Pilot[None], stage: Stage, minutes: float) -> None:
    """Time passes, and the screen looks at the clock."""
    stage.clock.pass_minutes(minutes)
    tend(pilot).beat()
    await settle(pilot)


async def test_a_key_puts_alerts_off_for_ten_minutes(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        assert not tend(pilot).check_action("snooze", ())
        await later(pilot, stage, 26)
        assert standing(pilot) == ["look"]
        await pilot.press("f10")
        await settle(pilot)
        assert standing(pilot) == []
        await later(pilot, stage, 9)
        assert standing(pilot) == []
        await later(pilot, stage, 2)
        assert standing(pilot) == ["look"]


async def test_a_word_puts_them_off_as_long_as_it_says(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        await later(pilot, stage, 26)
        await pilot.press(*"snooze 15")
        await pilot.pause()
        assert echo(pilot) == "alerts are quiet for 15 min"
        await pilot.press("enter")
        await settle(pilot)
        assert standing(pilot) == []
        await later(pilot, stage, 14)
        assert standing(pilot) == []
        await later(pilot, stage, 2)
        assert standing(pilot) == ["look"]
        assert len(stage.store.cook_in_hand().lines) == 1, "the word is not in the log"


async def test_the_footer_names_every_key_within_80_columns(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        assert footer_lacks(pilot) == []
        await later(pilot, stage, 26)
        assert "F10 later" in rows_of(pilot.app)[-1]
        assert footer_lacks(pilot) == []
        for keys in (["f9"], ["f2"], ["f6"], ["f5"]):
            await pilot.press(*keys)
            await settle(pilot)
            assert footer_lacks(pilot) == [], keys
            await pilot.press("escape")


def footer_lacks(pilot: Pilot[None]) -> list[str]:
    """The keys that work now and want to be seen, but have no room in the footer."""
    row = rows_of(pilot.app)[-1]
    active = pilot.app.screen.active_bindings.values()
    wanted = [found.binding.description for found in active if found.binding.show]
    return [words for words in wanted if words not in row]


async def test_a_snooze_outlives_the_program(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        await later(pilot, stage, 26)
        assert standing(pilot) == ["look"]
        await pilot.press(*"snooze 20", "enter")
        await settle(pilot)
    again = DonebyApp(stage.kit, state=load_state(stage.path), data=stage.path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await later(pilot, stage, 15)
        assert standing(pilot) == [], "still put off"
        await later(pilot, stage, 6)
        assert "look" in standing(pilot)
    # a snooze that no clock can have meant is none
    for words in ("2031-01-01T00:00:00+00:00", "soon", "2026-05-09T12:30:00"):
        assert ScreenState(quiet_until=words).snoozed_until(stage.clock()) is None


async def test_a_kind_that_is_off_stays_off_for_the_next_run(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        await later(pilot, stage, 26)
        await pilot.press(*"alert look off", "enter")
        await settle(pilot)
        assert standing(pilot) == []
    assert load_state(stage.path).alerts_off == ("look",)
    again = DonebyApp(stage.kit, state=load_state(stage.path), data=stage.path)
    async with again.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await later(pilot, stage, 14)
        assert "look" not in standing(pilot)
        assert again.kit.alerts.off == {AlertKind.LOOK}
        await again.run_command("alert_kind('look')")
        await settle(pilot)
        assert standing(pilot) == ["look"]
    assert load_state(stage.path).alerts_off == ()


@pytest.mark.parametrize(("arguments", "rings"), [((), True), (("--quiet",), False)])
def test_quiet_opens_the_screens_without_a_bell(
    arguments: tuple[str, ...], rings: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[bool] = []
    monkeypatch.setattr("app.cli.screens.require_terminal", lambda: None)
    monkeypatch.setattr(DonebyApp, "run", lambda app: opened.append(app.kit.rings))
    assert main(arguments, Shell({"DONEBY_DATA": str(tmp_path / "cooks.sqlite3")})) == 0
    assert opened == [rings]
