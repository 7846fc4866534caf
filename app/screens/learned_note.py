"""What own cooks taught, worked out beside the event loop and said in one sentence."""

from __future__ import annotations

import logging

from textual.message import Message
from textual.screen import Screen
from textual.worker import get_current_worker

from app.learned import Learning, typical
from app.presenters.learning import learned_words
from core.cook import Cook
from core.errors import CoreError
from storage.errors import StorageError
from storage.values import NewCook

log = logging.getLogger(__name__)


class LearnedNote(Message):
    """What own cooks say of a cook that is about to begin."""

    def __init__(self, new: NewCook, words: str) -> None:
        super().__init__()
        self.new, self.words = new, words


def ask_learned(screen: Screen[None], learning: Learning, new: NewCook) -> None:
    """Post a :class:`LearnedNote` to `screen`, if own cooks say anything of `new`."""
    screen.run_worker(
        lambda: _work(screen, learning, new),
        name="learned",
        group="learned",
        thread=True,
        exclusive=True,
        exit_on_error=False,
    )


def _work(screen: Screen[None], learning: Learning, new: NewCook) -> None:
    worker = get_current_worker()

    def stop() -> bool:
        return worker.is_cancelled

    try:
        learned = learning.of(new.plan.cut, new.started_at, cancelled=stop)
        if not learned.cook_ids:
            return
        told = typical(Cook(new.plan, new.probes), learned, cancelled=stop)
    except (CoreError, StorageError) as error:
        log.warning("nothing was learned from own cooks: %s", error)
        return
    words = learned_words(learned, told)
    if words and not stop():
        screen.post_message(LearnedNote(new, words))
