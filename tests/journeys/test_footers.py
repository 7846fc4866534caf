"""The keys at the bottom: no key is cut in two, at no width; what gives way is on a card."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from app.widgets.key_footer import GIVE_WAY
from tests.household.cook import fill
from tests.journeys.acting import settle
from tests.journeys.screen_text import rows_of, text_of
from tests.journeys.stage import Stage

SCREENS = {
    "tend": (),
    "lines": ("f2",),
    "ledger": ("f3",),
    "bin": ("f3", "b"),
    "one cook": ("f3", "down", "enter"),
    "outcome": ("f3", "down", "enter", "o"),
    "start": ("f4",),
    "day form": ("f12",),
    "help": ("f1",),
}


def footer(pilot: Pilot[None]) -> tuple[str, list[tuple[str, str]]]:
    """The lowest row, and id and words of each key that wants to be seen."""
    active = pilot.app.screen.active_bindings.values()
    wanted = [
        (found.binding.id or "", found.binding.description)
        for found in active
        if found.binding.show
    ]
    return rows_of(pilot.app)[-1], wanted


@pytest.mark.parametrize("keys", SCREENS.values(), ids=SCREENS.keys())
async def test_every_key_is_whole_and_only_those_on_a_card_give_way(
    stage: Stage, keys: tuple[str, ...]
) -> None:
    fill(stage.store, ("2026-03-07",))
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key in keys:
            await pilot.press(key)
            await settle(pilot)
        for width in (80, 140, 72, 60, 80):
            await pilot.resize_terminal(width, 24)
            await settle(pilot)
            row, wanted = footer(pilot)
            assert row.rstrip().endswith(tuple(words for _, words in wanted)), row
            lost = [name for name, words in wanted if words not in row]
            if width > 60:
                assert not set(lost) - set(GIVE_WAY), (width, lost)
            if width == 140:
                assert not lost, row


async def test_the_card_of_the_ledger_names_the_keys_that_gave_way(stage: Stage) -> None:
    fill(stage.store, ("2026-03-07",))
    stage.begin()
    async with stage.app().run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("f3")
        await settle(pilot)
        assert "binned" not in rows_of(pilot.app)[-1]
        await pilot.press("f1")
        await settle(pilot)
        shown = text_of(pilot.app)
        for words in ("what is in the bin", "one cut after another", "F12 day", "F4 new cook"):
            assert words in shown
        await pilot.press("escape")
        await settle(pilot)
        assert "Ledger, 2 cooks" in text_of(pilot.app)
