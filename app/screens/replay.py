"""The demo: a sample cook typed as if live, on the real Tend screen and a clock of its own."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import Enum
from pathlib import Path
from typing import ClassVar

from textual.binding import Binding, BindingType

from app.demo import Demo, Pace, ReplayLine, due, new_cook, schedule, start_pace
from app.presenters.tend import Notice
from app.presenters.views import Mark
from app.screens.kit import Kit
from app.screens.tend import Mode, TendScreen
from app.widgets.entry import Entry
from app.widgets.entry_box import EntryBox
from storage.store import open_store
from storage.values import SavedCook

TICK_S = 0.06
"""Time between two typed letters [s]."""

ASKED_TICKS = 20
"""An odd line is confirmed after so many ticks, so that the question can be read."""

STEADY_REFORECAST_S = 2.0
"""Least time on the wall clock between two forecasts without a new line [s]."""

BEAT_S = 0.4


class ReplayClock:
    """A clock that can run faster than life, pause, and be held while a line is typed."""

    def __init__(self, demo: Demo, steady: Callable[[], float] = time.monotonic) -> None:
        self._steady = steady
        self.pace: Pace = start_pace(demo, steady())
        self.speed = self.pace.speed
        self.paused = False
        self.held = False

    def __call__(self) -> datetime:
        """What the clock shows."""
        return self.pace.now(self._steady())

    def turn(self) -> None:
        """Go on at the speed that was asked for, or stand."""
        running = not (self.paused or self.held)
        self.pace = self.pace.at_speed(self._steady(), self.speed if running else 0.0)

    def stand_at(self, shown: datetime) -> None:
        """Stand at a time until `turn` is called with nothing holding it."""
        self.held = True
        self.pace = Pace(self._steady(), shown, 0.0)

    def faster(self, factor: float) -> None:
        """Change the speed by a factor, within the allowed speeds."""
        self.speed = self.pace.at_speed(self._steady(), self.speed * factor).speed
        self.turn()


@dataclass(frozen=True, slots=True)
class Replay:
    """A sample's own data file, the kit that works on it, and its clock."""

    kit: Kit
    saved: SavedCook
    clock: ReplayClock
    folder: tempfile.TemporaryDirectory[str]

    def close(self) -> None:
        """Remove the data file."""
        self.kit.store.close()
        self.folder.cleanup()


def open_replay(demo: Demo, kit: Kit, *, steady: Callable[[], float] = time.monotonic) -> Replay:
    """Begin a replay beside whatever `kit` works on; `steady` is a clock that never jumps."""
    folder = tempfile.TemporaryDirectory(prefix="doneby-sample-")
    clock = ReplayClock(demo, steady)
    store = open_store(Path(folder.name) / "sample.db", now=clock())
    own = replace(
        kit,
        store=store,
        clock=clock,
        zone=demo.document.started_at.tzinfo or kit.zone,
        watch_sleep=False,
        beat_s=BEAT_S,
        slow_s=float("inf"),
        rings=False,
        learning=None,
    )
    saved = store.cook(store.create_cook(new_cook(demo.document)))
    return Replay(own, saved, clock, folder)


class Step(Enum):
    """What the replay is doing."""

    WAIT_FOR_LINE = "waiting"
    TYPE = "typing"
    SETTLE = "settling"
    OVER = "over"


class ReplayScreen(TendScreen):
    """Types the lines of a sample when they are due. The entry takes no other keys."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "pause", "pause", id="replay.pause"),
        Binding("plus,equals_sign", "speed(2)", "faster", key_display="+", id="replay.faster"),
        Binding("minus", "speed(0.5)", "slower", key_display="-", id="replay.slower"),
        Binding("escape", "leave", "back", id="replay.leave"),
    ]

    def __init__(self, kit: Kit, saved: SavedCook, demo: Demo, clock: ReplayClock) -> None:
        super().__init__(kit, saved)
        self.add_class("-replay")
        self.clock = clock
        self.own_ticks = True
        self.step = Step.WAIT_FOR_LINE
        self._lines = schedule(demo.document)
        self._seen_s = float("-inf")
        self._typing: list[ReplayLine] = []
        self._letters = 0
        self._ticks = 0

    def on_mount(self) -> None:
        # the base classes' handlers run as well
        self.query_one(Entry).disabled = True
        self._say_speed()
        if self.own_ticks:
            self.set_interval(TICK_S, self.tick)

    def _say_speed(self) -> None:
        state = "paused" if self.clock.paused else f"at {self.clock.speed:g} times life"
        keys = "Space pauses, + faster, - slower."
        if self.step is Step.OVER:
            back = len(self.app.screen_stack) > 2
            state, keys = "at its end", "Esc goes back." if back else "Ctrl+Q leaves."
        self.standing = (Notice(f"An invented cook, {state}. {keys}", Mark.SOON),)
        self.heartbeat.reforecast_s = max(60.0, STEADY_REFORECAST_S * self.clock.speed)
        self.show()

    def tick(self) -> None:
        """One small step of the replay."""
        if self.clock.paused:
            return
        if self.step is Step.WAIT_FOR_LINE:
            self._look_for_line()
        elif self.step is Step.TYPE:
            self._type_letter()
        elif self.step is Step.SETTLE:
            self._settle()

    def _look_for_line(self) -> None:
        if not self._typing:
            now_s = (self.clock() - self.live.saved.started_at).total_seconds()
            self._typing = list(due(self._lines, self._seen_s, now_s))
            self._seen_s = max(self._seen_s, self._typing[-1].elapsed_s if self._typing else now_s)
        if self._typing:
            self._letters, self.step = 0, Step.TYPE
            # typed at its own minute, however fast the clock runs
            elapsed = timedelta(seconds=self._typing[0].elapsed_s)
            self.clock.stand_at(self.live.saved.started_at + elapsed)
        elif self._seen_s > self._lines[-1].elapsed_s:
            self.step = Step.OVER
            self.clock.held = True
            self.clock.turn()
            self._say_speed()

    def _type_letter(self) -> None:
        box = self.query_one(EntryBox)
        text = self._typing[0].text
        if self._letters < len(text):
            # long notes are typed in bigger bites
            self._letters = min(self._letters + 1 + len(text) // 30, len(text))
            box.take(text[: self._letters])
            return
        box.enter(text)
        self._ticks = 0
        self.step = Step.SETTLE

    def _settle(self) -> None:
        """Go on when the line is in the file and the forecast has seen it."""
        box = self.query_one(EntryBox)
        self._ticks += 1
        if box.asking:
            if self._ticks >= ASKED_TICKS:
                box.enter(self._typing[0].text)
                self._ticks = 0
            return
        if self.live.waiting or self.forecaster.running:
            return
        self._typing.pop(0)
        box.clear()
        self.step = Step.WAIT_FOR_LINE
        self.clock.held = bool(self._typing)
        self.clock.turn()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Leaving the replay is always offered where there is something behind it."""
        if action == "leave" and len(self.app.screen_stack) > 2:
            return True
        return super().check_action(action, parameters)

    def action_leave(self) -> None:
        """Back from a mode; from the replay itself to whatever was there before."""
        if self.mode is Mode.WRITE and not self.has_class("-patio"):
            if len(self.app.screen_stack) > 2:
                self.dismiss()
            return
        super().action_leave()

    def action_pause(self) -> None:
        """Stop the replay, or go on."""
        self.clock.paused = not self.clock.paused
        self.clock.turn()
        self._say_speed()

    def action_speed(self, factor: float) -> None:
        """Faster or slower."""
        self.clock.faster(factor)
        self._say_speed()
