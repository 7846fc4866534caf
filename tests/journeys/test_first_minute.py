"""From an empty data file to the first reading, and back again after an absence."""

from __future__ import annotations

import os

import pytest
from textual.widgets import Input, Select, Static

from app.screen_state import load_state
from app.screens.day_form import DayFormScreen
from app.screens.ledger import LedgerScreen
from app.screens.replay import ReplayScreen
from app.screens.review import ReviewScreen
from app.screens.start import StartScreen
from app.screens.tend import TendScreen
from app.widgets.form_row import FormRow
from core.units import MassUnit, TemperatureUnit
from tests.journeys.acting import settle, tend, type_line
from tests.journeys.screen_text import text_of
from tests.journeys.stage import Stage, lamb


@pytest.fixture(autouse=True)
def american(monkeypatch: pytest.MonkeyPatch) -> None:
    """Units follow the locale on a first run."""
    for name in ("LC_ALL", "LC_MEASUREMENT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "en_US.UTF-8")


async def settle_form(pilot: object) -> None:
    """Let the pause in typing pass that the first forecast waits for."""
    for _ in range(3):
        await pilot.pause(0.15)  # type: ignore[attr-defined]
        await settle(pilot)  # type: ignore[arg-type]


def outlook(pilot: object) -> str:
    return str(pilot.app.screen.query_one("#outlook", Static).render())  # type: ignore[attr-defined]


async def test_an_empty_file_welcomes_with_the_form_and_its_first_forecast(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        assert isinstance(pilot.app.screen, StartScreen)
        words = text_of(pilot.app)
        assert "F9 shows an invented sample" in words
        assert "F3 cooks" not in words, "there are none yet"
        assert "done about" in outlook(pilot)
        await pilot.press("f10")
        await settle(pilot, stage)
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, TendScreen)
        await type_line(pilot, stage, "250 41")
    saved = stage.store.cook_in_hand()
    assert saved is not None
    assert saved.unit is TemperatureUnit.FAHRENHEIT and saved.mass_unit is MassUnit.POUND
    assert [line.text for line in saved.lines] == ["250 41"]


async def test_another_cut_brings_its_own_usual_values(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        screen = pilot.app.screen
        screen.query_one("#cut", Select).value = "duck"
        await settle_form(pilot)
        values = {box.id: box.value for box in screen.query(Input)}
        assert values["probes"] == "breast"
        assert values["target"] == "165"
        assert values["glaze"] == "145"
        # "All poultry 165 °F": FSIS Safe Minimum Internal Temperature Chart, updated 2025-04-14
        assert "published minimum 165 °F" in screen.query_one("#row-target", FormRow).hint
        assert "glaze" in outlook(pilot).lower()


async def test_units_convert_what_is_typed(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        screen = pilot.app.screen
        screen.query_one("#pit", Input).value = "275"
        await pilot.pause()
        screen.query_one("#unit").focus()
        await pilot.press("left")
        await settle_form(pilot)
        assert screen.query_one("#pit", Input).value == "135"
        assert "°C" in screen.query_one("#row-pit", FormRow).hint
        screen.query_one("#mass-unit").focus()
        await pilot.press("left")
        await settle_form(pilot)
        assert screen.query_one("#weight", Input).value == "3.4"


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("weight", "heavy", "a weight is 7 lb"),
        ("pit", "", "needed"),
        ("target", "500f", "below the pit"),
        ("glaze", "210", "below the temperature at which it is done"),
        ("meal", "half past", "a clock time is"),
        ("probes", "pull", "means something else"),
        ("probes", "leg, leg", "twice"),
        ("rest", "soon", "a length of time is"),
    ],
)
async def test_a_bad_field_says_what_it_takes(
    stage: Stage, field: str, typed: str, words: str
) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        screen = pilot.app.screen
        screen.query_one(f"#{field}", Input).value = typed
        await pilot.pause()
        complaint = screen.query_one(f"#row-{field}", FormRow).error
        assert words in complaint
        assert complaint in outlook(pilot), "in full, where there is room for it"
        await pilot.press("f10")
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, StartScreen), "nothing was started"
        assert stage.store.cooks() == ()


