"""What a line would do to one cook: worked out completely before anything is saved."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from app.display import Display, one_line, span
from app.line.log import dropped_line, line_numbers, live_line
from app.line.odd import Candidate, Known, oddities
from app.line.plan import PlanChange, Planner
from app.line.values import (
    DropLine,
    FixLine,
    LineError,
    LogLine,
    PlanLine,
    Refusal,
    RestoreLine,
    TypedEvent,
)
from app.outcome import Action
from app.presenters.words import line_words
from core.cook import Cook, Event, EventKind, Reading
from core.spots import SpotCheck, spots_of
from storage.limits import ELAPSED_S
from storage.values import SavedCook, SavedLine

if TYPE_CHECKING:
    from core.answers import Forecast

TWICE = timedelta(seconds=60)
"""The same words again within this time are asked about: Enter may have been pressed twice."""
FORGOTTEN = timedelta(hours=16)
"""A cook without a line for so long may not be the one that is meant."""


@dataclass(frozen=True, slots=True)
class Draft:
    """One change to the log, ready to be saved.

    Attributes
    ----------
    action : Action
    cook_id : int or None
        The cook that it is done to; None for none.
    text : str
        As typed.
    reads_as, done : str
        What the line says, in words, before and after it is saved.
    odd : tuple of str
        What is to be asked about first.
    typed_at, at : datetime
        When Enter was pressed, and the time that the line speaks of.
    readings, events : tuple
    line : SavedLine or None
        The earlier line that is corrected, dropped or restored.
    ends_cook : bool
    change : PlanChange or None
        The plan that is put in the place of the present one.
    reverse : Draft or None
        What `undo` does next, where that is not to take the last line back.
    words : str
        The change of the plan in words.
    """

    action: Action
    cook_id: int | None
    text: str
    reads_as: str
    done: str
    typed_at: datetime
    at: datetime
    odd: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()
    events: tuple[Event, ...] = ()
    line: SavedLine | None = None
    ends_cook: bool = False
    change: PlanChange | None = None
    reverse: Draft | None = None
    words: str = ""


@dataclass(frozen=True, slots=True)
class Drafter:
    """Works out what lines would do to one cook at one moment."""

    saved: SavedCook
    now: datetime
    display: Display
    forecast: Forecast | None
    early: bool = False

    def draft(
        self, text: str, parsed: LogLine | FixLine | DropLine | RestoreLine | PlanLine
    ) -> Draft | LineError:
        """The change that a line makes, or why it makes none."""
        try:
            match parsed:
                case LogLine():
                    return self._log(text, parsed)
                case FixLine():
                    return self._fix(text, parsed)
                case DropLine():
                    return self._drop(text, parsed)
                case RestoreLine():
                    return self._restore(text, parsed)
                case PlanLine():
                    return self._plan(text, parsed)
        except Refusal as refusal:
            return refusal.error

    def _log(self, text: str, line: LogLine) -> Draft:
        at = line.at or self.now
        told = list(line.told)
        odd = []
        last = max((old.at for old in self.saved.lines if old.live), default=None)
        if last is not None and at < last:
            when = self.display.clock(last, self.now)
            if line.at is None:
                odd.append(f"it is earlier than the line of {when}; was the clock set back?")
            else:
                told.append(f"before the line of {when}")
        odd += self._repeated(text)
        odd += self._forgotten(last)
        return self._filled(Action.LOGGED, text, line, at, told, odd)

    def _fix(self, text: str, parsed: FixLine) -> Draft:
        old = live_line(self.saved, parsed.ref)
        if old is None:
            raise Refusal(self._nothing("there is no such line to correct"), self._numbers())
        body = _merged(old, parsed.body, self.saved.cook)
        at = body.at or old.at
        told = [*body.told, *(() if parsed.ref is None else parsed.ref.told)]
        return self._filled(Action.FIXED, text, body, at, told, [], old)

    def _drop(self, text: str, parsed: DropLine) -> Draft:
        old = live_line(self.saved, parsed.ref)
        if old is None:
            raise Refusal(self._nothing("there is no such line to drop"), self._numbers())
        words = self.line_words(old)
        return Draft(
            Action.DROPPED, self.saved.id, text, f"drops {words}",
            f"dropped {words}{self._way_back(old)}",
            self.now, old.at, line=old, reverse=self.restoring(text, old),
        )  # fmt: skip

    def _restore(self, text: str, parsed: RestoreLine) -> Draft:
        old = dropped_line(self.saved, parsed.ref)
        if old is None:
            raise Refusal("there is no such dropped line", "'undo' or 'drop' comes before")
        return self.restoring(text, old)

    def _plan(self, text: str, parsed: PlanLine) -> Draft:
        planned = Planner(self.saved, self.now, self.display, early=self.early).change(parsed)
        back = self.planning(text, planned.back_words, planned.back)
        draft = self.planning(text, planned.words, planned.change)
        return replace(draft, odd=planned.odd, reverse=back)

    def planning(self, text: str, words: str, change: PlanChange) -> Draft:
        """The draft that puts a plan in the place of the present one."""
        return Draft(
            Action.PLANNED, self.saved.id, text, f"plan: {words}", f"changed the plan: {words}",
            self.now, self.now, change=change, words=words,
        )  # fmt: skip

    def restoring(self, text: str, old: SavedLine) -> Draft:
        """The draft that brings a dropped line back."""
        words = self.line_words(old)
        return Draft(
            Action.RESTORED, self.saved.id, text, f"brings back {words}", f"brought back {words}",
            self.now, old.at, line=old,
        )  # fmt: skip

    def undoing(self, text: str, old: SavedLine) -> Draft:
        """The draft that takes the last line back."""
        words = self.line_words(old)
        return Draft(
            Action.UNDONE, self.saved.id, text, f"takes back {words}",
            f"took back {words}{self._way_back(old)}",
            self.now, old.at, line=old,
        )  # fmt: skip

    def _way_back(self, old: SavedLine) -> str:
        return f". 'restore #{line_numbers(self.saved)[old.id]}' brings it back"

    def line_words(self, line: SavedLine) -> str:
        """``#12, 14:20: pit 305 °F, breast 128 °F``."""
        number = line_numbers(self.saved).get(line.id, 0)
        words = line_words(line.readings, line.events, self.display) or "nothing"
        return f"#{number}, {self.display.clock(line.at, self.now)}: {words}"

    def _filled(
        self, action: Action, text: str, line: LogLine, at: datetime,
        told: list[str], odd: list[str], old: SavedLine | None = None,
    ) -> Draft:  # fmt: skip
        elapsed_s = (at - self.saved.started_at).total_seconds()
        self._check_elapsed(elapsed_s)
        has_reading = line.pit_c is not None or bool(line.meat_c)
        readings = (Reading(elapsed_s, line.pit_c, line.meat_c),) if has_reading else ()
        events = tuple(Event(elapsed_s, event.kind, event.note) for event in line.events)
        candidate = Candidate(elapsed_s, line.pit_c, line.meat_c, line.events)
        known = Known(_without(self.saved, old), self.forecast, self.display)
        odd = [*odd, *oddities(candidate, known)]
        said = line_words(readings, events, self.display)
        told = [*told, *_lowest(events, self.display)]
        words = f"{said}, {self.time_words(at)}{_remarks(told)}"
        done = f"saved: {said.rstrip('.')}, at {self.display.clock(at, self.now)}{_remarks(told)}"
        if old is not None:
            words, done = self._changes(old, readings, events, at, told)
        served = any(event.kind is EventKind.SERVED for event in events)
        return Draft(
            action, self.saved.id, text, words, done, self.now, at, tuple(odd), readings, events,
            line=old, ends_cook=served,
        )  # fmt: skip

    def _changes(
        self, old: SavedLine, readings: tuple[Reading, ...], events: tuple[Event, ...],
        at: datetime, told: list[str],
    ) -> tuple[str, str]:  # fmt: skip
        """What a correction changes, in words, before and after."""
        was, now = _pairs(old.readings, self.display), _pairs(readings, self.display)
        changes = [
            f"{name} {value}, was {was.get(name, 'not read')}"
            for name, value in now.items()
            if value != was.get(name)
        ]
        words = [line_words((), moment, self.display) for moment in (events, old.events)]
        if words[0] != words[1]:
            changes.append(f"{words[0]}, was {words[1] or 'nothing'}")
        if at != old.at:
            changes.append(f"{self.time_words(at)}, was {self.display.clock(old.at, self.now)}")
        number = line_numbers(self.saved)[old.id]
        which = f"#{number} of {self.display.clock(old.at, self.now)}"
        if not changes:
            raise Refusal(f"{which} says that already", "a correction changes something")
        what = f"{which}: {'; '.join(changes)}{_remarks(told)}"
        return f"corrects {what}", f"corrected {what}"

    def time_words(self, at: datetime) -> str:
        """``now`` or ``at 14:20``."""
        if at == self.now:
            return "now"
        return f"at {self.display.clock(at, self.now)}"

    def _repeated(self, text: str) -> list[str]:
        live = [line for line in self.saved.lines if line.live]
        last = max(live, key=lambda line: line.id, default=None)
        if last is None or last.text.split() != text.split():
            return []
        ago = self.now - last.typed_at
        if not timedelta(0) <= ago <= TWICE:
            return []
        return [f"the same line was saved {ago.total_seconds():.0f} s ago"]

    def _forgotten(self, last: datetime | None) -> list[str]:
        quiet = self.now - max(last or self.saved.started_at, self.saved.started_at)
        if quiet <= FORGOTTEN:
            return []
        return [
            f"the last line is {span(quiet.total_seconds())} old; 'end' ends this cook if "
            "another one is meant"
        ]

    def _check_elapsed(self, elapsed_s: float) -> None:
        if elapsed_s > ELAPSED_S[1]:
            raise Refusal(
                f"meat-on was {span(elapsed_s)} ago",
                f"a cook takes lines for {span(ELAPSED_S[1])}; 'end' ends it",
            )

    def _nothing(self, words: str) -> str:
        return words if any(line.live for line in self.saved.lines) else "the log is empty"

    def _numbers(self) -> str:
        live = {line.id for line in self.saved.lines if line.live}
        numbers = sorted(n for id_, n in line_numbers(self.saved).items() if id_ in live)
        if not numbers:
            return "a line must be typed first"
        return f"lines in the log are #{numbers[0]} to #{numbers[-1]}"


