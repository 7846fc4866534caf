"""What every screen on one live cook does: follow the file, forecast, and save in order."""

from __future__ import annotations

from functools import partial

from textual import on
from textual.message import Message
from textual.screen import Screen

from app.desk import Outcome
from app.early import pulls_early
from app.presenters.alerts import ABOUT, SNOOZE_MIN, AlertBook, AlertKind
from app.presenters.tend import Notice
from app.presenters.views import AnswersView, Mark
from app.screens.beat import Heartbeat
from app.screens.forecaster import Forecaster, ForecastFailed, ForecastReady
from app.screens.kit import Kit
from app.screens.live import LiveCook
from app.screens.paging import LeversDone, Paging
from app.screens.words import action_of
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.entry_box import EntryBox
from app.widgets.top import TopLine
from storage.errors import StorageError
from storage.limits import ELAPSED_S
from storage.values import SavedCook

SLEPT = "Nothing ran for"


class CookScreen(Screen[None]):
    """Keeps a :class:`LiveCook` up to date. A subclass paints it in `show`.

    Parameters
    ----------
    kit : Kit
    saved : SavedCook
        The snapshot to begin with.
    notices : tuple of Notice
        What to say at the start.
    """

    class ChoicesChanged(Message):
        """A kind of alert was switched on or off, or all were put off."""

    def __init__(self, kit: Kit, saved: SavedCook, *, notices: tuple[Notice, ...] = ()) -> None:
        super().__init__()
        self.kit = kit
        self.live = LiveCook(saved, kit.zone, kit.slow_s)
        self.live.early = pulls_early(kit.store, saved.id)
        self.desk = kit.desk(saved.id)
        # reads along while the other one may be waiting for the disk
        self.reader = kit.desk(saved.id)
        self.pages = Paging(self, kit, self.live)
        self.alerts = notices
        self.alert_book = AlertBook(kit.alerts)
        self.standing: tuple[Notice, ...] = ()
        self.forecaster = Forecaster(self, kit.forecast_of(lambda: self.live.saved))
        self.heartbeat = Heartbeat(kit.store.change_token, watch_sleep=kit.watch_sleep)
        self._sent: dict[int, str] = {}

    def on_mount(self) -> None:
        self.show()
        self.ask_forecast()
        self.heartbeat.look(self.kit.clock())
        self.set_interval(self.kit.beat_s, self.beat)

    def show(self) -> None:
        """Paint everything from the snapshot, the forecast and the clock."""
        raise NotImplementedError

    def show_clock(self) -> None:
        """Paint the clock alone: a forecast is on its way and will paint the rest."""
        self.query_one(TopLine).view = self.live.top(self.kit.clock())

    def say_outcome(self, text: str, outcome: Outcome) -> None:
        """Say what became of a line that reached the desk."""
        raise NotImplementedError

    def not_saved(self, text: str, reason: str) -> None:
        """Give back a line that is not in the file."""
        raise NotImplementedError

    @on(EntryBox.WordEntered)
    async def word_entered(self, event: EntryBox.WordEntered) -> None:
        """Open what a typed word names."""
        await self.run_action(action_of(event.word))

    def take_alerts(self, answers: AnswersView) -> None:
        """Add what calls for the cook, and ring once for it."""
        if not self.live.saved.lines:
            return
        now = self.kit.clock()
        fresh = self.alert_book.take(self.live.calls(answers, now), now)
        if fresh:
            kinds = {notice.kind for notice in fresh}
            self.alerts = (*fresh, *(old for old in self.alerts if old.kind not in kinds))
            if self.kit.rings:
                self.app.bell()

    def action_snooze(self, minutes: float = SNOOZE_MIN) -> None:
        """Put the alerts off; those that still hold then call again."""
        until = self.alert_book.snooze(self.kit.clock(), minutes * 60.0)
        self.alerts = tuple(old for old in self.alerts if not old.kind)
        self.post_message(self.ChoicesChanged())
        self.show()
        self.app.notify(f"Alerts are quiet until {self.live.display.clock(until)}.", markup=False)

    def action_alert_kind(self, name: str, setting: str = "") -> None:
        """Switch one kind of alert on or off, or over; kept for the next time."""
        kind = AlertKind(name)
        on = self.kit.alerts.switch(kind, on=None if not setting else setting == "on")
        if not on:
            self.alerts = tuple(old for old in self.alerts if old.kind != kind.value)
        self.post_message(self.ChoicesChanged())
        self.show()
        self.app.notify(f"Alert {name} is {'on' if on else 'off'}: {ABOUT[kind]}.", markup=False)

    def alert(self, notice: Notice) -> None:
        """Say something until it is acknowledged or answered by a line."""
        if notice not in self.alerts:
            self.alerts = (notice, *self.alerts)
            self.show()

    def beat(self) -> None:
        """Once a second: has the minute, the file or the world changed?"""
        now = self.kit.clock()
        try:
            beat = self.heartbeat.look(now)
        except StorageError as error:
            self.alert(Notice(str(error), Mark.LATE))
            return
        if beat.asleep_s and self.live.saved.ended_at is None:
            away = self.live.display.span(beat.asleep_s)
            self.alerts = tuple(old for old in self.alerts if not old.text.startswith(SLEPT))
            words = f"{SLEPT} {away}, or the clock was put forward. Read the thermometers."
            self.alert(Notice(words, Mark.NOW, stays=True))
        if beat.file_changed:
            self.kit.writer.submit(self, "reload", lambda: (None, self.desk.known()))
        if beat.forecast_due and not self.forecaster.running and self.live.saved.ended_at is None:
            self.show_clock()
            self.ask_forecast()
        elif beat.new_minute:
            self.show()

    def ask_forecast(self) -> None:
        """Begin a new forecast of the snapshot; a cook that is over needs one only.

        Without a probe in the meat there is nothing to forecast. A cook that was never ended is
        forecast as of the last time it takes lines.
        """
        if not self.live.saved.cook.probes:
            return
        if self.live.saved.ended_at is not None and self.live.forecast is not None:
            return
        now = self.kit.clock()
        self.heartbeat.forecast_asked(now)
        now_s = min(self.live.elapsed_s(now), ELAPSED_S[1])
        self.forecaster.ask(self.live.saved.cook, now_s)

    @on(ForecastReady)
    @on(ForecastFailed)
    def forecast_done(self, event: ForecastReady | ForecastFailed) -> None:
        """Show the newest forecast, or keep the last one and say why it is old."""
        if not self.forecaster.is_newest(event.revision):
            return
        if isinstance(event, ForecastReady):
            self.live.take(event.forecast, event.leaving)
            self.desk.watch(event.forecast)
            self.reader.watch(event.forecast)
        else:
            self.live.failure = f"the forecast failed ({event.reason})"
        self.pages.ask()
        self.show()

    @on(LeversDone)
    def levers_done(self, event: LeversDone) -> None:
        """Show the newest table of levers."""
        if self.pages.take(event):
            self.show()

    def save_line(self, text: str) -> None:
        """Send an accepted line to the writer."""
        now = self.kit.clock()
        save = partial(self.desk.accept, text, confirmed=True, typed_at=now)
        number = self.kit.writer.submit(self, "line", lambda: (save(), self.desk.known()))
        self._sent[number] = text
        self.live.waiting[number] = (text, now)

    @on(WriteDone)
    def write_done(self, event: WriteDone) -> None:
        """The file has it: say so, and forecast from it."""
        self.live.waiting.pop(event.number, None)
        text = self._sent.pop(event.number, "")
        if not isinstance(event.result, tuple):
            return
        outcome, (saved, self.live.early) = event.result
        if outcome is not None:
            self.say_outcome(text, outcome)
        fresh = isinstance(saved, SavedCook) and saved != self.live.saved
        if isinstance(saved, SavedCook):
            self.live.saved = saved
        self.show()
        if fresh:
            self.ask_forecast()

    @on(WriteFailed)
    def write_failed(self, event: WriteFailed) -> None:
        """Nothing was saved: the line goes back to where it was typed."""
        self.live.waiting.pop(event.number, None)
        self.not_saved(self._sent.pop(event.number, ""), event.reason)
        self.show()
