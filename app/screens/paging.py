"""The pages beside the answers: which one is open, and the levers worked out beside the loop."""

from __future__ import annotations

import logging
from datetime import datetime
from typing import TYPE_CHECKING

from textual.message import Message
from textual.screen import Screen
from textual.worker import get_current_worker

from app.presenters.pages import PageName, PageView
from core.errors import CoreError, ForecastCancelled
from storage.errors import StorageError
from storage.limits import ELAPSED_S

if TYPE_CHECKING:
    from collections.abc import Callable

    from app.presenters.moment import Moment
    from app.screens.kit import Kit
    from app.screens.live import LiveCook
    from core.levers import Levers
    from core.prior import Prior
    from storage.values import SavedCook

log = logging.getLogger(__name__)


class LeversDone(Message):
    """The table of levers, or the reason why there is none. `number` is that of its request."""

    def __init__(self, number: int, levers: Levers | None, reason: str = "") -> None:
        super().__init__()
        self.number, self.levers, self.reason = number, levers, reason


class Paging:
    """Which page one screen shows. Levers are asked for after a forecast, while they are shown.

    A thread cannot be stopped: an answer to an older request is dropped.
    """

    def __init__(self, screen: Screen[None], kit: Kit, live: LiveCook) -> None:
        self._screen, self._kit, self._live = screen, kit, live
        self.name: PageName | None = None
        self._number = 0
        self._levers: Levers | None = None
        self._reason = ""

    def turn(self, wanted: str = "") -> None:
        """Open a page; the one that is open closes; without a name the next one follows."""
        names: list[PageName | None] = [None, *PageName]
        if not wanted:
            self.name = names[(names.index(self.name) + 1) % len(names)]
        else:
            self.name = None if self.name is PageName(wanted) else PageName(wanted)
        self._number += 1
        if self.name is PageName.LEVERS:
            self._levers, self._reason = None, ""
            self.ask()

    def ask(self) -> None:
        """Work the levers out from the newest snapshot, if they are shown and there can be any."""
        saved = self._live.saved
        if self.name is not PageName.LEVERS or saved.ended_at is not None:
            return
        if saved.cook.plan.serve_s is None or not saved.cook.probes:
            return
        self._number += 1
        number = self._number
        now_s = min(self._live.elapsed_s(self._kit.clock()), ELAPSED_S[1])
        self._screen.run_worker(
            lambda: self._work(number, saved, now_s),
            name=f"levers {number}",
            group="levers",
            thread=True,
            exclusive=True,
            exit_on_error=False,
        )

    def take(self, event: LeversDone) -> bool:
        """Keep an answer to the newest request; whether it was one."""
        if event.number != self._number:
            return False
        self._levers, self._reason = event.levers, event.reason
        return True

    def view(self, now: datetime) -> PageView | None:
        """The open page at `now`."""
        # here, so that the first paint need not wait for the tables
        from app.presenters.fire_page import present_fire_page
        from app.presenters.lever_page import present_levers
        from app.presenters.table_page import present_tables

        moment: Moment = self._live.moment(now)
        match self.name:
            case PageName.FIRE:
                return present_fire_page(moment)
            case PageName.LEVERS:
                return present_levers(moment, self._levers, reason=self._reason)
            case PageName.TABLES:
                return present_tables(moment)
            case _:
                return None

    def _work(self, number: int, saved: SavedCook, now_s: float) -> None:
        from core.levers import levers

        worker = get_current_worker()

        def stop() -> bool:
            return worker.is_cancelled or number != self._number

        try:
            found = levers(saved.cook, now_s, prior=self._prior(saved, stop), cancelled=stop)
        except ForecastCancelled:
            return
        except CoreError as error:
            self._screen.post_message(LeversDone(number, None, f"no levers: {error}"))
        except Exception as error:
            log.exception("levers %d failed", number)
            reason = f"no levers: {type(error).__name__}"
            self._screen.post_message(LeversDone(number, None, reason))
        else:
            self._screen.post_message(LeversDone(number, found))

    def _prior(self, saved: SavedCook, stop: Callable[[], bool]) -> Prior | None:
        """What own cooks taught, as the forecast has it; the book's if that cannot be asked."""
        if self._kit.learning is None:
            return None
        try:
            return self._kit.learning.for_cook(saved, cancelled=stop).prior
        except StorageError as error:
            log.warning("nothing was learned from own cooks: %s", error)
            return None
