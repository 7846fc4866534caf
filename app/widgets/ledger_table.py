"""The Ledger's table: paints only the rows in view, so thousands cost no more than twenty."""

from __future__ import annotations

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget

from app.presenters.ledger import Column, Heading, Rows

POINTER = "›"
FALLS, RISES = "▼", "▲"


class LedgerHead(Widget):
    """The headings; a click on one sorts by it."""

    DEFAULT_CSS = """
    LedgerHead { height: 1; color: $ink-quiet; }
    """

    heads: reactive[tuple[Heading, ...]] = reactive(())
    sorted_by: reactive[Column] = reactive(Column.DATE)
    falling: reactive[bool] = reactive(True)

    class Asked(Message):
        """The mouse asks for an order."""

        def __init__(self, column: Column) -> None:
            super().__init__()
            self.column = column

    def render_line(self, y: int) -> Strip:
        base = self.rich_style
        segments = [Segment("  ", base)]
        for head in self.heads:
            text = head.text
            if head.column is self.sorted_by:
                arrow = FALLS if self.falling else RISES
                text = f"{text[: max(head.width - 1, 0)]}{arrow}"
                segments.append(
                    Segment(text[: head.width].ljust(head.width), base + Style(bold=True))
                )
            else:
                segments.append(Segment(text[: head.width].ljust(head.width), base))
            segments.append(Segment(" ", base))
        return Strip(segments).adjust_cell_length(self.size.width, base)

    def on_click(self, event: events.Click) -> None:
        x = event.x - 2
        for head in self.heads:
            if 0 <= x <= head.width:
                self.post_message(self.Asked(head.column))
                return
            x -= head.width + 1


class LedgerTable(ScrollView, can_focus=True):
    """Rows of cooks with a cursor; `marks` are the letters of those picked to be compared."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "table--row",
        "table--cursor",
        "table--mark",
        "table--empty",
    }

    DEFAULT_CSS = """
    LedgerTable {
        height: 1fr;
        scrollbar-size-vertical: 1;
        & > .table--row { color: $ink; }
        & > .table--cursor { background: $panel; color: $ink; text-style: bold; }
        & > .table--mark { color: $mark-now; text-style: bold; }
        & > .table--empty { color: $ink-quiet; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("pageup", "page(-1)", "page up", show=False),
        Binding("pagedown", "page(1)", "page down", show=False),
        Binding("home", "ends(0)", "first", show=False),
        Binding("end", "ends(1)", "last", show=False),
    ]

    rows: reactive[Rows | None] = reactive(None, always_update=True)
    cursor: reactive[int] = reactive(0)
    marks: reactive[dict[int, str]] = reactive(dict, always_update=True)
    empty_words: reactive[str] = reactive("")

    class Moved(Message):
        """The cursor is on another row."""

    class Opened(Message):
        """A row was clicked twice."""

    @property
    def picked(self) -> int | None:
        """Id of the cook under the cursor, None without rows."""
        if self.rows is None or not 0 <= self.cursor < len(self.rows):
            return None
        return self.rows[self.cursor].cook_id

    def watch_rows(self, rows: Rows | None) -> None:
        count = 0 if rows is None else len(rows)
        self.virtual_size = Size(0, count)
        self.cursor = min(max(self.cursor, 0), max(count - 1, 0))
        self._keep_in_view()

    def watch_cursor(self) -> None:
        self._keep_in_view()
        self.post_message(self.Moved())

    def watch_marks(self) -> None:
        self.refresh()

    def on_resize(self) -> None:
        self._keep_in_view()

    def action_move(self, rows: int) -> None:
        """Up or down."""
        self._go(self.cursor + rows)

    def action_page(self, pages: int) -> None:
        """A page up or down."""
        self._go(self.cursor + pages * max(self.size.height - 1, 1))

    def action_ends(self, end: int) -> None:
        """To the first or the last row."""
        self._go(end * self.virtual_size.height)

    def _go(self, row: int) -> None:
        self.cursor = min(max(row, 0), max(self.virtual_size.height - 1, 0))

    def _keep_in_view(self) -> None:
        height, top = max(self.size.height, 1), round(self.scroll_y)
        if self.cursor >= top + height:
            top = self.cursor - height + 1
        elif self.cursor < top:
            top = self.cursor
        self.scroll_to(y=top, animate=False, immediate=True)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        width, base = self.scrollable_content_region.width, self.rich_style
        index = y + round(self.scroll_y)
        if self.rows is None or index >= len(self.rows):
            words = self.empty_words if index == 0 else ""
            style = base + self._style("empty")
            return Strip([Segment(f"  {words}"[:width], style)]).adjust_cell_length(width, base)
        row, on = self.rows[index], index == self.cursor
        style = base + self._style("cursor" if on else "row")
        mark = self.marks.get(row.cook_id, "")
        segments = [
            Segment(POINTER if on else " ", style),
            Segment(mark or " ", style + self._style("mark") if mark else style),
            Segment(" ".join(row.cells), style),
        ]
        return Strip(segments).adjust_cell_length(width, style)

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"table--{name}", partial=True)

    def on_click(self, event: events.Click) -> None:
        row = event.y + round(self.scroll_y)
        if row >= self.virtual_size.height:
            return
        if row == self.cursor or event.chain > 1:
            self.cursor = row
            self.post_message(self.Opened())
        else:
            self._go(row)
