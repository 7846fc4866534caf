"""The keys at the bottom: on a narrow terminal some that the help names give way to the others."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.events import Resize
from textual.widgets import Footer
from textual.widgets._footer import FooterKey

GIVE_WAY = (
    "app.palette",
    "app.dayline",
    "app.new",
    "app.ledger",
    "ledger.bins",
    "ledger.cut",
    "ledger.sort",
)
"""Ids of the bindings that go first, in this order; the help cards and Ctrl+P name them all."""


class KeyFooter(Footer):
    """A compact footer in which no key is cut in two."""

    def __init__(self) -> None:
        super().__init__(show_command_palette=False, compact=True)
        self._composed_at = 0

    def compose(self) -> ComposeResult:
        keys = [key for key in super().compose() if isinstance(key, FooterKey)]
        self._composed_at = self.app.size.width
        ids = {
            found.binding.action: found.binding.id for found in self.screen.active_bindings.values()
        }
        for name in GIVE_WAY:
            if _width(keys) > self._composed_at:
                keys = [key for key in keys if ids.get(key.action) != name]
        while _width(keys) > self._composed_at:
            keys.pop()
        yield from keys

    def on_resize(self, event: Resize) -> None:
        """Another width has room for other keys."""
        if self.is_mounted and self._composed_at not in (0, self.app.size.width):
            self.call_after_refresh(self.recompose)


def _width(keys: list[FooterKey]) -> int:
    """Columns that the keys take, a blank between two."""
    return sum(len(key.key_display) + len(key.description) + 2 for key in keys) - 1
