"""Up to four past cooks side by side: one chart, and which difference made how many minutes."""

from __future__ import annotations

import logging
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, VerticalScroll
from textual.events import Resize
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static
from textual.worker import get_current_worker

from app.compare import compare_cooks
from app.display import Display
from app.presenters.compare import (
    Compared,
    Table,
    differences,
    legend,
    minutes,
    sentences,
    table_text,
)
from app.presenters.compare_chart import align_words, alignments, present_overlay
from app.screens.kit import Kit
from app.widgets.chart import FanChart
from app.widgets.key_footer import KeyFooter
from core.errors import ForecastCancelled
from core.units import MassUnit, TemperatureUnit
from storage.errors import StorageError

log = logging.getLogger(__name__)

STACK_WIDTH, STACK_HEIGHT = 150, 32
TALL_HEIGHT = 36
PAGES = {"why": "1 why", "chart": "2 chart"}


class Ready(Message):
    """The cooks are compared; or they could not be, and why."""

    def __init__(self, cooks: tuple[Compared, ...], reason: str = "") -> None:
        super().__init__()
        self.cooks, self.reason = cooks, reason


class CompareScreen(Screen[None]):
    """Cooks side by side; the first one is what the others are measured against."""

    CSS_PATH = "compare.tcss"
    AUTO_FOCUS = "#paper"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "page", "next page", id="compare.page", priority=True),
        Binding("1", "page_named('why')", show=False),
        Binding("2", "page_named('chart')", show=False),
        Binding("a,A", "align", "align", key_display="a", id="compare.align"),
        Binding("left", "read(-1)", "read chart", key_display="←→", priority=True),
        Binding("right", "read(1)", "later", show=False, priority=True),
        Binding("shift+left", "read(-10)", "earlier", show=False, priority=True),
        Binding("shift+right", "read(10)", "later", show=False, priority=True),
        Binding("escape", "dismiss", "back", key_display="Esc", id="compare.back"),
    ]

    def __init__(
        self, kit: Kit, cook_ids: tuple[int, ...], unit: TemperatureUnit, mass_unit: MassUnit
    ) -> None:
        super().__init__()
        self.kit, self.cook_ids = kit, cook_ids
        self.units = Display(unit, mass_unit, kit.zone)
        self.cooks: tuple[Compared, ...] = ()
        self._align = 0
        self._page = "why"

    def compose(self) -> ComposeResult:
        yield Static("Cooks side by side", id="title", markup=False)
        yield Static("Comparing ...", id="legend", markup=False)
        yield Static("", id="pages", markup=False)
        with Container(id="body"):
            with Container(id="pictures"):
                yield Static("", id="aligned", markup=False)
                yield FanChart(id="chart")
            with VerticalScroll(id="paper"):
                yield Static("", id="text", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        self.run_worker(
            self._work, name="compare", group="compare", thread=True, exclusive=True,
            exit_on_error=False,
        )  # fmt: skip

    def on_resize(self, event: Resize) -> None:
        width, height = event.size
        beside = width >= STACK_WIDTH and height >= STACK_HEIGHT
        self.set_class(beside, "-beside")
        self.set_class(height >= TALL_HEIGHT and not beside, "-over")
        self.show()

    def _work(self) -> None:
        worker = get_current_worker()
        try:
            saved = [self.kit.store.cook(cook_id) for cook_id in self.cook_ids]
            cooks = compare_cooks(saved, lambda: worker.is_cancelled)
        except ForecastCancelled:
            return
        except StorageError as error:
            self.post_message(Ready((), str(error)))
        except Exception as error:
            log.exception("comparing cooks %s", self.cook_ids)
            self.post_message(Ready((), f"{type(error).__name__}: {error}"))
        else:
            self.post_message(Ready(cooks))

    @on(Ready)
    def ready(self, event: Ready) -> None:
        """Show them."""
        self.cooks = event.cooks
        if event.reason:
            self.query_one("#legend", Static).update(f"Cannot compare: {event.reason}.")
            return
        self.show()

    @property
    def _whole(self) -> bool:
        """Whether there is room for everything at once."""
        return self.has_class("-beside") or self.has_class("-over")

    def show(self) -> None:
        """Paint all of it."""
        for page in PAGES:
            self.set_class(page == self._page and not self._whole, f"-{page}")
        self.query_one("#pages", Static).update(self._page_bar())
        if not self.cooks:
            return
        self.query_one("#legend", Static).update("\n".join(legend(self.cooks, self.units)))
        at_c = alignments(self.units)[self._align]
        self.query_one("#aligned", Static).update(f"Meat and pit, {align_words(at_c, self.units)}")
        self.query_one("#chart", FanChart).view = present_overlay(self.cooks, at_c, self.units)
        self.call_after_refresh(self._show_paper)

    def _show_paper(self) -> None:
        """The tables in the width that they have got."""
        width = self.query_one("#paper").content_size.width - 1
        if not self.cooks or width < 20:
            return
        text = Text()
        for words in sentences(self.cooks):
            text.append(f"{words}\n")
        tables: list[Table] = [differences(self.cooks, self.units)]
        if any(one.difference is not None for one in self.cooks):
            tables.insert(0, minutes(self.cooks))
        for table in tables:
            heading, *lines = table_text(table, width)
            text.append(f"\n{heading}\n", Style(bold=True))
            text.append("\n".join(lines) + "\n")
        text.append("\nIn brackets: 8 of 10, given what the readings leave open.")
        self.query_one("#text", Static).update(text)

    def _page_bar(self) -> Text:
        text = Text(no_wrap=True)
        for key, name in PAGES.items():
            on_it = key == self._page
            text.append(f"[{name}]" if on_it else f" {name} ", Style(bold=on_it))
            text.append(" ")
        return text

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        if action in ("page", "page_named"):
            return not self._whole
        if action in ("read", "align"):
            return self._whole or self._page == "chart"
        return True

    def action_page(self) -> None:
        """The other page of a small screen."""
        self.action_page_named("chart" if self._page == "why" else "why")

    def action_page_named(self, name: str) -> None:
        """One page of a small screen."""
        self._page = name
        self.show()
        self.refresh_bindings()

    def action_align(self) -> None:
        """Align at meat-on, or where the core passed a temperature."""
        self._align = (self._align + 1) % len(alignments(self.units))
        self.query_one("#chart", FanChart).cursor_x = None
        self.show()

    def action_read(self, columns: int) -> None:
        """Move the reading cursor of the chart."""
        self.query_one("#chart", FanChart).step_cursor(columns)
