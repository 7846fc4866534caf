"""The log of lines: newest at the bottom, one can be picked to correct or to delete it."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from app.presenters.tend import LineState, LineView

CORRECT = " correct "
DELETE = " delete "
RESTORE = " bring back "


class LogLines(ScrollView, can_focus=False):
    """Paints :class:`LineView` rows and posts what the mouse asks for."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "log--clock",
        "log--words",
        "log--note",
        "log--deleted",
        "log--waiting",
        "log--picked",
        "log--button",
        "log--empty",
    }

    DEFAULT_CSS = """
    LogLines {
        padding: 0 1;
        scrollbar-size-vertical: 1;
        & > .log--clock { color: $ink-quiet; }
        & > .log--words { color: $ink; }
        & > .log--note { color: $ink-quiet; text-style: italic; }
        & > .log--deleted { color: $ink-quiet; text-style: strike; }
        & > .log--waiting { color: $ink-quiet; }
        & > .log--picked { background: $panel; text-style: bold; }
        & > .log--button { background: $ink-rule; color: $ink; }
        & > .log--empty { color: $ink-quiet; }
    }
    """

    lines: reactive[tuple[LineView, ...]] = reactive(())
    picked: reactive[int | None] = reactive(None)
    """Index of the line that keys and buttons act on; None while nothing is picked."""

    _clock_width = 0

    empty_words: reactive[str] = reactive("")

    class Asked(Message):
        """The mouse asks for something: ``pick``, ``fix`` or ``drop`` the line at `index`."""

        def __init__(self, what: str, index: int) -> None:
            super().__init__()
            self.what, self.index = what, index

    @property
    def picked_line(self) -> LineView | None:
        """The line that is picked, if any."""
        if self.picked is None or self.picked >= len(self.lines):
            return None
        return self.lines[self.picked]

    def step(self, rows: int) -> None:
        """Move the pick, or begin with the newest line."""
        if not self.lines:
            return
        start = len(self.lines) - 1 if self.picked is None else self.picked + rows
        self.picked = min(max(start, 0), len(self.lines) - 1)

    def watch_lines(self, lines: tuple[LineView, ...]) -> None:
        self.virtual_size = Size(0, len(lines))
        self._clock_width = max((len(line.clock) for line in lines), default=0)
        if self.picked is not None and self.picked >= len(lines):
            self.picked = len(lines) - 1 if lines else None
        self._show()

    def watch_picked(self) -> None:
        self._show()

    def watch_empty_words(self) -> None:
        self.refresh()

    def on_resize(self) -> None:
        self._show()

    def _show(self) -> None:
        """Keep the picked line in view, else the newest one."""
        height = max(self.scrollable_content_region.height, 1)
        row = len(self.lines) - 1 if self.picked is None else self.picked
        top = round(self.scroll_y)
        if self.picked is None or row >= top + height:
            top = max(row - height + 1, 0)
        elif row < top:
            top = row
        self.scroll_to(y=top, animate=False, immediate=True)
        self.refresh()

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"log--{name}", partial=True)

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        index = y + round(self.scroll_y)
        base = self.rich_style
        if index >= len(self.lines):
            if index == 0 and self.empty_words:
                words = self.empty_words[:width]
                return self._strip([Segment(words, base + self._style("empty"))], width, base)
            return Strip.blank(width, base)
        line = self.lines[index]
        if index == self.picked:
            base = base + self._style("picked")
        words = {LineState.DELETED: "deleted", LineState.WAITING: "waiting"}.get(
            line.state, "words"
        )
        number = "" if line.number is None else f"#{line.number}"
        segments = [
            Segment(
                f"{number:>4} {line.clock:>{self._clock_width}}  ", base + self._style("clock")
            ),
            Segment(line.words, base + self._style(words)),
        ]
        state = "" if line.state is LineState.LIVE else line.state.value
        note = "; ".join(part for part in (state, line.note) if part)
        if note:
            segments.append(Segment(f"  {note}", base + self._style("note")))
        if index != self.picked:
            return self._strip(segments, width, base)
        buttons = self._buttons(line)
        room = max(width - sum(len(label) + 1 for label, _ in buttons), 0)
        strip = self._strip(segments, room, base)
        ends: list[Segment] = []
        for label, _ in buttons:
            ends += [Segment(" ", base), Segment(label, base + self._style("button"))]
        return Strip([*strip, *ends]).crop(0, width)

    @staticmethod
    def _strip(segments: list[Segment], width: int, base: Style) -> Strip:
        strip = Strip(segments)
        if strip.cell_length > width > 1:
            strip = Strip([*strip.crop(0, width - 1), Segment("…", base)])
        return strip.adjust_cell_length(width, base)

    @staticmethod
    def _buttons(line: LineView) -> list[tuple[str, str]]:
        if line.line_id is None:
            return []
        if line.state is LineState.DELETED:
            return [(RESTORE, "drop")]
        return [(CORRECT, "fix"), (DELETE, "drop")]

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        index = offset.y + round(self.scroll_y)
        if not 0 <= index < len(self.lines):
            return
        what = "pick"
        if index == self.picked:
            right = self.scrollable_content_region.width
            for label, action in reversed(self._buttons(self.lines[index])):
                if right - len(label) <= offset.x < right:
                    what = action
                right -= len(label) + 1
        self.post_message(self.Asked(what, index))
