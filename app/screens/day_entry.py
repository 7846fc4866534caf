"""What is typed on a day's screen: steps are done or moved, and kept before the screen says so."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from pathlib import Path

from textual import on
from textual.message import Message

from app.day_book import begin_piece, next_piece
from app.day_words import DayChange, Ticked, read_day_line
from app.line.values import Refusal
from app.outcome import Preview
from app.presenters.day_list import change_words
from app.presenters.dayline import present_dayline
from app.screens.day_screen import DayScreen
from app.screens.writer import WriteDone, WriteFailed
from app.widgets.entry_box import EntryBox
from app.widgets.preview import Tone
from core.day_values import Step
from storage.errors import StorageError

WORDS = {
    "help": "day_help",
    "?": "day_help",
    "ledger": "app.ledger",
    "new": "app.new",
    "quit": "app.quit",
    "plan": "edit",
    "start": "start",
    "brine": "brine",
    "all": "all",
    "close": "close",
}
"""Words that open something, where they are no line about a step."""

HINT = "Enter: done. Left, right or a time (21:00, +15) move the step."
FAR_OFF = timedelta(hours=1)
"""Meat that goes on so far from its planned time is asked about once."""

ICS = "ics"
KEPT, COOK, CLOSED, CALENDAR = "step", "cook", "close", "calendar"


def _ics_path(text: str) -> Path:
    """The file of a line ``ics FILE``; it always ends as calendar files do."""
    name = text[len(ICS) :].strip() or "dayline"
    return Path(name if name.lower().endswith(".ics") else f"{name}.ics")


class DayEntryScreen(DayScreen):
    """Reads lines about the day's steps and sends them to the writer."""

    class CookBegun(Message):
        """A cook was begun from the day."""

        def __init__(self, cook_id: int) -> None:
            super().__init__()
            self.cook_id = cook_id

    class Closed(Message):
        """The day is over."""

    _picked_id = ""
    _starting = False
    _asked = False
    _sent: dict[int, str]

    def entry_box(self) -> EntryBox:
        """The entry with these words."""
        self._sent = {}
        return EntryBox(self.preview, word_means=self.word_means, known=tuple(WORDS), hint=HINT)

    @property
    def picked(self) -> Step | None:
        """The step that keys and bare times are about."""
        if self.day is None:
            return None
        return next((step for step in self.day.steps if step.id == self._picked_id), None)

    # what is typed

    def _read(self, text: str) -> DayChange:
        if self.day is None:
            raise Refusal("the day is not laid out yet", "a moment")
        return read_day_line(text, self.day, self.picked, self.kit.clock(), self.kit.zone)

    def preview(self, text: str) -> Preview:
        """How a line would be read now."""
        if text.lower().split()[:1] == [ICS]:
            return Preview(f"writes the calendar file {_ics_path(text)}")
        try:
            return Preview(self._words(self._read(text)))
        except Refusal as refusal:
            return Preview("", error=refusal.error.message)

    def word_means(self, text: str) -> str:
        """What a word opens; empty if it is none of ours."""
        word = text.strip().lower()
        return f"opens: {word}" if word in WORDS else ""

    def _words(self, change: DayChange) -> str:
        return change_words(change, self.units, self.kit.clock())

    @on(EntryBox.LineEntered)
    def line_entered(self, event: EntryBox.LineEntered) -> None:
        """Keep what was typed."""
        if event.text.lower().split()[:1] == [ICS]:
            self._write_calendar(_ics_path(event.text))
            return
        try:
            self._save(self._read(event.text), event.text)
        except Refusal as refusal:
            self.query_one(EntryBox).give_back(event.text, refusal.error.message)

    @on(EntryBox.WordEntered)
    async def word_entered(self, event: EntryBox.WordEntered) -> None:
        """Open what a word names."""
        await self.run_action(WORDS[event.word])

    def _save(self, change: DayChange, text: str = "") -> None:
        days, step_id = self.kit.store.days, change.step.id
        if isinstance(change, Ticked):
            job = partial(days.tick, self.day_id, step_id, change.at)
        else:
            job = partial(days.move, self.day_id, step_id, change.to)
        self._picked_id = step_id
        words = self._words(change)
        number = self.kit.writer.submit(self, KEPT, lambda: (job(), words)[1])
        self._sent[number] = text

    @on(WriteDone)
    def written(self, event: WriteDone) -> None:
        """The file has it: say so and lay the day out anew."""
        self._sent.pop(event.number, None)
        if event.kind == COOK and isinstance(event.result, int):
            self.post_message(self.CookBegun(event.result))
        elif event.kind == CLOSED:
            self.post_message(self.Closed())
        elif event.kind == CALENDAR:
            self.query_one(EntryBox).say(Tone.DONE, str(event.result))
        elif event.kind == KEPT:
            self.query_one(EntryBox).say(Tone.DONE, f"saved: {event.result}")
            self.plan()

    @on(WriteFailed)
    def not_written(self, event: WriteFailed) -> None:
        """Nothing is in the file: the line goes back."""
        self._starting = False
        text = self._sent.pop(event.number, "")
        words = f"Not saved: {event.reason}"
        box = self.query_one(EntryBox)
        if not text or not box.give_back(text, words):
            box.say(Tone.WRONG, words)

    def _write_calendar(self, path: Path) -> None:
        """Write the file beside the event loop, after what was queued before."""
        if self.day is None or self.opened is None:
            return
        day, units, saved = self.day, self.units, self.opened.saved

        def job() -> str:
            from app.day_calendar import calendar_bytes, day_name

            place = day_name(day, saved.id, saved.created_at)
            try:
                path.expanduser().write_bytes(
                    calendar_bytes(day, present_dayline(day, units), place)
                )
            except OSError as error:
                raise StorageError(
                    f"{path} could not be written: {error.strerror or error}"
                ) from error
            return f"{len(day.steps)} steps are in {path}"

        self.kit.writer.submit(self, CALENDAR, job)

    def action_start(self) -> None:
        """The next piece is on: begin its cook, with the plan filled in."""
        if self.day is None or self.opened is None:
            return
        piece = next_piece(self.day, self.opened)
        if piece is None or self._starting:
            return
        now = self.kit.clock()
        if not self._asked and abs(now - piece.on_at) > FAR_OFF:
            self._asked = True
            planned = self.units.clock(piece.on_at, now)
            words = f"The plan says meat on at {planned}. F10 again starts the cook now."
            self.query_one(EntryBox).say(Tone.ODD, words)
            return
        self._starting = True
        job = partial(begin_piece, self.kit.store, self.opened, self.day, piece, self.kit.clock(),
                      self.kit.zone)  # fmt: skip
        self.kit.writer.submit(self, COOK, job)

    def action_close(self) -> None:
        """The day is over."""
        now = self.kit.clock()
        self.kit.writer.submit(self, CLOSED, lambda: self.kit.store.days.close(self.day_id, now))
