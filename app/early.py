"""Whether a cook is to be pulled early, so that the rest carries it up to its target.

A choice of the cook for one piece; kept with the settings, as the exchange form of a cook has no
place for it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from storage.store import Store

EARLY = "early"


def _key(cook_id: int) -> str:
    return f"pull:{cook_id}"


def pulls_early(store: Store, cook_id: int) -> bool:
    """Whether the plan asks for it; raises StorageError."""
    return store.settings.get(_key(cook_id)) == EARLY


def set_pull(store: Store, cook_id: int, *, early: bool) -> None:
    """Ask for it, or go back to pulling at the target; raises StorageError."""
    store.settings.set(_key(cook_id), EARLY if early else None)
