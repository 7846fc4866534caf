"""What own cooks taught, on the start form and on the live screen. The forecasts are real ones."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from textual.pilot import Pilot
from textual.widgets import Static

from app.learned import KIND, Learning
from app.screens.review import ReviewScreen
from app.screens.start import StartScreen
from app.tui import DonebyApp
from core.cook import Milestone
from core.forecast import forecast
from storage.values import NewCook
from tests.core.cooks import made_cook
from tests.journeys.acting import settle, tend
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage, lamb

SLOW = (1.0, -0.5, 0.0, 0.0, -0.8, 0.0, 0.0)


def household(stage: Stage, count: int) -> None:
    """Own legs of lamb that took long, one a week up to now."""
    for week in range(count):
        start = stage.clock() - timedelta(weeks=count - week)
        new = replace(lamb(start), title=f"lamb {week}")
        made = made_cook(new.plan, 62.8, departures=SLOW, seed=week + 1)
        readings = tuple(replace(r, meat_c=(("leg", r.meat_c[0][1]),)) for r in made.cook.readings)
        cook_id = stage.store.create_cook(new)
        stage.store.add_line(cook_id, text="", typed_at=start, at=start, readings=readings)
        stage.store.end_cook(cook_id, start + timedelta(hours=6))


def app_of(stage: Stage) -> DonebyApp:
    kit = replace(stage.kit, learning=Learning(stage.store))
    return DonebyApp(kit, data=stage.path)


def median_s(new: NewCook, stage: Stage, *, learned: bool) -> float:
    """Median finish by the plan alone."""
    from core.cook import Cook

    prior = Learning(stage.store).of(new.plan.cut, new.started_at).prior if learned else None
    arrival = forecast(Cook(new.plan, new.probes), 0.0, prior=prior).arrival(
        "leg", Milestone.TARGET
    )
    assert arrival is not None
    found = arrival.quantile_s(0.5)
    assert found is not None
    return found


async def test_the_start_form_says_what_was_learned(stage: Stage) -> None:
    household(stage, 4)
    async with app_of(stage).run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        if not isinstance(pilot.app.screen, StartScreen):
            await pilot.press("f4")
            await settle(pilot)
        pilot.app.screen.query_one("#cut").value = "leg_of_lamb"  # type: ignore[attr-defined]
        for _ in range(4):
            await pilot.pause(0.2)
            await settle(pilot)
        words = str(pilot.app.screen.query_one("#outlook", Static).render())
        assert "Your legs of lamb finish" in words
        assert "% later than the book (learned from 4 cooks)" in words
    assert len(stage.store.derived.all(KIND)) == 4


async def test_the_live_screen_forecasts_on_what_was_learned(stage: Stage) -> None:
    household(stage, 4)
    new = lamb(stage.clock())
    stage.begin(new)
    async with app_of(stage).run_test(size=(80, 24)) as pilot:
        for _ in range(3):
            await pilot.pause(0.1)
            await settle(pilot, stage)
        shown = tend(pilot).live.forecast
        assert shown is not None
        arrival = shown.arrival("leg", Milestone.TARGET)
        assert arrival is not None
        found = arrival.quantile_s(0.5)
    book, own = (median_s(new, stage, learned=learned) for learned in (False, True))
    assert own > 1.05 * book
    assert found is not None
    assert abs(found - own) < 60.0


async def look_at_ledger(pilot: Pilot[None], stage: Stage) -> None:
    for _ in range(3):
        await settle(pilot, stage)
    await pilot.press("f3")
    for _ in range(3):
        await settle(pilot, stage)


async def test_the_ledger_says_what_was_learned_and_switches_it_off(stage: Stage) -> None:
    household(stage, 3)
    stage.begin(lamb(stage.clock()))
    async with app_of(stage).run_test(size=(80, 24)) as pilot:
        await look_at_ledger(pilot, stage)
        await pilot.press("l")
        for _ in range(3):
            await pilot.pause(0.1)
            await settle(pilot, stage)
        words = str(pilot.app.screen.query_one("#about", Static).render())
        assert "Your legs of lamb finish" in words
        assert "used from the next cook on" in words
        assert "The next one of 5.5 lb: about" in words
        await pilot.press("L")
        for _ in range(2):
            await settle(pilot, stage)
        assert "is off: forecasts go by the book" in text_of(pilot.app)
        assert not Learning(stage.store).on
        await pilot.press("L")
        for _ in range(2):
            await settle(pilot, stage)
        assert Learning(stage.store).on


async def test_a_look_back_says_what_it_was_forecast_with(stage: Stage) -> None:
    household(stage, 3)
    newest = stage.store.cooks()[0].id
    async with app_of(stage).run_test(size=(200, 90)) as pilot:
        await settle(pilot, stage)
        pilot.app.push_screen(ReviewScreen(pilot.app.kit, newest))  # type: ignore[attr-defined]
        for _ in range(6):
            await pilot.pause(0.2)
            await settle(pilot, stage)
        words = " ".join(text_of(pilot.app).split())
        assert "Your own cooks" in words
        assert "forecast sharpened by 2 earlier cooks of yours" in words
        assert "by now Your legs of lamb finish" in words
        assert "next time 5.5 lb: about" in words
