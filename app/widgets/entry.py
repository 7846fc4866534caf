"""The entry line: where everything is typed, with the lines typed before on the up key."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input

from app.widgets.suggest import WordSuggester

HISTORY_LENGTH = 200


class Entry(Input):
    """An input that remembers what was typed and takes several pasted lines.

    Parameters
    ----------
    on_enter : callable
        Called with the text when Enter is pressed. Not a message: keys that follow at once must
        find the entry as Enter has left it.
    known : iterable of str
        Words that are completed while they are typed.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "older", "Earlier line", show=False, id="entry.older"),
        Binding("down", "newer", "Later line", show=False, id="entry.newer"),
    ]

    DEFAULT_CSS = """
    Entry {
        height: 1;
        border: none;
        padding: 0 1;
        background: $panel;
        color: $ink;
        &:focus { border: none; background-tint: $panel 0%; }
        &.-asking { background: $mark-soon; color: $background; text-style: bold; }
        &.-wrong { background: $panel; color: $mark-late; text-style: bold; }
    }
    """

    class LinesPasted(Message):
        """Several lines came from the clipboard at once."""

        def __init__(self, lines: tuple[str, ...]) -> None:
            super().__init__()
            self.lines = lines

    def __init__(
        self,
        on_enter: Callable[[str], None],
        *,
        known: Iterable[str] = (),
        id: str | None = None,
    ) -> None:
        super().__init__(id=id, compact=True, suggester=WordSuggester(known))
        self._enter_pressed = on_enter
        self.cursor_blink = False
        self._history: list[str] = []
        self._place: int | None = None
        self._draft = ""

    async def _on_key(self, event: events.Key) -> None:
        # Enter is taken here and not by a binding: a binding runs when the key has bubbled up,
        # and letters typed right after it would be in the entry by then
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self._enter_pressed(self.value)

    def remember(self, text: str) -> None:
        """Keep an accepted line for the up key."""
        if text and (not self._history or self._history[-1] != text):
            self._history.append(text)
            del self._history[:-HISTORY_LENGTH]
        self._place = None

    def take(self, text: str) -> None:
        """Put `text` into the line, with the cursor at its end."""
        self.value = text
        self.cursor_position = len(text)

    def action_older(self) -> None:
        """Show the line typed before."""
        if not self._history:
            return
        if self._place is None:
            self._draft, self._place = self.value, len(self._history)
        self._place = max(self._place - 1, 0)
        self.take(self._history[self._place])

    def action_newer(self) -> None:
        """Show the line typed after, at last the unfinished one."""
        if self._place is None:
            return
        self._place += 1
        if self._place >= len(self._history):
            self._place = None
            self.take(self._draft)
        else:
            self.take(self._history[self._place])

    def _on_paste(self, event: events.Paste) -> None:
        # the input's own handler runs after this one, unless it is prevented
        lines = tuple(line.strip() for line in event.text.splitlines() if line.strip())
        if len(lines) > 1:
            event.prevent_default()
            event.stop()
            self.post_message(self.LinesPasted(lines))
