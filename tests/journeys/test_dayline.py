"""Journeys through a planned day: planned, ticked, moved, begun, and there again after a kill."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar
from textual.pilot import Pilot
from textual.widgets import Input, Select, Static, TextArea

from app.day_book import save_day
from app.day_pieces import numbered, read_piece
from app.day_wish import KeptWish
from app.screens.day_form import DayFormScreen
from app.screens.day_help import DayHelpScreen
from app.screens.dayline import DaylineScreen
from app.screens.mix import MixScreen
from app.screens.start import StartScreen
from app.screens.tend import TendScreen
from app.widgets.choice import Choice
from app.widgets.day_list import DayList
from app.widgets.form_row import FormRow
from core.cook import EventKind
from core.day_values import DayWish
from core.units import MassUnit, TemperatureUnit
from tests.journeys.acting import echo, settle, tend, type_line
from tests.journeys.screen_text import check_golden, text_of
from tests.journeys.stage import ZONE, Stage

SIZES = [(80, 24), (120, 40), (200, 50)]
SHOWN = (
    "to eat Sun 13:00", "now 12:00", "ready for the meal: 9 in 10", "! One fire has one pit",
    "next", "into the brine", "say", "meat on",
)  # fmt: skip
UNITS = (TemperatureUnit.FAHRENHEIT, MassUnit.POUND)


def plan(stage: Stage, *pieces: str, ahead_h: float = 25.0, people: int | None = 6) -> int:
    """Keep a day whose meal is so many hours ahead."""
    now = stage.clock()
    meat = numbered(read_piece(text, *UNITS, now, ZONE) for text in pieces)
    wish = DayWish(meat, now + timedelta(hours=ahead_h), now, people)
    return save_day(stage.store, KeptWish(wish, *UNITS), now)


def dayline(pilot: Pilot[None]) -> DaylineScreen:
    screen = pilot.app.screen
    assert isinstance(screen, DaylineScreen)
    return screen


def at(screen: DaylineScreen, key: str) -> datetime:
    """When a step stands."""
    assert screen.day is not None
    return next(step.at for step in screen.day.steps if step.id == key)


async def act(pilot: Pilot[None], stage: Stage, *keys: str) -> None:
    await pilot.press(*keys)
    # what the writer reports makes the next plan
    for _ in range(2):
        await settle(pilot, stage)


async def type_in(pilot: Pilot[None], stage: Stage, text: str) -> None:
    """A line as if pasted: quicker than key by key."""
    pilot.app.screen.query_one("#entry", Input).value = text
    await pilot.pause()
    await act(pilot, stage, "enter")


@pytest.mark.parametrize("size", SIZES)
async def test_a_day_shows_title_chance_steps_detail_and_entry(
    stage: Stage, size: tuple[int, int]
) -> None:
    plan(stage, "leg_of_lamb 5lb", "whole_chicken 4lb wet pit=350")
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot, stage)
        words = text_of(pilot.app)
        for part in SHOWN:
            assert part in words, part
        assert "None" not in words
        if size[1] >= 40:
            assert "carbon monoxide" in words
        check_golden(pilot.app, f"dayline-{size[0]}x{size[1]}")


async def test_no_cook_in_hand_opens_the_day_and_a_cook_in_hand_reaches_it(stage: Stage) -> None:
    plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        dayline(pilot)
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, TendScreen)
        await act(pilot, stage, "f12")
        dayline(pilot)
        await act(pilot, stage, "escape")
        assert isinstance(pilot.app.screen, TendScreen)
        await type_in(pilot, stage, "dayline")
        dayline(pilot)


async def test_an_empty_file_offers_the_day_from_the_start_form(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, StartScreen)
        assert "F12 plans a day" in " ".join(text_of(pilot.app).split())
        await act(pilot, stage, "f12")
        assert isinstance(pilot.app.screen, DayFormScreen)


async def test_a_form_becomes_a_day(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await act(pilot, stage, "f12")
        form = pilot.app.screen
        form.query_one("#cut", Select).value = "duck"
        await settle(pilot, stage)
        form.query_one("#meal", Input).value = "sun 18:00"
        form.query_one("#others", Input).value = "salmon_side 2lb; unicorn 3lb"
        form.query_one("#state", Choice).picked = 0
        await pilot.pause()
        assert "a piece begins with a cut" in form.query_one("#row-others", FormRow).error
        await act(pilot, stage, "f10")
        assert isinstance(pilot.app.screen, DayFormScreen), "a bad field keeps nothing"
        assert stage.store.days.all() == ()
        form.query_one("#others", Input).value = "salmon_side 2lb"
        await pilot.pause(0.4)
        await settle(pilot, stage)
        words = str(form.query_one("#outlook", Static).render())
        assert "Thaw from" in words and "salmon side meat on" in words
        await act(pilot, stage, "f10")
        screen = dayline(pilot)
        assert screen.opened is not None
        assert [p.name for p in screen.opened.wish.pieces] == ["duck", "salmon side"]
        await act(pilot, stage, "f2")
        again = pilot.app.screen
        assert isinstance(again, DayFormScreen)
        assert again.query_one("#others", Input).value.startswith("salmon_side 2lb")
        again.query_one("#people", Input).value = "40"
        await act(pilot, stage, "f10")
        assert len(stage.store.days.all()) == 1, "the same day, planned otherwise"
        assert "you are 40" in text_of(pilot.app)


async def test_ticks_and_moves_are_kept_and_the_rest_follows(stage: Stage) -> None:
    day_id = plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot, stage)
        screen = dayline(pilot)
        on, light = at(screen, "meat_on:duck"), at(screen, "light")
        await type_in(pilot, stage, "meal 14:00")
        assert at(screen, "meat_on:duck") == on + timedelta(hours=1)
        await type_in(pilot, stage, "back meal")
        assert at(screen, "meat_on:duck") == on
        screen.query_one(DayList).picked = None
        screen._picked_id = "light"
        await act(pilot, stage, "right", "right")
        assert at(screen, "light") == light + timedelta(minutes=10)
        assert "moved" in text_of(pilot.app)
        stage.clock.shown = light.astimezone(ZONE) + timedelta(minutes=75)
        screen.beat()
        await settle(pilot, stage)
        await act(pilot, stage, "enter")
        assert "saved: fire: done at" in echo(pilot)
        assert at(screen, "meat_on:duck") > on
        words = text_of(pilot.app)
        assert "! It should go on at" in words
        assert "wanted 9 in 10" in words and "ready for the meal: 9 in 10" not in words
    (step,) = stage.store.days.get(day_id).steps
    assert step.ticked_at == stage.clock()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        assert "done  light the fire" in text_of(pilot.app), "it is there after a restart"


async def test_meat_on_starts_the_cook_with_its_plan_and_what_was_ticked(stage: Stage) -> None:
    day_id = plan(stage, "leg_of_lamb 5lb glaze=120", "whole_chicken 4lb")
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot, stage)
        screen = dayline(pilot)
        stage.clock.shown = at(screen, "light").astimezone(ZONE)
        screen.beat()
        await settle(pilot, stage)
        await type_in(pilot, stage, "done fire")
        stage.clock.pass_minutes(45)
        await act(pilot, stage, "f10")
        bird = tend(pilot).live.saved
        assert bird.cook.plan.cut == "whole_chicken", "it goes on first"
        assert bird.started_at == stage.clock()
        serve = bird.started_at + timedelta(seconds=bird.cook.plan.serve_s or 0)
        assert f"{serve.astimezone(ZONE):%a %H:%M}" == "Sun 13:00"
        (note,) = bird.cook.events
        assert (note.kind, note.note, note.elapsed_s) == (EventKind.NOTE, "fire lit", -2700.0)
        await type_line(pilot, stage, "300 45")
        await act(pilot, stage, "f12")
        assert "on since" in text_of(pilot.app)
        await act(pilot, stage, "f10")
        lamb = tend(pilot).live.saved
        assert lamb.cook.plan.cut == "leg_of_lamb"
        assert lamb.cook.probes[0].glaze_c == pytest.approx(48.9, abs=0.1)
        assert f"Also in hand: {bird.title}. Ctrl+O goes there." in text_of(pilot.app)
        await act(pilot, stage, "ctrl+o")
        assert tend(pilot).live.saved.id == bird.id
        assert f"Also in hand: {lamb.title}" in text_of(pilot.app)
        await act(pilot, stage, "ctrl+o")
        assert tend(pilot).live.saved.id == lamb.id, "and round again"
        await act(pilot, stage, "f12", "f10")
        dayline(pilot)
        assert "meat on" not in pilot.app.screen.active_bindings
    assert len(stage.store.days.get(day_id).cook_ids) == 2
    assert len(stage.store.cooks()) == 2, "one cook a piece, however often the key is pressed"


async def test_meat_on_far_from_the_plan_is_asked_about_once(stage: Stage) -> None:
    plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await act(pilot, stage, "f10")
        assert "The plan says meat on at Sun" in echo(pilot)
        assert stage.store.cooks() == ()
        await act(pilot, stage, "f10")
        assert tend(pilot).live.saved.started_at == stage.clock()


async def test_a_step_that_comes_due_rings_once(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan(stage, "duck 5lb")
    app = stage.app()
    app.kit = replace(app.kit, rings=True)
    rung: list[datetime] = []
    monkeypatch.setattr(app, "bell", lambda: rung.append(stage.clock()))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        screen = dayline(pilot)
        assert screen.day is not None
        first = screen.day.steps[0].at.astimezone(ZONE)
        for minutes in (-5, 0, 3, 6):
            stage.clock.shown = first + timedelta(minutes=minutes)
            screen.beat()
            await settle(pilot, stage)
        assert rung == [first]


async def test_a_mix_of_the_day_goes_over_to_its_cook(stage: Stage) -> None:
    plan(stage, "duck 5lb wet", ahead_h=12.0)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await act(pilot, stage, "f7")
        pilot.app.screen.query_one(TextArea).text = "240 g salt\n4 l water"
        pilot.app.screen.query_one("#name", Input).value = "Duck brine"
        await act(pilot, stage, "f5")
        assert "kept with the day as 'Duck brine'" in text_of(pilot.app)
        listed = pilot.app.screen.query_one("#listed", Select)
        assert [str(words) for words, _ in listed._options[1:]] == ["Duck brine, with the day"]
        await act(pilot, stage, "escape")
        assert "kept with the day: Duck brine" in text_of(pilot.app)
        await type_in(pilot, stage, "meal +15")
        assert "kept with the day: Duck brine" in text_of(pilot.app)
        await act(pilot, stage, "f10", "f10")
        cook_id = tend(pilot).live.saved.id
    (kept,) = stage.store.mixes.of_cook(cook_id)
    assert (kept.name, kept.lines) == ("Duck brine", ("240 g salt", "4 l water"))
    assert stage.store.mixes.all() == (), "the list is another place"


async def test_what_the_cook_logs_is_done_on_its_day(stage: Stage) -> None:
    plan(stage, "duck 5lb", ahead_h=6.0)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await settle(pilot, stage)
        stage.clock.shown = at(dayline(pilot), "meat_on:duck").astimezone(ZONE)
        await act(pilot, stage, "f10")
        cook_id = tend(pilot).live.saved.id
        stage.clock.pass_minutes(60)
        stage.say(cook_id, "glaze")
        await act(pilot, stage, "f12")
        screen = dayline(pilot)
        assert at(screen, "glaze:duck") == stage.clock()
        assert "done  glaze" in text_of(pilot.app)
        assert "prick the skin" not in text_of(pilot.app), "it is behind the meat that is on"


async def test_what_cannot_be_read_stays_in_the_entry(stage: Stage) -> None:
    plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await type_in(pilot, stage, "carve 12:00")
        assert "cannot be moved" in echo(pilot)
        assert dayline(pilot).query_one("#entry", Input).value == "carve 12:00"
    assert stage.store.days.all()[0].steps == ()


async def test_the_calendar_file_from_the_screen(stage: Stage, tmp_path: Path) -> None:
    plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        path = tmp_path / "day"
        await type_in(pilot, stage, f"ics {path}")
        assert "steps are in" in echo(pilot)
    calendar = Calendar.from_ical(path.with_suffix(".ics").read_bytes())
    assert any(str(event["SUMMARY"]) == "meat on" for event in calendar.walk("VEVENT"))


async def test_help_all_and_close(stage: Stage) -> None:
    plan(stage, "duck 5lb frozen", ahead_h=9.0)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await act(pilot, stage, "f1")
        assert isinstance(pilot.app.screen, DayHelpScreen)
        assert "gives a moved step back" in text_of(pilot.app)
        await act(pilot, stage, "escape", "f6")
        assert "USDA FSIS turkey thawing guidance" in " ".join(text_of(pilot.app).split())
        await act(pilot, stage, "escape")
        await type_in(pilot, stage, "close")
        assert isinstance(pilot.app.screen, DayFormScreen), "the form of the next day"
    assert stage.store.days.in_hand() is None


async def test_a_day_long_past_is_no_longer_in_hand(stage: Stage) -> None:
    plan(stage, "duck 5lb")
    stage.clock.pass_minutes(60 * 60)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, DayFormScreen)
    assert stage.store.days.all()[0].closed_at is not None


async def test_another_terminal_changes_the_day(stage: Stage) -> None:
    day_id = plan(stage, "duck 5lb")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        screen = dayline(pilot)
        stage.store.days.move(day_id, "light", stage.clock() + timedelta(hours=17))
        screen.beat()
        await settle(pilot, stage)
        assert at(screen, "light") == stage.clock() + timedelta(hours=17)


async def test_a_damaged_day_is_said_and_does_not_end_the_program(stage: Stage) -> None:
    stage.store.days.create("an odd one", '{"version": 99}', stage.clock())
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await act(pilot, stage, "f12")
        assert isinstance(pilot.app.screen, DayFormScreen)
        assert any("cannot be read" in n.message for n in pilot.app._notifications)


@pytest.mark.parametrize("size", [(59, 30), (100, 15), (30, 8), (1, 1)])
async def test_too_small_a_terminal_says_what_is_needed(
    stage: Stage, size: tuple[int, int]
) -> None:
    plan(stage, "duck 5lb")
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot, stage)
        if size[0] >= 30:
            assert "The Dayline needs 60 x 16" in " ".join(text_of(pilot.app).split())
        await pilot.resize_terminal(80, 24)
        await settle(pilot, stage)
        assert "light the fire" in text_of(pilot.app)


async def test_a_mix_is_weighed_up_kept_and_scaled(stage: Stage) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot, stage)
        await type_in(pilot, stage, "brine")
        screen = pilot.app.screen
        assert isinstance(screen, MixScreen)
        await act(pilot, stage, *"240 g salt", "enter", *"4 l water")
        words = text_of(pilot.app)
        assert "5.7 % salt by weight" in words and "within the usual" in words
        assert "never use a brine again" in words
        await act(pilot, stage, "f10")
        assert "it needs a name" in text_of(pilot.app)
        screen.query_one("#name", Input).value = "Lamb brine"
        await act(pilot, stage, "f10")
        await act(pilot, stage, "f5")
        assert "kept with the cook as 'Lamb brine'" in text_of(pilot.app)
        screen.query_one("#meat", Input).value = "5 lb"
        scale = screen.query_one("#scale", Input)
        scale.focus()
        await act(pilot, stage, *"10 lb", "enter")
        assert screen.query_one(TextArea).text == "480 g salt\n8 l water"
        screen.query_one(TextArea).text = "2 salt"
        await settle(pilot, stage)
        assert "without a unit" in text_of(pilot.app)
        await act(pilot, stage, "escape")
        assert isinstance(pilot.app.screen, TendScreen)
    assert [mix.name for mix in stage.store.mixes.all()] == ["Lamb brine"]
    (kept,) = stage.store.mixes.of_cook(cook_id)
    assert kept.lines == ("240 g salt", "4 l water")


@pytest.mark.parametrize("size", SIZES)
async def test_form_and_mixes_at_every_size(stage: Stage, size: tuple[int, int]) -> None:
    plan(stage, "ham 11lb", people=12)
    async with stage.app().run_test(size=size) as pilot:
        await settle(pilot, stage)
        await act(pilot, stage, "f2")
        await pilot.pause(0.4)
        await settle(pilot, stage)
        check_golden(pilot.app, f"day-form-{size[0]}x{size[1]}")
        await act(pilot, stage, "escape", "f7")
        pilot.app.screen.query_one(TextArea).text = "1/2 cup kosher salt\n1 gallon water"
        await settle(pilot, stage)
        check_golden(pilot.app, f"mix-{size[0]}x{size[1]}")