async def test_other_asks_for_shape_and_thickness(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        screen = pilot.app.screen
        assert not screen.query_one("#other").display
        screen.query_one("#cut", Select).value = "other"
        await settle_form(pilot)
        assert screen.query_one("#other").display
        assert screen.query_one("#row-thickness", FormRow).error
        screen.query_one("#thickness", Input).value = "3 in"
        await settle_form(pilot)
        await pilot.press("f10")
        await settle(pilot, stage)
        await settle(pilot, stage)
        saved = stage.store.cook_in_hand()
        assert saved is not None
        assert saved.cook.plan.thickness_m == pytest.approx(0.0762)


async def test_a_sample_can_be_seen_before_anything_is_started(stage: Stage) -> None:
    app = stage.app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        await pilot.press("f9")
        await settle(pilot)
        assert isinstance(app.screen, ReplayScreen)
        assert "An invented cook" in text_of(app)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, StartScreen)
        assert stage.store.cooks() == (), "the sample is not in the user's file"
    app.close_replays()


async def test_the_program_comes_back_to_the_same_cook_and_says_how_long_it_was_away(
    stage: Stage,
) -> None:
    cook_id = stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await type_line(pilot, stage, "305 42")
    state = load_state(stage.path)
    assert state.away_s(stage.clock()) == 0.0
    stage.clock.pass_minutes(190)
    app = stage.app()
    app.state = state
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        assert tend(pilot).live.saved.id == cook_id
        assert "Back after 3 h 10 min away" in text_of(app)
        await type_line(pilot, stage, "note here again")
        assert "Back after" not in text_of(app)


async def test_a_machine_that_slept_says_so(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        stage.clock.pass_minutes(95)
        tend(pilot).beat()
        await settle(pilot)
        assert "Nothing ran for 1 h 35 min" in text_of(pilot.app)


async def test_a_past_cook_is_found_again(stage: Stage) -> None:
    first = stage.begin()
    stage.say(first, "305 42")
    stage.clock.pass_minutes(200)
    stage.store.end_cook(first, stage.clock())
    stage.clock.pass_minutes(2000)
    second = stage.begin(lamb(stage.clock()))
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert tend(pilot).live.saved.id == second
        await pilot.press("f3")
        await settle(pilot)
        assert isinstance(pilot.app.screen, LedgerScreen)
        await pilot.press("down", "enter")
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, ReviewScreen), "it is looked back at"
        await pilot.press("l")
        await settle(pilot, stage)
        assert tend(pilot).live.saved.id == first, "and its lines are on the next screen"
        words = text_of(pilot.app)
        assert "pit 305 °F, leg 42 °F" in words
        assert "ended" in words


async def test_a_cook_that_is_over_is_found_from_the_form(stage: Stage) -> None:
    first = stage.begin()
    stage.say(first, "305 42")
    stage.clock.pass_minutes(200)
    stage.store.end_cook(first, stage.clock())
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle_form(pilot)
        assert isinstance(pilot.app.screen, DayFormScreen)
        assert "F3 ledger" in text_of(pilot.app)
        await pilot.press("f3")
        await settle(pilot)
        assert "no time off the heat was logged" in text_of(pilot.app)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(pilot.app.screen, DayFormScreen)
        await pilot.press("f3", "enter")
        await settle(pilot, stage)
        await pilot.press("l")
        await settle(pilot, stage)
        assert tend(pilot).live.saved.id == first
        assert "on at" in text_of(pilot.app), "it is on the fire no longer"


async def test_the_palette_is_kept_for_the_next_time(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test() as pilot:
        await settle(pilot)
        await pilot.press("f8")
        await settle(pilot)
        assert pilot.app.theme == "noon"
    assert load_state(stage.path).theme == "noon"
    mode = os.stat(stage.path.with_name("doneby-screen.json")).st_mode  # noqa: PTH116
    assert mode & 0o077 == 0, "the owner's only"
