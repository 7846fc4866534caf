"""The cooks of today: those in hand, and the one served a short while ago."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from core.cook import EventKind
from core.hold import leftovers_of

if TYPE_CHECKING:
    from storage.store import Store
    from storage.values import CookSummary, SavedCook

TOLD_FOR = timedelta(hours=6)
"""So long after its end a served cook's leftovers are still told of."""

OPENS_FOR = timedelta(hours=2, minutes=30)
"""So long the screens open on it again: the published two hours and a little more."""


def served_lately(store: Store, now: datetime, within: timedelta = TOLD_FOR) -> SavedCook | None:
    """The cook served last, if that was not long ago; raises StorageError."""
    ended = [
        (cook.ended_at, cook.id)
        for cook in store.cooks()
        if cook.ended_at is not None and timedelta(0) <= now - cook.ended_at <= within
    ]
    if not ended:
        return None
    saved = store.cook(max(ended)[1])
    return saved if saved.cook.first_event(EventKind.SERVED) is not None else None


def leftovers_are_out(store: Store, now: datetime) -> SavedCook | None:
    """The cook whose leftovers are not put away as far as the log says; None for none."""
    saved = served_lately(store, now, OPENS_FOR)
    found = None if saved is None else leftovers_of(saved.cook)
    return saved if found is not None and found.away_s is None else None


def in_hand(store: Store) -> tuple[CookSummary, ...]:
    """All cooks that have not ended, the one begun first in front; raises StorageError."""
    return tuple(
        sorted((cook for cook in store.cooks() if cook.ended_at is None), key=lambda c: c.id)
    )
