"""The part of the screens that belongs to planned days: what opens them and from where."""

from __future__ import annotations

import os
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import App
from textual.binding import Binding, BindingType

from app.day_book import OVER_AFTER, OpenDay, keep_mix, open_day
from app.day_wish import DayMix
from app.display import Display
from app.lately import in_hand
from app.presenters.day_form import DayText, form_of
from app.presenters.start import FIRST_CUT, usual
from app.presenters.tend import Notice
from app.presenters.views import Mark
from app.screens.cook_screen import CookScreen
from app.screens.day_entry import DayEntryScreen
from app.screens.day_form import DayFormScreen
from app.screens.dayline import DaylineScreen
from app.screens.kit import Kit
from app.screens.mix import Keeper, MixScreen
from app.screens.tend import TendScreen
from app.settings import usual_units
from core.cook import Plan
from storage.errors import StorageError
from storage.values import SavedDay

DAY_SCREENS = (DaylineScreen, DayFormScreen)


class DayApp(App[None]):
    """Opens the Dayline, its form and the mixes; :class:`app.tui.DonebyApp` builds on it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+o", "other_cook", "other cook", show=False, id="app.other"),
    ]

    kit: Kit

    def show_cook(self, cook_id: int) -> None:
        """Put one cook on the screen in the place of whatever is there."""
        raise NotImplementedError

    def action_other_cook(self) -> None:
        """From one piece on the fire to the next one."""
        screen = self.screen
        if not isinstance(screen, TendScreen) or screen.kit is not self.kit:
            return
        here = screen.live.saved.id
        ids = [cook.id for cook in in_hand(self.kit.store) if cook.id != here]
        if not ids:
            self.notify("No other cook is in hand.", markup=False)
            return
        self.show_cook(next((cook_id for cook_id in ids if cook_id > here), ids[0]))

    def also_on(self, cook_id: int) -> tuple[Notice, ...]:
        """A word on the other cooks in hand, and the way to them."""
        others = [cook.title for cook in in_hand(self.kit.store) if cook.id != cook_id]
        if not others:
            return ()
        words = f"Also in hand: {', '.join(others)}. Ctrl+O goes there."
        return (Notice(words, Mark.FINE, stays=True),)

    def day_in_hand(self) -> SavedDay | None:
        """The saved day that is still to come or just over; an old one is closed."""
        store, now = self.kit.store, self.kit.clock()
        saved = store.days.in_hand()
        if saved is None:
            return None
        try:
            opened = open_day(store, saved, now, self.kit.zone)
            if now > opened.wish.serve_at + OVER_AFTER:
                store.days.close(saved.id, now)
                return None
        except StorageError as error:
            self.notify(str(error), severity="error", markup=False, timeout=10)
            return None
        return saved

    def day_screen(self) -> DaylineScreen | DayFormScreen:
        """The day in hand, or the form that plans one."""
        saved = self.day_in_hand()
        if saved is not None:
            return DaylineScreen(self.kit, saved.id)
        unit, mass_unit = usual_units(self.kit.store, os.environ)
        return DayFormScreen(self.kit, DayText(usual(FIRST_CUT, unit, mass_unit)))

    def action_dayline(self) -> None:
        """The Dayline."""
        self.push_screen(self.day_screen())

    def action_mixes(self) -> None:
        """Brines and rubs, with the cook on the screen if there is one."""
        screen = self.screen
        if isinstance(screen, CookScreen):
            saved = screen.live.saved
            keeper = self._cook_keeper(saved.id)
            self._push_mixes(screen.live.display, saved.cook.plan, keeper)
            return
        unit, mass_unit = usual_units(self.kit.store, os.environ)
        self._push_mixes(Display(unit, mass_unit, self.kit.zone), None, None)

    def _push_mixes(self, display: Display, plan: Plan | None, keeper: Keeper | None) -> None:
        self.push_screen(MixScreen(self.kit, display, plan, keeper))

    def _cook_keeper(self, cook_id: int) -> Keeper:
        store, clock = self.kit.store, self.kit.clock

        def keep(mix: DayMix) -> int:
            return store.mixes.keep(cook_id, mix.name, mix.kind, mix.lines, mix.meat_kg, clock())

        def kept() -> tuple[DayMix, ...]:
            return tuple(DayMix(mix.name, mix.kind, mix.lines, mix.meat_kg)
                         for mix in store.mixes.of_cook(cook_id))  # fmt: skip

        return Keeper("the cook", keep, kept)

    def _day_keeper(self, day_id: int, piece: str | None) -> Keeper:
        kit = self.kit

        def opened() -> OpenDay:
            # as the file has it now: the screen's copy may be older
            return open_day(kit.store, kit.store.days.get(day_id), kit.clock(), kit.zone)

        def keep(mix: DayMix) -> None:
            keep_mix(kit.store, opened(), replace(mix, piece=piece))

        return Keeper("the day", keep, lambda: opened().kept.mixes)

    @on(DaylineScreen.BrineAsked)
    def brine_asked(self, event: DaylineScreen.BrineAsked) -> None:
        """The mixes for one piece of a day: kept with the day, or with its cook once begun."""
        opened, piece = event.opened, event.piece
        begun = opened.cooks.get(piece.name)
        keeper = (
            self._day_keeper(opened.saved.id, piece.name)
            if begun is None
            else self._cook_keeper(begun.id)
        )
        self._push_mixes(opened.display(self.kit.zone), piece.plan, keeper)

    @on(DaylineScreen.EditAsked)
    def edit_asked(self, event: DaylineScreen.EditAsked) -> None:
        """The form with what is wished for now."""
        self.push_screen(self._form(event.opened))

    def _form(self, opened: OpenDay) -> DayFormScreen:
        return DayFormScreen(self.kit, form_of(opened.kept, self.kit.zone), opened)

    @on(DayFormScreen.Kept)
    def day_kept(self, event: DayFormScreen.Kept) -> None:
        """A day was planned, or planned otherwise: show it in the place of its form."""
        while len(self.screen_stack) > 1 and isinstance(self.screen, DAY_SCREENS):
            self.pop_screen()
        self.push_screen(DaylineScreen(self.kit, event.day_id))

    @on(DayEntryScreen.Closed)
    def day_closed(self) -> None:
        """The day is over: what was behind it, or the form of the next one."""
        alone = len(self.screen_stack) <= 2
        self.pop_screen()
        if alone:
            self.push_screen(self.day_screen())

    @on(DayEntryScreen.CookBegun)
    def cook_begun_from_day(self, event: DayEntryScreen.CookBegun) -> None:
        """The meat is on: the live screen."""
        self.show_cook(event.cook_id)
