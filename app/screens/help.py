"""The help card: every word of the entry line, the keys, the marks and the cautions."""

from __future__ import annotations

from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Static

from app.line.card import CARD
from app.presenters.views import Mark
from app.widgets.key_footer import KeyFooter
from app.widgets.marks import GLYPHS

KEYS = (
    "F2 correct lines  F3 ledger  F4 new cook  F5 large letters  F6 chart  F7 zoom",
    "F8 palette  F9 pages  F10 later  F12 day  Ctrl+O other cook  Ctrl+P commands",
)
TALL_HEIGHT = 32
LEFT_WIDTH = 26


class HelpScreen(Screen[None]):
    """One card, over whatever was on the screen."""

    CSS_PATH = "help.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,f1,q,enter", "dismiss", "back", key_display="Esc", id="help.back"),
    ]

    def __init__(self, cautions: tuple[str, ...] = ()) -> None:
        super().__init__()
        self._cautions = cautions

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card"):
            yield Static(id="card-text", markup=False)
            yield Static("\n".join(self._cautions), id="cautions", markup=False)
        yield Static(id="keys", markup=False)
        yield KeyFooter()

    def on_resize(self, event: Resize) -> None:
        """One screen if it can be: a low one does without the headings."""
        tall = event.size.height >= TALL_HEIGHT
        self.query_one("#card-text", Static).update(self.card_text(headings=tall))
        self.query_one("#keys", Static).update(self.keys_text())

    def card_text(self, *, headings: bool) -> Text:
        """What stands on the card."""
        return card(headings=headings)

    def keys_text(self) -> str:
        """What stands under it."""
        marks = "   ".join(f"{GLYPHS[mark]} {mark.value}" for mark in Mark)
        return "\n".join([*KEYS, f"Marks: {marks}"])


def card(*, headings: bool) -> Text:
    """The card of the typed line."""
    text = Text()
    for part in CARD:
        if headings:
            text.append(f"{part.heading}\n", Style(bold=True))
        for row in part.rows:
            text.append(f"  {row.typed:<{LEFT_WIDTH}}", Style(bold=True))
            text.append(f"{row.means}\n")
    text.rstrip()
    return text
