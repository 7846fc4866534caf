"""The Ledger: all past cooks in one list to search, sort, compare, bin and open."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input

from app.display import one_line
from app.screens.ledger_learning import LedgerLearningScreen
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.ledger_table import LedgerHead, LedgerTable


class LedgerScreen(LedgerLearningScreen):
    """All cooks of the file, newest first, and what can be done with them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", id="ledger.open"),
        Binding("slash", "search", "search", key_display="/", id="ledger.search"),
        Binding("down", "to_list", show=False),
        Binding("f,F", "cut", "cut", key_display="f", id="ledger.cut"),
        Binding("s,S", "sort(1)", "sort", key_display="s", id="ledger.sort"),
        Binding("r,R", "sort(0)", "turn", show=False, id="ledger.turn"),
        Binding("space", "pick", "pick", key_display="Space", id="ledger.pick"),
        Binding("c,C", "compare", "compare", key_display="c", id="ledger.compare"),
        Binding("delete", "bin", "bin", key_display="Del", id="ledger.bin"),
        Binding("u,U", "unbin", "take back", key_display="u", id="ledger.unbin"),
        Binding("b,B", "bins", "binned", key_display="b", id="ledger.bins"),
        Binding("escape,f3", "leave", "back", key_display="Esc", id="ledger.back"),
    ]

    _last_binned: int | None = None

    class Chosen(Message):
        """A cook is to be shown: on the live screen if it is in hand, else looked back at."""

        def __init__(self, cook_id: int, *, live: bool) -> None:
            super().__init__()
            self.cook_id, self.live = cook_id, live

    class Compare(Message):
        """Cooks are to be set side by side, in this order."""

        def __init__(self, cook_ids: tuple[int, ...]) -> None:
            super().__init__()
            self.cook_ids = cook_ids

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action == "unbin":
            return self.list.in_bin or self._last_binned is not None
        if action in ("open", "pick", "compare", "bin"):
            return not self.list.in_bin
        return True

    # search, filter, order

    def action_search(self) -> None:
        """Into the search; what is typed filters at once."""
        self.query_one(Input).focus()

    def action_to_list(self) -> None:
        """Out of the search, down into what it found."""
        self.query_one(LedgerTable).focus()

    def action_cut(self) -> None:
        """Only the next cut."""
        self.list.next_cut()
        self.show()

    def action_sort(self, step: int) -> None:
        """By the next column, or with 0 the other way round."""
        columns = [head.column for head in self.query_one(LedgerHead).heads]
        place = columns.index(self.list.column) if self.list.column in columns else 0
        self.list.sort_by(columns[(place + step) % len(columns)])
        self.show()

    # what is done with a cook

    @on(LedgerTable.Opened)
    def action_open(self) -> None:
        """The cook under the cursor."""
        if self.entry is not None and not self.list.in_bin:
            self.post_message(self.Chosen(self.entry.summary.id, live=not self.entry.over))

    def action_pick(self) -> None:
        """Pick a cook to be compared, or let it go."""
        if self.entry is None:
            return
        refused = self.list.pick(self.entry.summary.id)
        table = self.query_one(LedgerTable)
        table.marks = self.list.letters
        if refused:
            self.say(refused)
        else:
            table.action_move(1)

    def action_compare(self) -> None:
        """The picked cooks side by side."""
        if len(self.list.picked) < 2:
            self.say("Pick two to four cooks with Space first; c then compares them.")
            return
        self.post_message(self.Compare(tuple(self.list.picked)))

    # the bin

    def action_bin(self) -> None:
        """The cook under the cursor goes to the bin."""
        if self.entry is None:
            return
        if not self.entry.over:
            self.say("This cook is in hand. 'end' on its screen ends it, then it can go.")
            return
        cook_id = self.entry.summary.id
        self._write("bin", cook_id, partial(self.kit.store.bin_cook, cook_id, self.kit.clock()))

    def action_unbin(self) -> None:
        """Take back: the cook under the cursor in the bin, else the last one that went there."""
        cook_id = self._last_binned
        if self.list.in_bin:
            cook_id = None if self.entry is None else self.entry.summary.id
        if cook_id is not None:
            self._write("unbin", cook_id, partial(self.kit.store.unbin_cook, cook_id))

    def _write(self, kind: str, cook_id: int, job: Callable[[], None]) -> None:
        def run() -> int:
            job()
            return cook_id

        self.kit.writer.submit(self, kind, run)

    @on(WriteDone)
    def write_done(self, event: WriteDone) -> None:
        """The file has it."""
        if event.kind not in ("bin", "unbin") or not isinstance(event.result, int):
            return
        gone = self.list.entry(event.result)
        title = "The cook" if gone is None else f"'{one_line(gone.summary.title)}'"
        self._last_binned = event.result if event.kind == "bin" else None
        self.reload()
        where = "is in the bin; u takes it back" if event.kind == "bin" else "is back in the list"
        self.say(f"{title} {where}.")
        self.refresh_bindings()

    @on(WriteFailed)
    def write_failed(self, event: WriteFailed) -> None:
        """Nothing was changed."""
        if event.kind != "figures":
            self.say(f"Not done: {event.reason}")

    def action_bins(self) -> None:
        """Show the bin, or the list again."""
        self.list.in_bin = not self.list.in_bin
        self.list.picked = []
        self.reload()
        self.refresh_bindings()

    def action_leave(self) -> None:
        """Out of the search, then out of the filter and the bin, then out of the list."""
        search = self.query_one(Input)
        if search.has_focus or search.value or self.list.cut:
            search.value, self.list.cut = "", ""
            self.query_one(LedgerTable).focus()
            self.show()
        elif self.list.in_bin:
            self.action_bins()
        else:
            self.dismiss()
