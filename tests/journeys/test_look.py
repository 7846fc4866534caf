"""How the screens look where room is short, and after the palette was changed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from textual.color import Color
from textual.widgets import Static

from app.day_book import save_day
from app.day_pieces import numbered, read_piece
from app.day_wish import KeptWish
from app.presenters.tend import Notice
from app.presenters.views import Mark
from app.screens.dayline import DaylineScreen
from app.widgets.chart import FanChart
from app.widgets.day_list import DayList
from app.widgets.notices import Notices
from core.day_values import DayWish
from core.units import MassUnit, TemperatureUnit
from tests.journeys.acting import settle, tend, type_line
from tests.journeys.screen_text import rows_of, text_of
from tests.journeys.stage import ZONE, Stage


async def test_an_open_page_takes_the_inks_of_the_other_palette(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("f9")
        await settle(pilot)
        for theme in ("noon", "dusk"):
            pilot.app.theme = theme
            await settle(pilot)
            ink = Color.parse(pilot.app.theme_variables["ink"]).rich_color.triplet
            visual = pilot.app.screen.query_one("#sheet-text", Static).visual
            inks = {span.style.foreground.rgb for span in visual.spans}  # type: ignore[attr-defined]
            assert ink is not None
            assert tuple(ink) in inks, theme


async def test_the_read_out_covers_no_line_and_no_name(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "302 42")
        await pilot.press("f6")
        await settle(pilot)
        await pilot.press("right")
        await settle(pilot)
        chart = tend(pilot).query_one(FanChart)
        first = chart.region.y
        rows = rows_of(pilot.app)[first : first + chart.size.height]
        assert "expected" in rows[0]
        assert any(row.rstrip().endswith(" pit") for row in rows[1:])
        assert rows[-1].lstrip().startswith("°F"), "the clock stays in the lowest row"


@pytest.mark.parametrize("width", [60, 80])
async def test_a_notice_hangs_under_its_words_and_a_cut_says_so(stage: Stage, width: int) -> None:
    stage.begin()
    async with stage.app().run_test(size=(width, 24)) as pilot:
        await settle(pilot)
        notices = tend(pilot).query_one(Notices)
        story = " ".join(f"word{number}" for number in range(60))
        call = " ".join(f"call{number}" for number in range(18))
        notices.view = (Notice(call, Mark.NOW, stays=True), Notice(story, Mark.STALE))
        await pilot.pause()
        rows = [row.plain for row in notices._rows(notices.content_size.width)]
        assert all(len(row) <= notices.content_size.width for row in rows)
        begun = [row for row in rows if row[:2] != "  "]
        assert len(begun) == 2, rows
        assert rows[-1].endswith("…")
        assert "call17" in " ".join(rows), "what stays is never cut"


async def test_a_long_line_of_the_log_says_that_it_goes_on(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        words = " ".join(["windy"] * 20)
        await type_line(pilot, stage, f"note {words}")
        row = next(row for row in rows_of(pilot.app) if "note: windy" in row)
        assert row.rstrip(" █▁▂▃▄▅▆▇").endswith("…")
        await pilot.resize_terminal(200, 24)
        await settle(pilot)
        assert words in text_of(pilot.app)


async def test_the_smallest_dayline_keeps_its_entry_and_some_steps(stage: Stage) -> None:
    """Whatever is in the way: two pieces that want two pits, and no time for the salt."""
    now = stage.clock()
    units = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)
    texts = ("leg_of_lamb 5lb", "whole_chicken 4lb wet", "beef_brisket 12lb")
    meat = numbered(read_piece(text, *units, now, ZONE) for text in texts)
    save_day(stage.store, KeptWish(DayWish(meat, now + timedelta(hours=4), now, 8), *units), now)
    async with stage.app().run_test(size=(60, 16)) as pilot:
        await settle(pilot)
        screen = pilot.app.screen
        assert isinstance(screen, DaylineScreen)
        assert screen.view is not None
        assert len(screen.view.whole.conflicts) > 2
        rows = rows_of(pilot.app)
        assert "say" in rows[-3] or "say" in rows[-4]
        assert screen.query_one(DayList).size.height >= 3
        assert "F6 shows" in text_of(pilot.app)
