"""What own cooks taught, told in the Ledger, and the key that switches it off."""

from __future__ import annotations

import logging
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.worker import get_current_worker

from app.learned import Learning, typical
from app.presenters.learning import next_words, typical_words
from app.presenters.words import sentence
from app.screens.ledger_base import LedgerListScreen
from app.screens.writer import WriteDone
from core.errors import CoreError
from storage.errors import StorageError
from storage.values import CookSummary

log = logging.getLogger(__name__)

NOTHING = "Nothing was learned of this cut yet: that takes a finished cook of your own."


class Taught(Message):
    """What the cooks of the cut under the cursor taught, in words."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = words


class LedgerLearningScreen(LedgerListScreen):
    """The list, with the lessons of the cut under its cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("l", "learned", "learned", key_display="l", show=False, id="ledger.learned"),
        Binding("L", "learning", "learning on/off", key_display="L", show=False, id="ledger.learn"),
    ]

    def action_learned(self) -> None:
        """Say what own cooks of the cut under the cursor taught."""
        learning, entry = self.kit.learning, self.entry
        if learning is None or entry is None:
            return
        self.run_worker(
            lambda: self._teach(learning, entry.summary),
            name="learned",
            group="learned",
            thread=True,
            exclusive=True,
            exit_on_error=False,
        )

    def _teach(self, learning: Learning, summary: CookSummary) -> None:
        worker = get_current_worker()

        def stop() -> bool:
            return worker.is_cancelled

        try:
            now, invented = self.kit.clock(), summary.invented
            learned = learning.of(summary.cut, now, invented=invented, cancelled=stop)
            cook = self.kit.store.cook(summary.id).cook
            told = typical(cook, learned, cancelled=stop) if learned.cook_ids else None
        except (CoreError, StorageError) as error:
            log.warning("what was learned is not known: %s", error)
            return
        words = sentence(next_words(learned, told)) or NOTHING
        if told is not None:
            more = typical_words(told, cook.plan.mass_kg, self.units)
            words = f"{words} {sentence(more)}"
        if not stop():
            self.post_message(Taught(words))

    @on(Taught)
    def taught(self, event: Taught) -> None:
        """Say it in the place of what the cook under the cursor is."""
        self.say(event.words)

    def action_learning(self) -> None:
        """Switch learning on or off; kept in the data file."""
        learning = self.kit.learning
        if learning is None:
            return

        def turn() -> bool:
            learning.switch(not learning.on)
            return learning.on

        self.kit.writer.submit(self, "learning", turn)

    @on(WriteDone)
    def learning_switched(self, event: WriteDone) -> None:
        """Say how it stands now."""
        if event.kind != "learning":
            return
        words = "Forecasts learn from your own cooks again."
        if event.result is False:
            words = "Learning from your own cooks is off: forecasts go by the book. L turns it on."
        self.say(words)
