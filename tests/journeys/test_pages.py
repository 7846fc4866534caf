"""The pages beside the answers: by key, by word, by the palette, at every size, and never stale."""

from __future__ import annotations

import threading
from dataclasses import replace
from typing import Any

import pytest

from app.presenters.pages import PageName
from app.widgets.chart import FanChart
from app.widgets.sheet import Sheet
from core.errors import ForecastCancelled
from core.levers import Lever, LeverKey, Levers
from tests.journeys.acting import echo, entry_text, settle, tend, type_line, until
from tests.journeys.screen_text import check_golden, rows_of, text_of
from tests.journeys.stage import Stage, lamb

SIZES = [(80, 24), (120, 40), (200, 50)]


def table(chance: float = 0.42, now_s: float = 600.0) -> Levers:
    """A table of two levers."""
    ready = (10800.0, 12600.0, 14400.0)
    rows = (
        Lever(LeverKey.AS_IT_IS, chance, *ready, serve_s=14400.0),
        Lever(LeverKey.WRAP_NOW, 0.8, *ready, serve_s=14400.0, cautions=("softens_skin",)),
    )
    return Levers(now_s, 1200.0, rows)


@pytest.fixture
def quick_levers(monkeypatch: pytest.MonkeyPatch) -> None:
    """A table at once, in the place of the model's."""
    monkeypatch.setattr("core.levers.levers", lambda *_, **__: table())


async def test_one_key_turns_the_pages_and_escape_closes_them(
    stage: Stage, quick_levers: None
) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        for title in ("FIRE", "LEVERS", "TABLES"):
            await pilot.press("f9")
            await settle(pilot)
            assert any(row.strip().startswith(title) for row in rows_of(pilot.app)), title
            assert not pilot.app.screen.query_one(FanChart).display
            for label in ("DONE", "GLAZE", "NEXT LOOK"):
                assert any(row.lstrip()[2:].startswith(label) for row in rows_of(pilot.app)), label
        await pilot.press("f9")
        await settle(pilot)
        assert tend(pilot).pages.name is None
        assert pilot.app.screen.query_one(FanChart).display
        await pilot.press("f9", "escape")
        await settle(pilot)
        assert tend(pilot).pages.name is None


async def test_a_word_and_the_palette_open_a_page_and_typing_goes_on(
    stage: Stage, quick_levers: None
) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        await pilot.press(*"levers")
        await pilot.pause()
        assert echo(pilot) == "opens: levers"
        await pilot.press("enter")
        await settle(pilot)
        assert "4 in 10" in text_of(pilot.app)
        assert "Foil softens the skin." in text_of(pilot.app)
        stage.clock.pass_minutes(3)
        await type_line(pilot, stage, "303 44")
        assert [line.text for line in stage.store.cook(cook_id).lines] == ["302 42", "303 44"]
        assert tend(pilot).pages.name is PageName.LEVERS
        await pilot.app.run_command("page('tables')")  # type: ignore[attr-defined]
        await settle(pilot)
        assert "published minimum" in text_of(pilot.app)
        assert entry_text(pilot) == ""


@pytest.mark.parametrize("size", SIZES)
async def test_every_page_has_room_at_every_size(
    stage: Stage, size: tuple[int, int], quick_levers: None
) -> None:
    stage.play("chicken-pieces-two-probes", 60.0)
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot)
        for words in (("inside the band", "lid"), ("as it is",), ("published minimum", "thigh")):
            await pilot.press("f9")
            await settle(pilot)
            text = text_of(pilot.app)
            for word in words:
                assert word in text, word
            for row in rows_of(pilot.app):
                assert len(row) <= size[0]
            assert "DONE" in text
            assert "NEXT LOOK" in text


async def test_a_long_page_scrolls_by_keys(stage: Stage) -> None:
    stage.play("chicken-pieces-two-probes", 60.0)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f9", "f9", "f9")
        await settle(pilot)
        sheet = pilot.app.screen.query_one(Sheet)
        assert sheet.max_scroll_y > 0
        await pilot.press("pagedown")
        await settle(pilot)
        assert sheet.scroll_y > 0
        assert "follow local codes" in " ".join(text_of(pilot.app).split())
        check_golden(pilot.app, "tables-80x24")


async def test_without_a_meal_the_levers_say_what_to_type(stage: Stage) -> None:
    new = lamb(stage.clock())
    stage.begin(replace(new, plan=replace(new.plan, serve_s=None)))
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*"levers", "enter")
        await settle(pilot)
        assert "plan meal 18:30" in text_of(pilot.app)


async def test_an_answer_that_comes_too_late_is_dropped(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate, calls = threading.Event(), []

    def slow_first(cook: Any, now_s: float, **given: Any) -> Levers:
        calls.append(now_s)
        if len(calls) == 1:
            assert gate.wait(10.0)
            return table(0.11, now_s)
        return table(0.77, now_s)

    monkeypatch.setattr("core.levers.levers", slow_first)
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f9", "f9")
        await until(pilot, lambda: len(calls) == 1)
        assert "working them out" in text_of(pilot.app)
        tend(pilot).pages.ask()
        await until(pilot, lambda: "8 in 10" in text_of(pilot.app))
        gate.set()
        await settle(pilot)
        assert "8 in 10" in text_of(pilot.app), "the younger answer stays"
        assert "1 in 10" not in text_of(pilot.app)


async def test_closing_the_page_tells_the_model_to_stop(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    stopped = threading.Event()

    def until_told(*_: Any, cancelled: Any, **__: Any) -> Levers:
        for _ in range(500):
            if cancelled():
                stopped.set()
                raise ForecastCancelled
            stopped.wait(0.01)
        return table()

    monkeypatch.setattr("core.levers.levers", until_told)
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f9", "f9", "escape")
        await until(pilot, stopped.is_set)
        assert tend(pilot).pages.name is None


async def test_levers_that_fail_say_so_and_the_log_goes_on(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: Any, **__: Any) -> Levers:
        raise ZeroDivisionError

    monkeypatch.setattr("core.levers.levers", fail)
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f9", "f9")
        await settle(pilot)
        assert "no levers: ZeroDivisionError" in text_of(pilot.app)
        await type_line(pilot, stage, "302 42")
        assert len(stage.store.cook(cook_id).lines) == 1
