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
        actions = {
            found.binding.action: found.binding.id for found in self.screen.active_bindings.values()
        }
        dropped = set(self._too_many(keys, actions))
        yield from (key for key in keys if actions.get(key.action) not in dropped)

    def _too_many(self, keys: list[FooterKey], ids: dict[str, str | None]) -> list[str]:
        """Ids of the keys that have to go, so that the others fit."""
        wide = {
            ids.get(key.action): len(key.key_display) + len(key.description) + 2 for key in keys
        }
        over = sum(wide.values()) - self._composed_at
        gone: list[str] = []
        for name in GIVE_WAY:
            if over <= 0:
                break
            if name in wide:
                over -= wide[name]
                gone.append(name)
        return gone

    def on_resize(self, event: Resize) -> None:
        """Another width has room for other keys."""
        if self.is_mounted and self._composed_at not in (0, self.app.size.width):
            self.call_after_refresh(self.recompose)
