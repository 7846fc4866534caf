"""The desk: where a typed line is read, checked, asked about and saved.

Both the Tend screen and ``doneby say`` go through it, so a line means the same everywhere.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

from app.display import Display, one_line
from app.early import pulls_early, set_pull
from app.line.card import card_text
from app.line.draft import Draft, Drafter
from app.line.parse import parse_line
from app.line.plan import PlanChange
from app.line.values import LineContext, LineError, LogLine, Word
from app.localtime import SYSTEM_ZONE
from app.outcome import Accepted, Action, AskOnce, Outcome, Preview, Refused
from app.undo_book import WayBack, keep_way_back, way_back
from core.cook import EventKind
from core.hold import AWAY_NOTE
from core.units import TemperatureUnit
from storage.errors import FileError, StorageError
from storage.values import SavedCook, SavedLine

if TYPE_CHECKING:
    from core.answers import Forecast
    from storage.store import Store

__all__ = ["Accepted", "Action", "AskOnce", "Desk", "Outcome", "Preview", "Refused"]

NO_COOK = LineError(
    "there is no cook in hand", "start one first, with the start form or with 'doneby start'"
)
UNDO_REACHES = timedelta(hours=6)
"""So long after its end `undo` still takes back what ended a cook."""


class Desk:
    """Reads, checks and saves typed lines.

    May be used from several threads; `preview` is quick enough for every key press.

    Parameters
    ----------
    store : Store
    clock : callable
        The present as an aware datetime.
    zone : tzinfo
        Zone in which clock times are typed and shown.
    cook_id : int or None
        The cook to write to; None is the cook in hand, looked up each time.
    """

    def __init__(
        self,
        store: Store,
        clock: Callable[[], datetime],
        *,
        zone: tzinfo = SYSTEM_ZONE,
        cook_id: int | None = None,
    ) -> None:
        self._store, self._clock, self._zone, self._cook_id = store, clock, zone, cook_id
        self._lock = threading.RLock()
        self._cached: tuple[int, SavedCook | None, bool] | None = None
        self._forecast: Forecast | None = None
        self._asked: str | None = None

    def saved(self) -> SavedCook | None:
        """The cook that lines go to, as the file holds it now; None if there is none.

        Raises
        ------
        StorageError
        """
        return self.known()[0]

    def known(self) -> tuple[SavedCook | None, bool]:
        """The same, and whether it is to be pulled early; raises StorageError."""
        with self._lock:
            # The token first: what is committed in between is then loaded again, not missed.
            token = self._store.change_token()
            if self._cached is None or self._cached[0] != token:
                saved = self._load()
                early = saved is not None and pulls_early(self._store, saved.id)
                self._cached = (token, saved, early)
            return self._cached[1:]

    def _load(self) -> SavedCook | None:
        if self._cook_id is None:
            return self._store.cook_in_hand()
        return self._store.cook(self._cook_id)

    def watch(self, forecast: Forecast | None) -> None:
        """Take the newest forecast: lines are compared with what it expects."""
        with self._lock:
            self._forecast = forecast

    def preview(self, text: str) -> Preview:
        """How `text` would be read now. Never raises for what was typed."""
        if not text.strip():
            return Preview("")
        try:
            with self._lock:
                draft = self._draft(text, self._now(None))
        except StorageError as error:
            return Preview("", error=str(error))
        if isinstance(draft, LineError):
            return Preview("", error=draft.reason)
        return Preview(draft.reads_as, draft.odd)

    def accept(
        self, text: str, *, confirmed: bool = False, typed_at: datetime | None = None
    ) -> Outcome:
        """Save a line. An odd one is asked about once, unless `confirmed`.

        Parameters
        ----------
        text : str
        confirmed : bool
            The cook was asked already.
        typed_at : datetime or None
            When Enter was pressed, if that is not now.
        """
        with self._lock:
            try:
                draft = self._draft(text, self._now(typed_at))
                if isinstance(draft, LineError):
                    return Refused(draft.message)
                if draft.odd and not confirmed and self._asked != text.strip():
                    self._asked = text.strip()
                    return AskOnce(draft.reads_as, draft.odd)
                self._asked = None
                return self._save(draft)
            except StorageError as error:
                return Refused(str(error), failed=isinstance(error, FileError))

    def _now(self, typed_at: datetime | None) -> datetime:
        # Whole seconds: nobody reads a thermometer to the microsecond.
        return (typed_at or self._clock()).astimezone(UTC).replace(microsecond=0)

    def _draft(self, text: str, now: datetime) -> Draft | LineError:
        """What a line will do, or why it does nothing."""
        saved = self.saved()
        parsed = parse_line(text, _context(saved, now, self._zone))
        if isinstance(parsed, Word):
            return self._word(text, parsed, saved, now)
        if saved is None and _puts_away(parsed):
            saved = self._newest_ended(now)
        if saved is None:
            return NO_COOK
        if isinstance(parsed, LineError):
            return parsed
        return self._drafter(saved, now).draft(text, parsed)

    def _drafter(self, saved: SavedCook, now: datetime) -> Drafter:
        display = Display(saved.unit, saved.mass_unit, self._zone)
        return Drafter(saved, now, display, self._forecast, self.known()[1])

    def _word(
        self, text: str, word: Word, saved: SavedCook | None, now: datetime
    ) -> Draft | LineError:
        if word is Word.HELP:
            return Draft(Action.HELP, None, text, "shows the card", card_text(), now, now)
        if word is Word.REOPEN:
            return self._reopen(text, saved, now)
        if word is Word.UNDO:
            return self._undo(text, saved, now)
        if saved is None:
            return NO_COOK
        name = f"the cook '{one_line(saved.title)}'"
        return Draft(
            Action.ENDED, saved.id, text, f"ends {name}", f"ended {name}", now, now, ends_cook=True
        )

    def _newest_ended(self, now: datetime | None = None) -> SavedCook | None:
        """The own cook that ended last; with `now` only if that was a short while ago."""
        ended = [
            (cook.ended_at, cook.id)
            for cook in self._store.cooks()
            if cook.ended_at is not None and not cook.invented
        ]
        if now is not None:
            ended = [found for found in ended if timedelta(0) <= now - found[0] <= UNDO_REACHES]
        return self._store.cook(max(ended)[1]) if ended else None

    def _reopen(self, text: str, saved: SavedCook | None, now: datetime) -> Draft | LineError:
        if saved is not None and saved.ended_at is None:
            name = one_line(saved.title)
            return LineError(f"the cook '{name}' is still in hand", "'end' ends it first")
        ended = saved or self._newest_ended()
        if ended is None:
            return LineError("there is no cook that has ended", "start one")
        return _taking_up(text, ended, now)

    def _undo(self, text: str, saved: SavedCook | None, now: datetime) -> Draft | LineError:
        saved = saved or self._newest_ended(now)
        if saved is None:
            return NO_COOK
        back = self._way_back(text, saved, now)
        if back is not None:
            return back
        live = [line for line in saved.lines if line.live]
        last = max(live, key=lambda line: line.id, default=None)
        if saved.ended_at is not None and not (_ended_by(last, saved) or _said_after(last, saved)):
            return _taking_up(text, saved, now)
        if last is None:
            return LineError("found nothing to take back", "the log is empty")
        return self._drafter(saved, now).undoing(text, last)

    def _way_back(self, text: str, saved: SavedCook, now: datetime) -> Draft | None:
        """The draft that takes a drop or a change of the plan back, if that was the last thing."""
        way = way_back(self._store, saved.id, saved.stamp)
        if way is None:
            return None
        drafter = self._drafter(saved, now)
        if way.change is not None:
            return drafter.planning(text, way.words, way.change)
        old = next((line for line in saved.lines if line.id == way.line_id), None)
        return None if old is None or not old.deleted else drafter.restoring(text, old)

    def _save(self, draft: Draft) -> Accepted:
        """Carry a draft out; what is said was committed before."""
        if draft.action is Action.HELP or draft.cook_id is None:
            return Accepted(Action.HELP, draft.done)
        line = self._carry_out(draft, draft.cook_id)
        # what was asked for is done and must be said so; the way back is only a convenience
        with suppress(StorageError):
            keep_way_back(self._store, draft.cook_id, _reverse_of(draft))
        action = Action.ENDED if draft.ends_cook else draft.action
        return Accepted(action, _message(draft), line)

    def _carry_out(self, draft: Draft, cook_id: int) -> SavedLine | None:
        store, line = self._store, draft.line
        match draft.action:
            case Action.LOGGED:
                return store.add_line(
                    cook_id, text=draft.text.strip(), typed_at=draft.typed_at, at=draft.at,
                    readings=draft.readings, events=draft.events, ends_cook=draft.ends_cook,
                )  # fmt: skip
            case Action.FIXED if line is not None:
                return store.correct_line(
                    line.id, text=draft.text.strip(), typed_at=draft.typed_at, at=draft.at,
                    readings=draft.readings, events=draft.events, ends_cook=draft.ends_cook,
                )  # fmt: skip
            case Action.DROPPED if line is not None:
                # a cook without its `served` must not stay ended
                store.delete_line(line.id, reopens_cook=_serves(line))
            case Action.RESTORED if line is not None:
                store.restore_line(line.id)
            case Action.UNDONE if line is not None:
                return store.undo(cook_id, line.id, reopens_cook=_serves(line))
            case Action.PLANNED if draft.change is not None:
                self._change_plan(cook_id, draft.change)
            case Action.ENDED:
                store.end_cook(cook_id, draft.at)
            case Action.REOPENED:
                store.reopen_cook(cook_id)
        return line

    def _change_plan(self, cook_id: int, change: PlanChange) -> None:
        if change.early is not None:
            set_pull(self._store, cook_id, early=change.early)
        elif change.started_at is not None:
            self._store.change_start(cook_id, change.started_at)
        else:
            self._store.change_plan(cook_id, change.plan, change.probes)


def _reverse_of(draft: Draft) -> WayBack | None:
    """The way back of a draft that was carried out."""
    back = draft.reverse
    if back is None:
        return None
    line_id = None if back.line is None else back.line.id
    return WayBack(line_id, back.change, back.words)


def _context(saved: SavedCook | None, now: datetime, zone: tzinfo) -> LineContext:
    if saved is None:
        return LineContext((), TemperatureUnit.CELSIUS, now, now, zone)
    names = tuple(probe.name for probe in saved.cook.probes)
    return LineContext(names, saved.unit, now, saved.started_at, zone)


def _serves(line: SavedLine) -> bool:
    return any(event.kind is EventKind.SERVED for event in line.events)


def _puts_away(parsed: object) -> bool:
    """Whether a line says that the leftovers are put away: said of the cook that just ended."""
    return isinstance(parsed, LogLine) and any(e.note == AWAY_NOTE for e in parsed.events)


def _ended_by(line: SavedLine | None, saved: SavedCook) -> bool:
    """Whether the cook is over because of that line."""
    return line is not None and _serves(line) and line.at == saved.ended_at


def _said_after(line: SavedLine | None, saved: SavedCook) -> bool:
    """Whether that line was typed when the cook was over already."""
    ended_at = saved.ended_at
    return line is not None and ended_at is not None and line.typed_at > ended_at


def _taking_up(text: str, saved: SavedCook, now: datetime) -> Draft:
    name = f"'{one_line(saved.title)}' again"
    return Draft(Action.REOPENED, saved.id, text, f"takes up {name}", f"took up {name}", now, now)


def _message(draft: Draft) -> str:
    if draft.action is Action.ENDED:
        return f"{draft.done}. 'undo' takes that back"
    if draft.ends_cook:
        return (
            f"{draft.done}. The cook has ended; 'undo' takes that back. Leftovers into the "
            "refrigerator within two hours, then type: away"
        )
    if any(event.kind is EventKind.PULLED for event in draft.events):
        return f"{draft.done}. Let it rest; 'serve' ends the cook"
    return draft.done
