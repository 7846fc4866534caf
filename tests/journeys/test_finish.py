"""From the last probe to the leftovers, on the screen, by keys alone."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from app.widgets.patio import Patio
from storage.store import open_store
from tests.journeys.acting import echo, settle, tend, type_line
from tests.journeys.screen_text import check_golden, rows_of, text_of
from tests.journeys.stage import Stage


def answer(pilot: Pilot[None], label: str) -> str:
    """The row of one answer and the row under it."""
    rows = rows_of(pilot.app)
    at = next(i for i, row in enumerate(rows) if row.lstrip()[2:].startswith(label))
    return f"{rows[at]} {rows[at + 1].strip()}"


async def later(pilot: Pilot[None], stage: Stage, minutes: float) -> None:
    """Time passes, and the screen looks at the clock."""
    stage.clock.pass_minutes(minutes)
    tend(pilot).beat()
    await settle(pilot)


async def typed(pilot: Pilot[None], stage: Stage, text: str) -> None:
    """A line that may be odd to the plain forecast: Enter twice."""
    await pilot.press(*text, "enter")
    await settle(pilot)
    if pilot.app.screen.query_one("#entry").has_class("-asking"):
        await pilot.press("enter")
    await settle(pilot, stage)


async def near_done(pilot: Pilot[None], stage: Stage) -> None:
    """A leg of lamb whose probe has just reached its 145 °F."""
    await settle(pilot)
    for minutes, text in ((5, "300 45"), (100, "302 139"), (12, "301 146")):
        stage.clock.pass_minutes(minutes)
        await typed(pilot, stage, text)


async def test_spots_decide_the_finish_and_say_what_is_missing(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await near_done(pilot, stage)
        assert "check several spots" in answer(pilot, "DONE")
        await pilot.press(*"spot thick end 143")
        await pilot.pause()
        assert echo(pilot) == "spot check: thick end 143 °F, now"
        await pilot.press("enter")
        await settle(pilot, stage)
        assert "not yet: thick end 2 °F below target" in answer(pilot, "DONE")
        stage.clock.pass_minutes(6)
        await type_line(pilot, stage, "spot thick end 146")
        assert "1 spot at target, 2 more to check" in answer(pilot, "DONE")
        await type_line(pilot, stage, "spot shank 151, by the bone 147")
        assert "lowest of 3 spots at target" in answer(pilot, "DONE")
        assert "spread 5 °F" in answer(pilot, "DONE")
        check_golden(pilot.app, "spots-80x24")


async def test_rest_hold_serving_and_leftovers_follow_each_other(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await near_done(pilot, stage)
        await typed(pilot, stage, "spot a 146, b 149, c 151")
        await typed(pilot, stage, "pull")
        assert "in 20 min" in answer(pilot, "CARVE")
        assert any(row.lstrip()[2:].startswith("MEAT") for row in rows_of(pilot.app))
        await later(pilot, stage, 21)
        assert "rested, carve" in answer(pilot, "CARVE")
        await later(pilot, stage, 19)
        assert "meal in 1 h 23 min" in answer(pilot, "SERVE")
        await typed(pilot, stage, "- 132")
        assert "below 140 °F since" in answer(pilot, "MEAT")
        await typed(pilot, stage, "serve")
        assert "served" in answer(pilot, "DONE")
        assert "in the refrigerator" in answer(pilot, "LEFTOVERS")
        check_golden(pilot.app, "served-80x24")
        await later(pilot, stage, 75)
        assert [alert.kind for alert in tend(pilot).alerts if alert.kind] == ["leftovers"]
        await typed(pilot, stage, "away")
        assert "put away" in answer(pilot, "LEFTOVERS")
        await later(pilot, stage, 1)
        assert not [alert.kind for alert in tend(pilot).alerts if alert.kind]
        await typed(pilot, stage, "undo")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert "in the refrigerator" in answer(pilot, "LEFTOVERS"), "it opens there again"
        await typed(pilot, stage, "away")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert "LEFTOVERS" not in text_of(pilot.app), "put away: the day that comes"
    over = stage.store.cook(cook_id)
    assert over.ended_at is not None
    assert over.cook.events[-1].note == "leftovers away"


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 50)])
async def test_the_patio_view_shows_the_meat_once_it_is_off_the_fire(
    stage: Stage, size: tuple[int, int]
) -> None:
    stage.begin()
    async with stage.app().run_test(size=size) as pilot:
        await near_done(pilot, stage)
        await typed(pilot, stage, "pull")
        await pilot.press("f5")
        await settle(pilot)
        view = pilot.app.screen.query_one(Patio).view
        assert view is not None
        assert view.done_label == "carve"
        assert view.fire_line.startswith("meat ")
        await typed(pilot, stage, "serve")
        view = pilot.app.screen.query_one(Patio).view
        assert view is not None
        assert view.next_line.startswith("away ")


async def test_an_early_pull_is_asked_for_by_a_word_and_kept(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "plan pull early")
        assert tend(pilot).live.early
        assert any(
            "Pulled early" in text for text in tend(pilot).live.answers(stage.clock()).cautions
        )
    again = open_store(stage.path, now=stage.clock())
    try:
        assert again.settings.get(f"pull:{cook_id}") == "early"
    finally:
        again.close()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert tend(pilot).live.early, "kept for the next run"
        assert "DONE" in text_of(pilot.app)
