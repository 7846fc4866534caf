"""What own cooks taught of the pieces of a planned day, in sentences."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from datetime import datetime

from app.learned import Learning, typical
from app.presenters.learning import learned_words
from app.presenters.words import sentence
from core.cook import Cook
from core.day_values import Piece
from core.errors import CoreError
from storage.errors import StorageError

log = logging.getLogger(__name__)


def day_lessons(
    learning: Learning | None, pieces: Iterable[Piece], now: datetime
) -> tuple[str, ...]:
    """One sentence for each cut of which something was learned, by its first piece's plan."""
    if learning is None:
        return ()
    first = {piece.plan.cut: piece for piece in reversed(tuple(pieces))}
    told = []
    try:
        for cut, piece in reversed(first.items()):
            learned = learning.of(cut, now)
            if learned.cook_ids:
                found = typical(Cook(piece.plan, piece.probes), learned)
                told.append(sentence(learned_words(learned, found)))
    except (CoreError, StorageError) as error:
        log.warning("what was learned is not told: %s", error)
    return tuple(words for words in told if words)
