"""The help card: every word of the entry line, the keys, the marks and the cautions."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Footer, Static

from app.line.card import card_text
from app.presenters.views import Mark
from app.widgets.marks import GLYPHS

KEYS = (
    "F2 pick a line to correct or delete   F3 past cooks   F4 new cook   F5 large letters",
    "F6 read any time off the chart   F7 zoom   F8 dark or light   Ctrl+P all commands",
)


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
        marks = "   ".join(f"{GLYPHS[mark]} {mark.value}" for mark in Mark)
        keys = "\n".join(KEYS)
        with VerticalScroll(id="card"):
            yield Static(card_text(), id="card-text", markup=False)
            yield Static("\n".join(self._cautions), markup=False)
        yield Static(f"{keys}\nMarks: {marks}", id="marks", markup=False)
        yield Footer(show_command_palette=False, compact=True)
