"""The top line: the cook's title, the clock, and whether the newest line is in the file."""

from __future__ import annotations

from rich.cells import cell_len
from rich.style import Style
from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

from app.presenters.tend import SaveState, TopView

EMPTY = TopView("", "", "")


class TopLine(Widget):
    """Paints a :class:`TopView` and the saved state in one row."""

    COMPONENT_CLASSES = {  # noqa: RUF012
        "top--title",
        "top--about",
        "top--clock",
        "top--saved",
        "top--trouble",
    }

    DEFAULT_CSS = """
    TopLine {
        height: 1;
        padding: 0 1;
        background: $surface;
        & > .top--title { color: $ink; text-style: bold; }
        & > .top--about { color: $ink-quiet; }
        & > .top--clock { color: $ink; text-style: bold; }
        & > .top--saved { color: $ink-quiet; }
        & > .top--trouble { color: $mark-late; text-style: bold; }
    }
    """

    view: reactive[TopView] = reactive(EMPTY)
    saved: reactive[SaveState] = reactive(SaveState.NONE)
    saved_at: reactive[str] = reactive("")
    """Clock of the newest commit, beside the word."""

    mode: reactive[str] = reactive("")
    """A word for a special state of the screen (demo speed, correcting)."""

    def render(self) -> Text:
        width = self.content_size.width
        left = Text(no_wrap=True)
        left.append(self.view.title, self._style("title"))
        gap = "  " if self.view.title else ""
        right = Text(no_wrap=True)
        if self.mode:
            right.append(f"  {self.mode}", self._style("clock"))
        if self.saved:
            style = "trouble" if self.saved is SaveState.NOT_SAVED else "saved"
            words = f"{self.saved} {self.saved_at if self.saved is SaveState.SAVED else ''}".strip()
            right.append(f"  {words}", self._style(style))
        right.append("  now ", self._style("about"))
        right.append(self.view.clock, self._style("clock"))
        room = width - right.cell_len
        about = self.view.about
        while about and left.cell_len + cell_len(gap + about) > room:
            about = about.rpartition(", ")[0]
        if about:
            left.append(f"{gap}{about}", self._style("about"))
        if left.cell_len > room:
            left.truncate(max(room, 0), overflow="ellipsis")
        left.append(" " * (room - left.cell_len))
        return left + right

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"top--{name}", partial=True)
