"""What every screen on one saved day does: follow the file and the clock, and lay the day out."""

from __future__ import annotations

import logging
from functools import partial

from textual import on
from textual.message import Message
from textual.screen import Screen

from app.day_book import ForecastAt, OpenDay, Planner, learned_forecast, open_day
from app.day_lessons import day_lessons
from app.display import Display
from app.screens.beat import Heartbeat
from app.screens.kit import Kit
from core.answers import Forecast
from core.cook import Cook
from core.day_values import Dayline
from core.errors import CoreError
from storage.errors import StorageError

log = logging.getLogger(__name__)


class Planned(Message):
    """A day is laid out; `failed` says why it could not be."""

    def __init__(
        self,
        revision: int,
        opened: OpenDay | None,
        day: Dayline | None,
        failed: str = "",
        lessons: tuple[str, ...] = (),
    ) -> None:
        super().__init__()
        self.revision, self.opened, self.day, self.failed = revision, opened, day, failed
        self.lessons = lessons


def day_forecast(kit: Kit) -> ForecastAt:
    """The forecast that days are laid out with: the kit's, on what own cooks have taught."""
    if kit.learning is not None:
        return learned_forecast(kit.learning, kit.clock)

    def forecast_at(cook: Cook, now_s: float) -> Forecast:
        return kit.forecast(cook, now_s, cancelled=lambda: False)

    return forecast_at


class DayScreen(Screen[None]):
    """Keeps one day laid out. A subclass paints it in `show`.

    Parameters
    ----------
    kit : Kit
    day_id : int
    """

    def __init__(self, kit: Kit, day_id: int) -> None:
        super().__init__()
        self.kit, self.day_id = kit, day_id
        self.opened: OpenDay | None = None
        self.day: Dayline | None = None
        self.lessons: tuple[str, ...] = ()
        self.heartbeat = Heartbeat(kit.store.change_token, watch_sleep=False)
        self._planner = Planner(day_forecast(kit))
        self._revision = 0

    def on_mount(self) -> None:
        self.heartbeat.look(self.kit.clock())
        self.plan()
        self.set_interval(self.kit.beat_s, self.beat)

    def on_screen_resume(self) -> None:
        """Something else was on the screen meanwhile: the day may have changed."""
        if self.is_mounted and self.day is not None:
            self.plan()

    def show(self) -> None:
        """Paint the day."""
        raise NotImplementedError

    def show_failure(self, reason: str) -> None:
        """Say why the day could not be laid out; what was shown stays."""
        raise NotImplementedError

    @property
    def units(self) -> Display:
        """The units of the day in the zone of the screen."""
        assert self.opened is not None  # noqa: S101  asked for after the first plan only
        return self.opened.display(self.kit.zone)

    def beat(self) -> None:
        """Follow the clock and the file."""
        found = self.heartbeat.look(self.kit.clock())
        if found.file_changed or found.new_minute:
            self.plan()

    # laying out

    def plan(self) -> None:
        """Lay the day out anew, beside the event loop."""
        self._revision += 1
        self.run_worker(partial(self._plan, self._revision), group="plan", thread=True,
                        exclusive=True, exit_on_error=False)  # fmt: skip

    def _plan(self, revision: int) -> None:
        now = self.kit.clock()
        try:
            saved = self.kit.store.days.get(self.day_id)
            opened = open_day(self.kit.store, saved, now, self.kit.zone)
            day = self._planner.plan(opened)
            lessons = day_lessons(self.kit.learning, day.wish.pieces, now)
        except (CoreError, StorageError) as error:
            log.warning("the day was not laid out: %s", error)
            self.post_message(Planned(revision, None, None, str(error)))
        except Exception as error:
            log.exception("the day was not laid out")
            words = f"{type(error).__name__}: {error}"
            self.post_message(Planned(revision, None, None, words))
        else:
            self.post_message(Planned(revision, opened, day, lessons=lessons))

    @on(Planned)
    def planned(self, event: Planned) -> None:
        """Show the newest plan, or keep the last one and say why it is old."""
        if event.revision != self._revision:
            return
        if event.day is None or event.opened is None:
            self.show_failure(event.failed)
            return
        self.opened, self.day, self.lessons = event.opened, event.day, event.lessons
        self.show()
