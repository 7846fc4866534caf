"""A page beside the answers: paints a :class:`PageView` and scrolls when it is long."""

from __future__ import annotations

from rich.style import Style
from rich.text import Text
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.reactive import reactive
from textual.widgets import Static

from app.presenters.pages import PageLine, PageView, lay_out
from app.presenters.views import Mark
from app.widgets.marks import GLYPHS

LOUD = (Mark.SOON, Mark.NOW, Mark.LATE)
GUTTER = 2


class Sheet(VerticalScroll, can_focus=False):
    """One page in the room of the chart and the log."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "sheet--title",
        "sheet--head",
        "sheet--text",
        "sheet--quiet",
        *(f"sheet--{mark.value}" for mark in LOUD),
    }

    DEFAULT_CSS = """
    Sheet {
        padding: 0 1;
        scrollbar-size-vertical: 1;
        scrollbar-gutter: stable;
        & > .sheet--title { color: $ink; text-style: bold; }
        & > .sheet--head { color: $ink; text-style: bold; }
        & > .sheet--text { color: $ink; }
        & > .sheet--quiet { color: $ink-quiet; }
        & > .sheet--soon { color: $mark-soon; text-style: bold; }
        & > .sheet--now { color: $mark-now; text-style: bold; }
        & > .sheet--late { color: $mark-late; text-style: bold; }
        & > #sheet-text { width: 100%; height: auto; }
    }
    """

    view: reactive[PageView | None] = reactive(None)

    def compose(self) -> ComposeResult:
        yield Static(id="sheet-text", markup=False)

    def watch_view(self, old: PageView | None, new: PageView | None) -> None:
        if old is None or new is None or old.title != new.title:
            self.scroll_home(animate=False)
        self._paint()

    def on_resize(self) -> None:
        self._paint()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        # the styles of the parts are the old ones still
        self.call_after_refresh(self._paint)

    def _paint(self) -> None:
        if not self.is_mounted or self.view is None:
            return
        width = self.scrollable_content_region.width - GUTTER
        rows = [self._line(line) for line in lay_out(self.view, width)]
        self.query_one("#sheet-text", Static).update(Text("\n").join(rows))

    def _line(self, line: PageLine) -> Text:
        loud = line.mark if line.mark in LOUD else None
        style = self._style(line.tone.value if loud is None else loud.value)
        glyph = " " if loud is None or not line.first else GLYPHS[loud]
        return Text(f"{glyph} {line.text}", style, no_wrap=True)

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"sheet--{name}", partial=True)
