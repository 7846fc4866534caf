"""The Ledger's list on the screen: painted, searched, sorted, and its figures worked out."""

from __future__ import annotations

import os
from collections.abc import Mapping

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Input, Static

from app.display import Display
from app.ledger import LedgerEntry
from app.presenters.ledger import Rows, about, headings
from app.screens.figures import FiguresReady, FigureWorker, WorkOut
from app.screens.kit import Kit
from app.screens.ledger_list import LedgerList
from app.widgets.key_footer import KeyFooter
from app.widgets.ledger_table import LedgerHead, LedgerTable
from storage.errors import StorageError


class LedgerListScreen(Screen[None]):
    """Shows a :class:`LedgerList`. A subclass says what the keys do with a cook.

    Parameters
    ----------
    kit : Kit
    env : mapping
        Says which units the place uses, for a file without an own cook.
    figures : callable, optional
        Works out the figures of one cook; a test puts its own in.
    """

    CSS_PATH = "ledger.tcss"
    AUTO_FOCUS = "LedgerTable"

    def __init__(
        self, kit: Kit, env: Mapping[str, str] = os.environ, *, figures: WorkOut | None = None
    ) -> None:
        super().__init__()
        self.kit = kit
        self.list = LedgerList(kit.store, kit.zone, env)
        self._token: int | None = None
        self.figures = FigureWorker(self, kit, figures)
        self._said = ""

    @property
    def units(self) -> Display:
        """Units of the list."""
        return self.list.display

    def compose(self) -> ComposeResult:
        with Horizontal(id="bar"):
            yield Static("", id="heading", markup=False)
            yield Input(placeholder="/ searches title, month, notes", id="search", compact=True)
        yield LedgerHead(id="head")
        yield LedgerTable()
        yield Static("", id="about", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        self.query_one(Input).cursor_blink = False
        self.reload()

    def on_screen_resume(self) -> None:
        """What was looked at may have been changed there."""
        if self._token is not None and self._token != self.kit.store.change_token():
            self.reload()

    def on_resize(self) -> None:
        self.show()

    def reload(self) -> None:
        """Read the list from the file and work out what is missing."""
        try:
            self._token = self.kit.store.change_token()
            missing = self.list.load()
        except StorageError as error:
            self.say(str(error))
            return
        self.show()
        if missing:
            self.figures.ask(summary.id for summary in missing)

    @on(FiguresReady)
    def figures_ready(self, event: FiguresReady) -> None:
        """Show them, and keep them beside the cook."""
        if self.list.take(event.cook_id, event.kept):
            self.figures.keep(event)
            self.show()

    def show(self) -> None:
        """Paint the list as it is filtered and sorted, with the cursor on the same cook."""
        table, head = self.query_one(LedgerTable), self.query_one(LedgerHead)
        before = table.picked
        found = self.list.shown()
        heads = headings(self.size.width - 3)
        head.heads, head.sorted_by, head.falling = heads, self.list.column, self.list.falling
        row = next((i for i, entry in enumerate(found) if entry.summary.id == before), None)
        if row is not None:
            table.set_reactive(LedgerTable.cursor, row)
        table.marks = self.list.letters
        table.empty_words = self.list.empty_words()
        table.rows = Rows(found, heads, self.list.display)
        self.query_one("#heading", Static).update(self.list.heading(len(found)))
        self._show_about()

    @property
    def entry(self) -> LedgerEntry | None:
        """The cook under the cursor."""
        return self.list.entry(self.query_one(LedgerTable).picked)

    @on(LedgerTable.Moved)
    def moved(self) -> None:
        """Another cook is under the cursor."""
        self._said = ""
        self._show_about()

    def _show_about(self) -> None:
        entry = self.entry
        words = self._said or ("" if entry is None else about(entry, self.list.display))
        self.query_one("#about", Static).update(words)

    def say(self, words: str) -> None:
        """Say something until the cursor moves."""
        self._said = words
        self._show_about()

    @on(Input.Changed)
    def search_changed(self, event: Input.Changed) -> None:
        """Every letter filters."""
        self.list.query = event.value
        self.show()

    @on(Input.Submitted)
    def search_done(self) -> None:
        """Enter goes back to the list."""
        self.query_one(LedgerTable).focus()

    @on(LedgerHead.Asked)
    def head_asked(self, event: LedgerHead.Asked) -> None:
        """A click sorts; a second one turns the order."""
        self.list.sort_by(event.column)
        self.show()
