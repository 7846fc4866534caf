"""How a cook turned out: four scores from one to five, and what was said at the table."""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widgets import Input, Static

from app.presenters.review import SCORE_NAMES, SCORED
from app.screens.kit import Kit
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.choice import Choice
from app.widgets.form_row import FormRow
from app.widgets.key_footer import KeyFooter
from storage.errors import StorageError
from storage.values import Outcome

NO_SCORE = "-"
SCORES = (NO_SCORE, "1", "2", "3", "4", "5")
TEXTS = {"words": "In words", "change": "Next time", "wood": "Wood"}
HINTS = {
    "words": "what was said at the table",
    "change": "what you would change",
    "wood": "what the smoke was from",
}


class OutcomeScreen(Screen[None]):
    """A small form over the look back. It is saved as a whole."""

    CSS_PATH = "outcome.tcss"
    AUTO_FOCUS = "Choice"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f10,ctrl+s", "save", "save", id="outcome.save", priority=True),
        Binding("enter,down", "app.focus_next", "next", show=False, priority=True),
        Binding("up", "app.focus_previous", "before", show=False, priority=True),
        Binding("escape", "dismiss", "back, not saved", key_display="Esc", id="outcome.back"),
    ]

    def __init__(self, kit: Kit, cook_id: int) -> None:
        super().__init__()
        self.kit, self.cook_id = kit, cook_id

    def compose(self) -> ComposeResult:
        outcome = self._kept()
        yield Static("How did it turn out? 1 is poor, 5 as good as can be.", id="heading")
        for name in SCORED:
            value = getattr(outcome, name)
            picked = NO_SCORE if value is None else str(value)
            label = SCORE_NAMES[name].capitalize()
            yield FormRow(label, Choice(SCORES, picked, id=name), id=f"row-{name}")
        for name, label in TEXTS.items():
            field = Input(getattr(outcome, name), id=name, compact=True)
            yield FormRow(label, field, id=f"row-{name}")
        yield Static("F10 saves. Left and right keys change a score.", id="say", markup=False)
        yield KeyFooter()

    def on_mount(self) -> None:
        for field in self.query(Input):
            field.cursor_blink = False
        for name, hint in HINTS.items():
            self.query_one(f"#row-{name}", FormRow).hint = hint

    def _kept(self) -> Outcome:
        try:
            return self.kit.store.outcomes.of(self.cook_id) or Outcome()
        except StorageError:
            # saving will say what is wrong
            return Outcome()

    def _score(self, name: str) -> int | None:
        value = self.query_one(f"#{name}", Choice).value
        return None if value == NO_SCORE else int(value)

    def _text(self, name: str) -> str:
        return self.query_one(f"#{name}", Input).value.strip()

    def _typed(self) -> Outcome:
        return Outcome(
            tender=self._score("tender"), juicy=self._score("juicy"),
            skin=self._score("skin"), smoke=self._score("smoke"),
            words=self._text("words"), change=self._text("change"), wood=self._text("wood"),
        )  # fmt: skip

    def action_save(self) -> None:
        """Put it into the file, then go back."""
        self.query_one("#say", Static).update("Saving ...")
        save = partial(self.kit.store.outcomes.save, self.cook_id, self._typed())
        self.kit.writer.submit(self, "outcome", save)

    @on(WriteDone)
    def saved(self) -> None:
        """It is in the file."""
        self.app.notify("Saved how it turned out.", markup=False)
        self.dismiss()

    @on(WriteFailed)
    def not_saved(self, event: WriteFailed) -> None:
        """Nothing was saved; what was typed stays."""
        self.query_one("#say", Static).update(f"Not saved: {event.reason}")
