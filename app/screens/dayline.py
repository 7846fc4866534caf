"""The Dayline: the day counted back from the meal, ticked and moved step by step."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.message import Message
from textual.widgets import Static

from app.day_book import OpenDay, next_piece
from app.line.values import Refusal
from app.presenters.day_list import (
    DayView,
    conflict_lines,
    detail_words,
    next_step,
    present_day,
)
from app.presenters.dayline import dayline_text
from app.presenters.hanging import hung
from app.screens.day_entry import DayEntryScreen
from app.screens.day_help import DayHelpScreen
from app.widgets.day_list import DayList
from app.widgets.entry_box import EntryBox
from app.widgets.key_footer import KeyFooter
from app.widgets.preview import Tone
from core.day_values import Piece

STACK_HEIGHT = 32
SHORT_HEIGHT = 20
SHORT_CONFLICTS, LOW_CONFLICTS, STACK_CONFLICTS = 3, 8, 14
"""Rows that conflicts may take on a very low, a low and a high screen."""


class DaylineScreen(DayEntryScreen):
    """One saved day."""

    CSS_PATH = "dayline.tcss"
    AUTO_FOCUS = "#entry"
    HORIZONTAL_BREAKPOINTS = [(0, "-thin"), (60, "-narrow"), (110, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-tiny"), (16, "-low"), (STACK_HEIGHT, "-stack")]  # noqa: RUF012

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "day_help", "help", id="day.help"),
        Binding("f2", "edit", "plan", id="day.edit", tooltip="Change what is wished for"),
        Binding("f6", "all", "all", id="day.all", tooltip="Every step with its reasons"),
        Binding("f7", "brine", "brine", id="day.brine", tooltip="Brines and rubs"),
        Binding("f10", "start", "meat on", id="day.start", tooltip="Start the cook"),
        Binding("enter", "tick", "done", priority=True, id="day.tick"),
        Binding("up", "pick(-1)", "up", priority=True, show=False),
        Binding("down", "pick(1)", "down", priority=True, show=False),
        Binding("pageup", "pick(-8)", "up", priority=True, show=False),
        Binding("pagedown", "pick(8)", "down", priority=True, show=False),
        Binding("left", "shift(-5)", "earlier", priority=True, show=False, id="day.earlier"),
        Binding("right", "shift(5)", "later", priority=True, show=False, id="day.later"),
        Binding("shift+left", "shift(-30)", "earlier", priority=True, show=False),
        Binding("shift+right", "shift(30)", "later", priority=True, show=False),
        Binding("escape", "back", "back", id="day.back"),
    ]

    class EditAsked(Message):
        """The wish is to be changed."""

        def __init__(self, opened: OpenDay) -> None:
            super().__init__()
            self.opened = opened

    class BrineAsked(Message):
        """The brines are wanted, for one piece."""

        def __init__(self, opened: OpenDay, piece: Piece) -> None:
            super().__init__()
            self.opened, self.piece = opened, piece

    view: DayView | None = None
    _called: frozenset[str] | None = None

    def compose(self) -> ComposeResult:
        yield Static("", id="title", markup=False)
        yield Static("Laying out the day ...", id="summary", markup=False)
        yield Static("", id="conflicts", markup=False)
        with Container(id="body"):
            yield DayList(id="steps")
            with Container(id="side"):
                yield Static("", id="detail", markup=False)
                yield Static("", id="cautions", markup=False)
        with VerticalScroll(id="all"):
            yield Static("", id="all-text", markup=False)
        yield Static("", id="too-small", markup=False)
        yield self.entry_box()
        yield KeyFooter()

    def on_resize(self, event: Resize) -> None:
        width, height = event.size
        self.set_class(height < SHORT_HEIGHT, "-short")
        self.query_one("#too-small", Static).update(
            f"The Dayline needs 60 x 16, this is {width} x {height}."
        )
        if self.view is not None:
            self.call_after_refresh(self._show_conflicts, self.view)
            self._show_all(self.view)

    def show_failure(self, reason: str) -> None:
        """Say why the day could not be laid out; what was shown stays."""
        self.query_one("#summary", Static).update(f"Not laid out: {reason}")

    def show(self) -> None:
        """Paint the day."""
        if self.day is None:
            return
        if not self._picked_id:
            index = next_step(self.day)
            self._picked_id = "" if index is None else self.day.steps[index].id
        view = present_day(self.day, self.units, self.kit.clock())
        self.view = view
        self.query_one("#title", Static).update(f"{view.title}   now {view.clock}")
        kept = (mix.name for mix in self.opened.kept.mixes) if self.opened else ()
        mixes = ", ".join(kept)
        summary = (*view.summary, f"kept with the day: {mixes}") if mixes else view.summary
        self.query_one("#summary", Static).update("\n".join(summary))
        self._show_conflicts(view)
        self._call_for_due()
        steps = self.query_one(DayList)
        steps.rows = view.rows
        ids = [step.id for step in self.day.steps]
        steps.picked = ids.index(self._picked_id) if self._picked_id in ids else None
        told = (*self.lessons, *view.whole.cautions)
        self.query_one("#cautions", Static).update("\n".join(told))
        self._show_all(view)
        self._show_detail()
        self.refresh_bindings()

    def _show_all(self, view: DayView) -> None:
        whole = "\n".join((dayline_text(view.whole), *self.lessons))
        # one column for the scroll bar, and one on each side
        self.query_one("#all-text", Static).update(hung(whole, max(self.size.width - 3, 20)))

    def _show_conflicts(self, view: DayView) -> None:
        room = STACK_CONFLICTS if self.has_class("-stack") else LOW_CONFLICTS
        if self.has_class("-short"):
            room = SHORT_CONFLICTS
        width = max(self.size.width - 2, 20)
        lines = conflict_lines(view.whole, width, room)
        words = self.query_one("#conflicts", Static)
        # by the name of the colour, so that another palette finds its own; the mark at the front
        # says it without colour too
        rows = [
            Content.styled(hung(line, width), "bold $mark-late" if line[:1] == "!" else "")
            for line in lines
        ]
        words.update(Content("\n").join(rows))
        words.set_class(not lines, "-none")

    def _call_for_due(self) -> None:
        """Ring once when the next step comes due; not for what was due as the screen came up."""
        index = None if self.day is None else next_step(self.day)
        step = None if self.day is None or index is None else self.day.steps[index]
        due = step is not None and step.at <= self.kit.clock()
        if step is None or not due or step.id in (self._called or ()):
            self._called = self._called or frozenset()
            return
        first = self._called is None
        self._called = (self._called or frozenset()) | {step.id}
        if not first and self.kit.rings:
            self.app.bell()

    def _show_detail(self) -> None:
        index = self.query_one(DayList).picked
        words = ""
        if self.view is not None and index is not None:
            words = detail_words(self.view.whole.steps[index])
        self.query_one("#detail", Static).update(words)

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        empty = not self.is_mounted or not self.query_one(EntryBox).entry.value
        if action in ("tick", "shift"):
            return empty and self.picked is not None and not self.has_class("-all")
        if action == "start":
            return self.day is not None and self.opened is not None and (
                next_piece(self.day, self.opened) is not None
            )  # fmt: skip
        if action == "back":
            return self.has_class("-all") or len(self.app.screen_stack) > 2
        return True

    @on(EntryBox.Typing)
    def typing(self) -> None:
        """Keys mean something else while a line is typed."""
        self.refresh_bindings()

    def action_pick(self, count: int) -> None:
        """Pick another step, or scroll the whole text."""
        if self.has_class("-all"):
            self.query_one("#all").scroll_relative(y=count, animate=False)
            return
        steps = self.query_one(DayList)
        steps.step(count)
        self._take_pick()

    @on(DayList.Picked)
    def mouse_picked(self, event: DayList.Picked) -> None:
        """A click picks; a second one ticks."""
        self.query_one(DayList).picked = event.step
        self._take_pick()
        if event.again:
            self.action_tick()

    def _take_pick(self) -> None:
        index = self.query_one(DayList).picked
        if self.day is not None and index is not None:
            self._picked_id = self.day.steps[index].id
        self._show_detail()
        self.query_one(EntryBox).reread()
        self.refresh_bindings()

    def action_tick(self) -> None:
        """The picked step is done now, or not done after all."""
        self._save(self._read(""))

    def action_shift(self, minutes: int) -> None:
        """The picked step so much earlier or later."""
        try:
            self._save(self._read(f"{minutes:+d}"))
        except Refusal as refusal:
            self.query_one(EntryBox).say(Tone.WRONG, refusal.error.message)

    def action_all(self) -> None:
        """Every step with its reasons, or the list again."""
        self.toggle_class("-all")
        self.refresh_bindings()

    def action_day_help(self) -> None:
        """The card of the Dayline."""
        self.app.push_screen(DayHelpScreen())

    def action_edit(self) -> None:
        """Change what is wished for."""
        if self.opened is not None:
            self.post_message(self.EditAsked(self.opened))

    def action_brine(self) -> None:
        """Brines and rubs, for the piece whose step is picked."""
        if self.opened is not None:
            name = None if self.picked is None else self.picked.piece
            pieces = {piece.name: piece for piece in self.opened.wish.pieces}
            piece = pieces.get(name or "", self.opened.wish.pieces[0])
            self.post_message(self.BrineAsked(self.opened, piece))

    def action_back(self) -> None:
        """Back to the list, or to what was there before."""
        if self.has_class("-all"):
            self.action_all()
        else:
            self.dismiss()
