"""Works out the figures of past cooks beside the event loop, one after the other."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from functools import partial

from textual.message import Message
from textual.screen import Screen
from textual.worker import get_current_worker

from app.ledger import KIND, Kept, encode, work_out
from app.screens.kit import Kit
from core.errors import ForecastCancelled
from storage.errors import StorageError
from storage.values import SavedCook

log = logging.getLogger(__name__)

WorkOut = Callable[[SavedCook, Callable[[], bool]], Kept]


class FiguresReady(Message):
    """The figures of one cook, and the stamp that they hold for."""

    def __init__(self, cook_id: int, stamp: str, kept: Kept) -> None:
        super().__init__()
        self.cook_id, self.stamp, self.kept = cook_id, stamp, kept


class FigureWorker:
    """Runs in a thread of one screen; the screen hears :class:`FiguresReady` cook by cook."""

    def __init__(self, screen: Screen[None], kit: Kit, function: WorkOut | None = None) -> None:
        self._screen, self._kit = screen, kit
        self._function = function or partial(work_out, learning=kit.learning)

    def ask(self, cook_ids: Iterable[int]) -> None:
        """Work these out, in this order; what was asked before is given up."""
        self._screen.run_worker(
            partial(self._work, tuple(cook_ids)),
            name="figures",
            group="figures",
            thread=True,
            exclusive=True,
            exit_on_error=False,
        )

    def keep(self, ready: FiguresReady) -> None:
        """Put figures beside their cook in the file."""
        put = self._kit.store.derived.put
        job = partial(put, ready.cook_id, KIND, ready.stamp, encode(ready.kept))
        self._kit.writer.submit(self._screen, "figures", job)

    def _work(self, cook_ids: tuple[int, ...]) -> None:
        worker = get_current_worker()
        for cook_id in cook_ids:
            if worker.is_cancelled:
                return
            try:
                saved = self._kit.store.cook(cook_id)
            except StorageError as error:
                log.warning("cook %d has no figures: %s", cook_id, error)
                continue
            kept = self._figures(saved, lambda: worker.is_cancelled)
            if kept is not None and not worker.is_cancelled:
                self._screen.post_message(FiguresReady(cook_id, saved.stamp, kept))

    def _figures(self, saved: SavedCook, cancelled: Callable[[], bool]) -> Kept | None:
        """The figures; what went wrong if the program failed; None if it was told to stop."""
        try:
            return self._function(saved, cancelled)
        except ForecastCancelled:
            return None
        except Exception as error:
            log.exception("figures of cook %d", saved.id)
            return Kept(failed=f"{type(error).__name__}: {error}")