def _lowest(events: tuple[Event, ...], display: Display) -> list[str]:
    """The lowest of several spots, which counts, and how far they are apart."""
    spots = tuple(s for e in events if e.kind is EventKind.SPOT_CHECK for s in spots_of(e))
    if len(spots) < 2:
        return []
    check = SpotCheck(spots)
    lowest = f"lowest {one_line(check.lowest.place)} {display.reading(check.lowest.temp_c)}"
    return [f"{lowest}, spread {display.delta(check.spread_c)}"]


def _remarks(told: list[str]) -> str:
    return f" ({'; '.join(told)})" if told else ""


def _pairs(readings: tuple[Reading, ...], display: Display) -> dict[str, str]:
    """What was read, by name, in words."""
    temps = {name: temp_c for reading in readings for name, temp_c in reading.meat_c}
    for reading in readings:
        if reading.pit_c is not None:
            temps = {"pit": reading.pit_c, **temps}
    return {name: display.reading(temp_c) for name, temp_c in temps.items()}


def _merged(old: SavedLine, body: LogLine, cook: Cook) -> LogLine:
    """The old line with what the correction names in its place; the rest stays as it was."""
    pit_c = next((r.pit_c for r in old.readings if r.pit_c is not None), None)
    temps = {name: temp_c for reading in old.readings for name, temp_c in reading.meat_c}
    temps.update(body.meat_c)
    order = [probe.name for probe in cook.probes]
    meat_c = tuple(sorted(temps.items(), key=lambda pair: order.index(pair[0])))
    events = body.events or tuple(TypedEvent(e.kind, e.note) for e in old.events)
    return LogLine(body.at, pit_c if body.pit_c is None else body.pit_c, meat_c, events, body.told)


def _without(saved: SavedCook, old: SavedLine | None) -> Cook:
    """The cook as the other lines tell it."""
    if old is None:
        return saved.cook
    live = [line for line in saved.lines if line.live and line.id != old.id]
    return replace(
        saved.cook,
        readings=tuple(reading for line in live for reading in line.readings),
        events=tuple(event for line in live for event in line.events),
    )
