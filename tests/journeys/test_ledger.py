"""The Ledger by key: find a cook, see why it ran late, correct it, score it, compare it, bin it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import cache
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from app.ledger import KIND, Kept, decode, encode, work_out
from app.samples import sample_files
from app.screens.compare import CompareScreen
from app.screens.ledger import LedgerScreen
from app.screens.look_back import LookBack
from app.screens.outcome import OutcomeScreen
from app.screens.past_cook import PastCookScreen
from app.screens.review import ReviewScreen
from app.widgets.chart import FanChart
from app.widgets.ledger_table import LedgerHead, LedgerTable
from core.answers import Holdback
from core.cook import Cook
from core.pit_statistics import pit_statistics
from core.review import Figures, Range, Revision
from core.units import MassUnit
from storage.documents import read_document
from storage.values import Outcome, SavedCook
from tests.household.cook import fill
from tests.journeys.acting import settle, until, wait_saved
from tests.journeys.screen_text import check_golden, rows_of, text_of
from tests.journeys.stage import ZONE, Stage
from tests.journeys.test_sizes import SIZES, all_grey

SAMPLES = ("duck-autumn-afternoon", "leg-of-lamb-spring", "salmon-side-evening")
MARCH = ("2026-03-07", "2026-03-14")
AFTER = datetime(2027, 1, 9, 12, 0, tzinfo=ZONE)


@cache
def figures_of(name: str) -> Kept:
    """The figures of a sample, worked out once for all journeys."""
    document = read_document(sample_files()[name])
    cook = Cook(document.plan, document.probes, document.readings, document.events)
    plain = SavedCook(
        0, "", document.started_at, document.unit, MassUnit.KILOGRAM, cook, (), None, True
    )
    return work_out(plain)


def past(stage: Stage, *, fresh: bool = False) -> dict[str, int]:
    """Three samples that are over, and the clock after them; `fresh` without their figures."""
    stage.clock.shown = AFTER
    numbers = {
        name: stage.store.import_document(read_document(sample_files()[name])) for name in SAMPLES
    }
    if not fresh:
        for name, number in numbers.items():
            stamp = stage.store.cook(number).stamp
            stage.store.derived.put(number, KIND, stamp, encode(figures_of(name)))
    return numbers


async def ledger(pilot: Pilot[None], stage: Stage) -> LedgerScreen:
    """Open the Ledger and wait for its figures."""
    await settle(pilot)
    await pilot.press("f3")
    await settle(pilot, stage)
    screen = pilot.app.screen
    assert isinstance(screen, LedgerScreen)
    return screen


async def keys(pilot: Pilot[None], stage: Stage, *pressed: str) -> str:
    """Press keys, wait for all that follows, and read the screen."""
    await pilot.press(*pressed)
    await settle(pilot, stage)
    return text_of(pilot.app)


def bare_rows(pilot: Pilot[None]) -> list[str]:
    """The rows of the table."""
    return [row for row in rows_of(pilot.app) if row[2:5].strip().isdigit()]


async def test_every_cook_is_listed_with_plan_and_truth(stage: Stage) -> None:
    past(stage, fresh=True)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        words = text_of(pilot.app)
        assert "Ledger, 3 cooks" in words and "working out" not in words
        duck, salmon, lamb = bare_rows(pilot)
        assert "duck" in duck and "salmon" in salmon and "lamb" in lamb, "newest first"
        for part in ("3:20", "3:13", "7 early"):
            assert part in duck
        assert "7 min sooner than planned" in " ".join(words.split())
    # worked out once and kept beside the cooks
    kept = stage.store.derived.all(KIND)
    assert len(kept) == 3
    assert all(isinstance(decode(payload), Kept) for _, payload in kept.values())


async def test_kept_figures_are_not_worked_out_again(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    numbers = past(stage, fresh=True)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        before = bare_rows(pilot)

    asked: list[int] = []

    def count(saved: SavedCook, cancelled: Callable[[], bool], **_: object) -> Kept:
        asked.append(saved.id)
        return Kept()

    monkeypatch.setattr("app.screens.figures.work_out", count)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        assert bare_rows(pilot) == before and asked == []
    stage.store.change_title(numbers["duck-autumn-afternoon"], "A duck by another name")
    stage.store.reopen_cook(numbers["leg-of-lamb-spring"])
    stage.store.end_cook(numbers["leg-of-lamb-spring"], stage.clock())
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        assert numbers["leg-of-lamb-spring"] in asked, "its stamp has changed"


async def test_search_filter_and_order(stage: Stage) -> None:
    past(stage)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "slash", *"quince")
        assert len(bare_rows(pilot)) == 1 and "duck" in bare_rows(pilot)[0]
        assert "Ledger, 1 of 3 cooks" in text_of(pilot.app)
        await keys(pilot, stage, "enter", "escape")
        assert len(bare_rows(pilot)) == 3
        assert "Ledger, 1 of 3 cooks, duck" in await keys(pilot, stage, "f")
        assert "leg of lamb" in await keys(pilot, stage, "f")
        await keys(pilot, stage, "escape")
        screen = pilot.app.screen
        assert isinstance(screen, LedgerScreen), "Esc cleared the filter first"
        # by date, then cut, weight, pit, plan, took: five steps on
        words = await keys(pilot, stage, *"sssss")
        assert "took▲" in words
        assert "salmon" in bare_rows(pilot)[0]
        assert "took▼" in await keys(pilot, stage, "r")
        assert "duck" in bare_rows(pilot)[0]
        words = await keys(pilot, stage, "slash", *"zebra", "enter")
        assert "No cook matches" in words and not bare_rows(pilot)


async def test_the_mouse_sorts_and_opens(stage: Stage) -> None:
    past(stage)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await ledger(pilot, stage)
        await pilot.click(LedgerHead, offset=(18, 0))
        await settle(pilot, stage)
        assert "cut" in text_of(pilot.app).splitlines()[1] and "▲" in text_of(pilot.app)
        assert "duck" in bare_rows(pilot)[0]
        await pilot.click(LedgerTable, offset=(10, 2))
        await settle(pilot, stage)
        assert pilot.app.screen.query_one(LedgerTable).cursor == 2
        await pilot.click(LedgerTable, offset=(10, 2))
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, ReviewScreen)


async def test_the_bin_takes_and_gives_back(stage: Stage) -> None:
    past(stage)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        words = await keys(pilot, stage, "delete")
        await until(pilot, lambda: "u takes it back" in text_of(pilot.app))
        assert len(stage.store.cooks()) == 2 and len(bare_rows(pilot)) == 2
        words = await keys(pilot, stage, "b")
        assert "Bin, 1 cook" in words and "duck" in bare_rows(pilot)[0]
        await keys(pilot, stage, "u")
        await until(pilot, lambda: "The bin is empty" in text_of(pilot.app))
        words = await keys(pilot, stage, "escape")
        assert "Ledger, 3 cooks" in words
        # and straight away, without a look into the bin
        await keys(pilot, stage, "delete")
        await until(pilot, lambda: len(stage.store.cooks()) == 2)
        await keys(pilot, stage, "u")
        await until(pilot, lambda: len(stage.store.cooks()) == 3)


async def test_a_cook_in_hand_opens_live_and_stays_out_of_bin_and_comparison(
    stage: Stage,
) -> None:
    past(stage)
    cook_id = stage.begin()
    stage.say(cook_id, "305 42")
    async with stage.app().run_test(size=(80, 24)) as pilot:
        screen = await ledger(pilot, stage)
        screen.list.sort_by(screen.list.column)  # oldest first
        await keys(pilot, stage, "slash", *"garden", "enter")
        assert "in hand" in bare_rows(pilot)[0]
        assert "'end' on its screen" in await keys(pilot, stage, "delete")
        assert "cannot be compared" in await keys(pilot, stage, "space")
        await keys(pilot, stage, "enter")
        assert "say" in text_of(pilot.app) and not isinstance(pilot.app.screen, LedgerScreen)


async def test_an_empty_ledger_says_so(stage: Stage) -> None:
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.app.run_action("app.ledger")
        await settle(pilot, stage)
        pilot.app.push_screen(LedgerScreen(stage.kit))
        await settle(pilot, stage)
        assert "No cook is in the file yet." in text_of(pilot.app)
        for key in ("enter", "space", "delete", "c", "u", "s", "f", "down", "end"):
            await keys(pilot, stage, key)
        assert isinstance(pilot.app.screen, LedgerScreen)


# one cook


async def test_why_did_march_run_late(stage: Stage) -> None:
    fill(stage.store, MARCH)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        words = await keys(pilot, stage, "slash", *"march", "enter")
        # the list itself says it of the cook under the cursor
        words = " ".join(words.split())
        assert "later than planned" in words and "Fire" in words
        words = await keys(pilot, stage, "enter")
        words = " ".join(words.split())
        assert "Off the heat" in words and "later than the plan" in words
        assert "the fire made it" in words
        await keys(pilot, stage, "escape", "space", "space", "c")
        await until(pilot, lambda: "was done" in text_of(pilot.app))
        words = " ".join(text_of(pilot.app).split())
        assert "By the model: pit" in words


@pytest.mark.parametrize("size", SIZES)
async def test_a_look_back_shows_everything_at_every_size(
    stage: Stage, size: tuple[int, int]
) -> None:
    past(stage)
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        seen = await keys(pilot, stage, "enter")
        assert isinstance(pilot.app.screen, ReviewScreen)
        for key in ("tab", "tab"):
            seen += "\n" + await keys(pilot, stage, key)
        for words in (
            "A duck on an autumn afternoon", "Off the heat 7 min sooner than the plan.",
            "What held it back", "target 74 °C", "╵glaze", "done 09:20", "planned off 09:30",
        ):  # fmt: skip
            assert words in seen, words
        assert "The chart needs" not in seen


async def test_both_charts_are_read_at_the_same_time(stage: Stage) -> None:
    past(stage)
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "enter")
        await keys(pilot, stage, *["left"] * 20)
        charts = [pilot.app.screen.query_one(name, FanChart) for name in ("#chart", "#hindcast")]
        assert charts[0].cursor_x is not None and charts[0].cursor_x == charts[1].cursor_x
        assert "expected" in text_of(pilot.app)


async def test_a_line_is_corrected_afterwards_and_keeps_its_original(stage: Stage) -> None:
    number = past(stage)["duck-autumn-afternoon"]
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "enter")
        before = text_of(pilot.app)
        await keys(pilot, stage, "l")
        assert isinstance(pilot.app.screen, PastCookScreen)
        await keys(pilot, stage, "escape")
        await pilot.press(*"fix #5 148 -", "enter")
        await wait_saved(pilot, stage)
        await until(pilot, lambda: "corrected #5" in text_of(pilot.app))
        await keys(pilot, stage, "f2", *["up"] * 20)
        assert "corrected, was pit" in text_of(pilot.app)
        await keys(pilot, stage, "escape", "escape")
        assert isinstance(pilot.app.screen, ReviewScreen)
        assert text_of(pilot.app) != before, "the look back was made anew"
    lines = stage.store.cook(number).lines
    assert sum(line.replaced_by_id is not None for line in lines) == 1


async def test_how_it_turned_out_is_saved_as_a_whole(stage: Stage) -> None:
    number = past(stage)["duck-autumn-afternoon"]
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "enter", "o")
        assert isinstance(pilot.app.screen, OutcomeScreen)
        # four steps to the right: a four; then on to juicy, which stays open
        await keys(pilot, stage, *["right"] * 4, "enter", "enter", "enter", "right", "enter")
        await keys(pilot, stage, *"crackle", "enter", *"less smoke", "escape")
        assert stage.store.outcomes.of(number) is None, "Esc saves nothing"
        await keys(pilot, stage, "o", *["right"] * 4, "enter", "enter", "enter", "right", "enter")
        await keys(pilot, stage, *"crackle [b]", "enter", *"less smoke", "f10")
        await until(pilot, lambda: isinstance(pilot.app.screen, ReviewScreen))
        await settle(pilot, stage)
        kept = stage.store.outcomes.of(number)
        assert kept == Outcome(4, None, None, 1, "crackle [b]", "less smoke")
        await keys(pilot, stage, "end")
        assert "crackle [b]" in text_of(pilot.app)
        await keys(pilot, stage, "escape")
        assert "2.5" in bare_rows(pilot)[0], "the mean of 4 and 1"


async def test_a_cook_without_readings_can_be_looked_at(stage: Stage) -> None:
    cook_id = stage.begin()
    stage.clock.pass_minutes(30)
    stage.store.end_cook(cook_id, stage.clock())
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        pilot.app.push_screen(ReviewScreen(stage.kit, cook_id))
        await settle(pilot, stage)
        words = text_of(pilot.app)
        assert "Too few readings to say." in words and "never shown" in words
        words = await keys(pilot, stage, "tab", "tab")
        assert "Too few readings to show" in words


# several


async def test_four_cooks_at_the_most_and_two_at_the_least(stage: Stage) -> None:
    past(stage)
    async with stage.app().run_test(size=(80, 24)) as pilot:
        screen = await ledger(pilot, stage)
        await keys(pilot, stage, "space")
        assert "Pick two to four" in await keys(pilot, stage, "c")
        await keys(pilot, stage, "space", "space")
        assert list(screen.list.letters.values()) == ["A", "B", "C"]
        await keys(pilot, stage, "space")
        assert len(screen.list.picked) == 2, "a second Space lets it go"


@pytest.mark.parametrize("size", SIZES)
async def test_cooks_side_by_side(stage: Stage, size: tuple[int, int]) -> None:
    past(stage)
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "space", "space", "space", "c")
        assert isinstance(pilot.app.screen, CompareScreen)
        seen = text_of(pilot.app) + await keys(pilot, stage, "tab")
        for words in (
            "A  #1 A duck", "B was done", "C was done", "Minutes later than A", "0:00", "A pit",
            "aligned at meat-on",
        ):  # fmt: skip
            assert words in seen, words
        words = await keys(pilot, stage, "a")
        assert "aligned where the core passed" in words
        await keys(pilot, stage, "escape")
        assert isinstance(pilot.app.screen, LedgerScreen)


@pytest.mark.parametrize("size", SIZES)
async def test_without_colour(
    stage: Stage, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    past(stage)
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        assert all_grey(pilot.app) and "›" in text_of(pilot.app)
        await keys(pilot, stage, "enter", "tab", "tab")
        assert all_grey(pilot.app) and "░" in text_of(pilot.app)
        await keys(pilot, stage, "escape", "space", "space", "c", "tab")
        assert all_grey(pilot.app)


@pytest.mark.parametrize("size", [(60, 16), (30, 8), (1, 1)])
async def test_a_small_terminal_breaks_nothing(stage: Stage, size: tuple[int, int]) -> None:
    past(stage)
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "down", "enter", "tab", "tab", "escape", "space", "space", "c")
        await keys(pilot, stage, "tab", "a", "escape", "escape")


async def test_the_ledger_is_in_the_palette_and_a_typed_word(stage: Stage) -> None:
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        names = [command.title for command in pilot.app.get_system_commands(pilot.app.screen)]
        assert "Ledger" in names
        await pilot.press(*"ledger", "enter")
        await settle(pilot, stage)
        assert isinstance(pilot.app.screen, LedgerScreen)


async def test_words_of_others_act_on_nothing(stage: Stage, tmp_path: Path) -> None:
    number = past(stage)["duck-autumn-afternoon"]
    stage.store.change_title(number, "[red]duck[/b] \x1b[31m")
    stage.store.outcomes.save(number, Outcome(5, words="[/b] \x07 ok"))
    async with stage.app().run_test(size=(120, 40)) as pilot:
        await ledger(pilot, stage)
        assert "[red]duck[/b]" in text_of(pilot.app)
        await keys(pilot, stage, "enter", "end")
        assert "[/b]" in text_of(pilot.app) and "\x1b" not in text_of(pilot.app)
        await keys(pilot, stage, "escape", "slash", *"[red", "enter")
        assert pilot.app.screen.query_one(Input).value == "[red"
        assert len(bare_rows(pilot)) == 1


# golden texts: a person looks at them whenever they change; nothing in them asks the model

STANDS = Kept(
    took_s=11580.0, planned_s=12000.0, expected_s=10900.0, half_miss_s=-700.0, pit_c=146.0,
    in_band=0.55, fire_s=1440.0, stall_s=-660.0, piece_s=60.0,
)  # fmt: skip


def a_look_back(saved: SavedCook, *_: object) -> LookBack:
    """A look back at a sample with figures of our own."""
    figures = Figures(
        took_s=11580.0, finish_s=11400.0, planned_s=12000.0,
        expected=Range(7800.0, 10900.0, 15900.0), half_s=5700.0,
        half=Range(10000.0, 10700.0, 12000.0), pit=pit_statistics(saved.cook),
        holdback=Holdback("breast", 1440.0, -660.0, 60.0),
    )  # fmt: skip
    return LookBack(figures, tuple(_revision(600.0 * step) for step in range(19)), None)


def _revision(at_s: float) -> Revision:
    """A finish that comes nearer to the truth as the cook goes on."""
    left = 1.0 - at_s / 11400.0
    low, high = 11400.0 - 3000.0 * left, 11400.0 + 4000.0 * left
    middle = 11400.0 - 900.0 * left
    between = (0.5 * (low + middle), middle, 0.5 * (middle + high))
    return Revision(at_s, (low, *between, high))


@pytest.mark.parametrize("size", [(80, 24), (200, 50)])
async def test_golden_ledger(stage: Stage, size: tuple[int, int]) -> None:
    for number in past(stage).values():
        stage.store.derived.put(number, KIND, stage.store.cook(number).stamp, encode(STANDS))
    stage.store.outcomes.save(1, Outcome(4, 5, 3, 4, "Crackled."))
    stage.store.derived.put(1, KIND, stage.store.cook(1).stamp, encode(STANDS))
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "space", "space")
        check_golden(pilot.app, f"ledger-{size[0]}x{size[1]}")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_golden_review(
    stage: Stage, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.screens.look_back.look_back", a_look_back)
    past(stage)
    async with stage.app().run_test(size=size) as pilot:
        await ledger(pilot, stage)
        await keys(pilot, stage, "enter")
        check_golden(pilot.app, f"review-{size[0]}x{size[1]}")
        if size[0] == 80:
            await keys(pilot, stage, "3")
            check_golden(pilot.app, "review-moved-80x24")


async def test_golden_outcome(stage: Stage) -> None:
    past(stage)
    stage.store.outcomes.save(1, Outcome(4, 5, 3, None, "Crackled.", "A deeper pan.", "apple"))
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        pilot.app.push_screen(OutcomeScreen(stage.kit, 1))
        await settle(pilot, stage)
        check_golden(pilot.app, "outcome-80x24")
