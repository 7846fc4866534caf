"""A store in memory for fuzzing: it keeps what it is told and refuses what the data file would."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from core.cook import Event, Plan, Probe, Reading
from storage.errors import LineNotLive, NoSuchCook, ProbeInUse
from storage.limits import (
    check_event,
    check_plan,
    check_probes,
    check_reading,
    check_text,
    check_time,
)
from storage.values import SavedCook, SavedLine


class _Settings:
    """Choices by key; those that are the whole of what a line asks for count as written."""

    def __init__(self, written: list[str]) -> None:
        self._values: dict[str, str] = {}
        self._written = written

    def get(self, key: str) -> str | None:
        """The value, if there is one."""
        return self._values.get(key)

    def set(self, key: str, value: str | None) -> None:
        """Keep or forget."""
        if key.startswith("pull:"):
            self._written.append("setting")
        if value is None:
            self._values.pop(key, None)
        else:
            check_text("value", value)
            self._values[key] = value


class Shelf:
    """One cook that never changes, and what was asked to be written to it.

    Every write is checked by the rules of the data file and then recorded, not carried out, so
    that the next input meets the same cook.
    """

    def __init__(self, saved: SavedCook | None) -> None:
        self._saved = saved
        self.written: list[str] = []
        self.settings = _Settings(self.written)

    def change_token(self) -> int:
        """Never another one."""
        return 1

    def cook_in_hand(self) -> SavedCook | None:
        """The one cook."""
        return self._saved

    def cook(self, cook_id: int) -> SavedCook:
        """The one cook."""
        if self._saved is None or cook_id != self._saved.id:
            raise NoSuchCook(cook_id)
        return self._saved

    def cooks(self) -> tuple[()]:
        """No past cooks."""
        return ()

    def add_line(self, cook_id: int, *, ends_cook: bool = False, **values: Any) -> SavedLine:
        """Check and record."""
        return self._line(self.cook(cook_id), None, **values)

    def correct_line(self, line_id: int, *, ends_cook: bool = False, **values: Any) -> SavedLine:
        """Check and record."""
        self._live(line_id)
        assert self._saved is not None
        return self._line(self._saved, line_id, **values)

    def delete_line(self, line_id: int, *, reopens_cook: bool = False) -> None:
        """Record."""
        self._live(line_id)
        self.written.append("delete")

    def restore_line(self, line_id: int) -> None:
        """Record."""
        self._found(line_id)
        self.written.append("restore")

    def undo(
        self, cook_id: int, line_id: int | None = None, *, reopens_cook: bool = False
    ) -> SavedLine | None:
        """Record."""
        self.written.append("undo")
        live = [line for line in self.cook(cook_id).lines if line.live]
        return max(live, key=lambda line: line.id, default=None)

    def change_plan(self, cook_id: int, plan: Plan, probes: tuple[Probe, ...]) -> None:
        """Check and record."""
        check_plan(plan)
        check_probes(probes)
        kept = {probe.name for probe in probes}
        for reading in self.cook(cook_id).cook.readings:
            for name, _ in reading.meat_c:
                if name not in kept:
                    raise ProbeInUse(name)
        self.written.append("plan")

    def change_start(self, cook_id: int, started_at: datetime) -> None:
        """Check and record."""
        check_time("start", started_at)
        self.written.append("start")

    def end_cook(self, cook_id: int, at: datetime) -> None:
        """Check and record."""
        check_time("end", at)
        self.written.append("end")

    def reopen_cook(self, cook_id: int) -> None:
        """Record."""
        self.written.append("reopen")

    def _found(self, line_id: int) -> SavedLine:
        assert self._saved is not None
        return next(line for line in self._saved.lines if line.id == line_id)

    def _live(self, line_id: int) -> None:
        line = self._found(line_id)
        if not line.live:
            raise LineNotLive(line_id, line.replaced_by_id)

    def _line(
        self,
        saved: SavedCook,
        replaces_id: int | None,
        *,
        text: str,
        typed_at: datetime,
        at: datetime,
        readings: tuple[Reading, ...] = (),
        events: tuple[Event, ...] = (),
    ) -> SavedLine:
        check_text("text", text)
        check_time("typed", typed_at)
        check_time("time", at)
        names = tuple(probe.name for probe in saved.cook.probes)
        for reading in readings:
            check_reading(reading, names)
        for event in events:
            check_event(event)
        assert readings or events, "a line of the log that says nothing"
        self.written.append("line")
        number = 1 + max((line.id for line in saved.lines), default=0)
        return SavedLine(
            number, saved.id, text, typed_at, at, readings, events, False, replaces_id, None
        )
