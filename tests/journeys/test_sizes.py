"""Every screen at every size and in every colour mode, and a few golden texts."""

from __future__ import annotations

import pytest
from textual.app import App

from app.screens.start import StartScreen
from app.widgets.answers import Answers
from app.widgets.chart import FanChart
from app.widgets.entry_box import EntryBox
from app.widgets.log_lines import LogLines
from app.widgets.notices import Notices
from app.widgets.patio import Patio
from tests.journeys.acting import settle, tend, type_line
from tests.journeys.screen_text import check_golden, rows_of, text_of
from tests.journeys.stage import Stage

SIZES = [(80, 24), (120, 40), (200, 50)]


@pytest.mark.parametrize("size", SIZES)
async def test_the_four_answers_the_chart_the_log_and_the_entry_all_show(
    stage: Stage, size: tuple[int, int]
) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot)
        words = text_of(pilot.app)
        for label in ("DONE", "GLAZE", "FIRE", "NEXT LOOK", "target 74 °C", "╵now", "say"):
            assert label in words, label
        assert any("pit 137 °C, breast 48 °C" in row for row in rows_of(pilot.app))
        assert "The chart needs" not in words
        chart = pilot.app.screen.query_one(FanChart)
        assert chart.size.height >= 6
        assert pilot.app.focused is pilot.app.screen.query_one("#entry")


@pytest.mark.parametrize("height", range(16, 29))
async def test_without_room_for_a_chart_the_log_has_it(stage: Stage, height: int) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(80, height)) as pilot:
        await settle(pilot)
        assert "The chart needs" not in text_of(pilot.app)
        chart, log = (pilot.app.screen.query_one(kind) for kind in (FanChart, LogLines))
        assert chart.display == (chart.size.height >= 6)
        assert log.size.height >= 1
        assert any("pit 137 °C, breast 48 °C" in row for row in rows_of(pilot.app))


async def test_large_figures_appear_where_there_is_room(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    heights = []
    for size in SIZES:
        async with stage.app().run_test(size=size) as pilot:
            await settle(pilot)
            answers = pilot.app.screen.query_one(Answers)
            heights.append(
                sum("█" in str(row) or "▀" in str(row) for row in answers.render().split("\n"))
            )
    assert heights[0] <= 1, "one line each at 80x24"
    assert heights[1] >= 12, "three rows of half blocks each"
    assert heights[2] >= 20, "five rows of full blocks each"


@pytest.mark.parametrize("size", [(59, 30), (100, 15), (30, 8), (1, 1)])
async def test_too_small_a_terminal_says_what_is_needed_and_still_takes_a_line(
    stage: Stage, size: tuple[int, int]
) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot)
        if size[0] >= 30:
            assert "Tend needs 60 x 16" in " ".join(text_of(pilot.app).split())
        await type_line(pilot, stage, "305 42")
    assert [line.text for line in stage.store.cook(cook_id).lines] == ["305 42"]


async def test_growing_and_shrinking_back_changes_nothing(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        before = text_of(pilot.app)
        for size in ((30, 8), (80, 24), (200, 50), (60, 16), (120, 40)):
            await pilot.resize_terminal(*size)
            await settle(pilot)
        assert text_of(pilot.app) == before


async def test_patio_letters_fill_the_terminal_and_typing_goes_on(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f5")
        await settle(pilot)
        patio = pilot.app.screen.query_one(Patio)
        rows = [row for row in rows_of(pilot.app) if row.count("█") >= 8]
        assert patio.display and len(rows) >= 10, "the clock is ten rows high"
        await pilot.press(*"note x")
        assert pilot.app.screen.query_one(EntryBox).entry.value == "note x"
        await pilot.press("f5")
        await settle(pilot)
        assert not patio.display


async def test_the_chart_is_read_by_keys_and_zoomed(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f6", *["right"] * 5)
        await settle(pilot)
        assert ", expected" in text_of(pilot.app)
        await pilot.press("escape")
        await settle(pilot)
        assert ", expected" not in text_of(pilot.app)
        low = pilot.app.screen.query_one(FanChart).view
        await pilot.press("f7")
        await settle(pilot)
        zoomed = pilot.app.screen.query_one(FanChart).view
        assert low is not None and zoomed is not None
        assert (zoomed.x_low, zoomed.x_high) != (low.x_low, low.x_high)


async def test_the_mouse_reads_the_chart(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.hover(FanChart, offset=(50, 5))
        await settle(pilot)
        assert ", expected" in text_of(pilot.app)


@pytest.mark.parametrize("size", SIZES)
async def test_nothing_needs_colour(
    stage: Stage, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot)
        assert pilot.app.no_color
        words = text_of(pilot.app)
        assert "░" in words, "the band is shaded"
        assert "pit" in words and "breast" in words
        for key in ("f5", "f5", "f2", "f1"):
            await pilot.press(key)
            await settle(pilot)
            assert all_grey(pilot.app)


def all_grey(app: App[None]) -> bool:
    """Whether every painted cell is a grey."""
    styles = [s.style for strip in app.screen._compositor.render_strips() for s in strip]
    return all(
        style is None or (is_grey(style.color) and is_grey(style.bgcolor)) for style in styles
    )


async def test_with_colour_not_everything_is_grey(stage: Stage) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert not all_grey(pilot.app)


def is_grey(colour: object) -> bool:
    triplet = getattr(colour, "triplet", None)
    return triplet is None or triplet.red == triplet.green == triplet.blue


async def test_nothing_moves_when_a_notice_comes_or_goes(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        places = set()
        for _ in range(4):
            stage.clock.pass_minutes(1.0)
            tend(pilot).beat()
            await settle(pilot)
            places.add(
                tuple(
                    pilot.app.screen.query_one(kind).region
                    for kind in (FanChart, LogLines, Notices, EntryBox)
                )
            )
        assert len(places) == 1


# golden texts: a person looks at them whenever they change


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_golden_tend(stage: Stage, size: tuple[int, int]) -> None:
    stage.play("duck-autumn-afternoon", 104.0)
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot)
        await pilot.press(*"139 50")
        await settle(pilot)
        check_golden(pilot.app, f"tend-{size[0]}x{size[1]}")


async def test_golden_help(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f1")
        await settle(pilot)
        check_golden(pilot.app, "help-80x24")


async def test_golden_start(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        for _ in range(3):
            await pilot.pause(0.15)
            await settle(pilot)
        assert isinstance(pilot.app.screen, StartScreen)
        check_golden(pilot.app, "start-80x24")
