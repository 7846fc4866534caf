"""One past cook: what happened, how the forecast moved, how the fire was held, and why."""

from __future__ import annotations

from typing import ClassVar

from rich.console import Group, RenderableType
from rich.style import Style
from rich.table import Table
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Static

from app.presenters.review import Section
from app.screens.kit import Kit
from app.screens.look_back import LookBackReady, PastCook, ask_look_back
from app.screens.outcome import OutcomeScreen
from app.screens.past_cook import PastCookScreen
from app.widgets.chart import FanChart
from app.widgets.key_footer import KeyFooter
from storage.errors import StorageError

STACK_WIDTH, STACK_HEIGHT = 110, 32
NAME_WIDTH = 14
PAGES = {"why": "1 why", "chart": "2 what happened", "forecast": "3 how the forecast moved"}


class ReviewScreen(Screen[None]):
    """One past cook, looked back at."""

    CSS_PATH = "review.tcss"
    AUTO_FOCUS = "#paper"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "page(1)", "next page", id="review.page", priority=True),
        Binding("shift+tab", "page(-1)", "page before", show=False, priority=True),
        Binding("1", "page_named('why')", show=False),
        Binding("2", "page_named('chart')", show=False),
        Binding("3", "page_named('forecast')", show=False),
        Binding("left", "read(-1)", "read chart", key_display="←→", priority=True),
        Binding("right", "read(1)", "later", show=False, priority=True),
        Binding("shift+left", "read(-10)", "earlier", show=False, priority=True),
        Binding("shift+right", "read(10)", "later", show=False, priority=True),
        Binding("o,O", "outcome", "outcome", key_display="o", id="review.outcome"),
        Binding("l,L,f2", "lines", "correct lines", key_display="l", id="review.lines"),
        Binding("escape", "dismiss", "back", key_display="Esc", id="review.back"),
    ]

    def __init__(self, kit: Kit, cook_id: int) -> None:
        super().__init__()
        self.kit, self.cook_id = kit, cook_id
        self.past: PastCook | None = None
        self._page = "why"

    def compose(self) -> ComposeResult:
        yield Static("", id="title", markup=False)
        yield Static("", id="sentence", markup=False)
        yield Static("", id="pages", markup=False)
        with Container(id="body"):
            with Container(id="pictures"):
                yield Static("What happened", classes="picture-name", markup=False)
                yield FanChart(id="chart")
                yield Static("How the projected finish moved", id="moved", markup=False)
                yield FanChart(id="hindcast")
            with VerticalScroll(id="paper"):
                yield Static("", id="text", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        self.reload()

    def on_screen_resume(self) -> None:
        """Its lines or its outcome may have been changed meanwhile."""
        if self.past is not None:
            self.reload()

    def on_resize(self, event: Resize) -> None:
        width, height = event.size
        self.set_class(width >= STACK_WIDTH and height >= STACK_HEIGHT, "-stack")
        self.set_class(width >= 160, "-broad")
        self.show()

    def reload(self) -> None:
        """Read the cook from the file; ask the model if its lines or its plan have changed."""
        before = self.past
        try:
            past = PastCook.read(self.kit, self.cook_id)
        except StorageError as error:
            self.query_one("#sentence", Static).update(str(error))
            return
        self.past = past
        if before is not None and before.saved.stamp == past.saved.stamp:
            past.found, past.failed = before.found, before.failed
        else:
            past.found = None if before is None else before.found
            ask_look_back(self, past.saved, self.kit)
        self.show()

    @on(LookBackReady)
    def look_back_ready(self, event: LookBackReady) -> None:
        """Show what the model says, if it is of the cook as it stands."""
        if self.past is None or event.stamp != self.past.saved.stamp:
            return
        self.past.found = event.found or self.past.found
        self.past.failed = event.reason
        self.show()

    # painting

    def show(self) -> None:
        """Paint all of it."""
        stacked = self.has_class("-stack")
        for page in PAGES:
            self.set_class(page == self._page and not stacked, f"-{page}")
        self.query_one("#pages", Static).update(self._page_bar())
        past = self.past
        if past is None:
            return
        self.query_one("#title", Static).update(past.title)
        self.query_one("#sentence", Static).update(past.sentence)
        self.query_one("#text", Static).update(paper(past.sections()))
        self.query_one("#chart", FanChart).view = past.chart()
        moved = past.moved()
        self.query_one("#hindcast", FanChart).view = moved
        words = "How the projected finish moved, and the range of 8 in 10"
        if past.found is not None and moved is None:
            words = "Too few readings to show how the forecast moved."
        self.query_one("#moved", Static).update(words)

    def _page_bar(self) -> Text:
        text = Text(no_wrap=True)
        for key, name in PAGES.items():
            on_it = key == self._page
            text.append(f"[{name}]" if on_it else f" {name} ", Style(bold=on_it))
            text.append(" ")
        return text

    # keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action in ("page", "page_named"):
            return not self.has_class("-stack")
        if action == "read":
            return self.has_class("-stack") or self._page != "why"
        return True

    def action_page(self, step: int) -> None:
        """The next page of a small screen."""
        names = list(PAGES)
        self.action_page_named(names[(names.index(self._page) + step) % len(names)])

    def action_page_named(self, name: str) -> None:
        """One page of a small screen."""
        self._page = name
        self.show()
        self.refresh_bindings()

    def action_read(self, columns: int) -> None:
        """Move the reading cursor of both charts together: they share their time."""
        first, second = (self.query_one(name, FanChart) for name in ("#chart", "#hindcast"))
        if self._page == "forecast" and not self.has_class("-stack"):
            first, second = second, first
        first.step_cursor(columns)
        second.cursor_x = first.cursor_x

    def action_outcome(self) -> None:
        """How it turned out."""
        self.app.push_screen(OutcomeScreen(self.kit, self.cook_id))

    def action_lines(self) -> None:
        """Correct its lines on the screen they were typed on; the original stays beside each."""
        if self.past is not None:
            self.app.push_screen(PastCookScreen(self.kit, self.past.saved))


def paper(sections: tuple[Section, ...]) -> Group:
    """The sections as one sheet to scroll through; long words hang under themselves."""
    parts: list[RenderableType] = []
    for section in sections:
        parts.append(Text(section.heading, Style(bold=True)))
        for name, words in section.rows:
            row = Table.grid(padding=(0, 1, 0, 0))
            if name:
                row.add_column(width=NAME_WIDTH)
                row.add_column()
                row.add_row(Text(f" {name}"), Text(words))
            else:
                row.add_row(Text(""), Text(words))
            parts.append(row)
        parts.append(Text(""))
    return Group(*parts[:-1])
